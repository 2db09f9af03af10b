// Which step belongs to which stage of the work. Pure.
import type { Card, Ticks } from "../contract/types";
import { kStages, type Stage } from "../link/store";

/** Small parts have no stage of their own here: before anything is joined they belong to cutting, later to joining. */
export function staged<T extends Card>(cards: T[]): Record<Stage, T[]> {
  const out = Object.fromEntries(kStages.map((s) => [s, [] as T[]])) as Record<Stage, T[]>;
  let joining = false;
  for (const card of cards) {
    const own = kStages.find((s) => s === (card.stage ?? card.id.replace(/ \d+$/, "")));
    joining ||= own === "join";
    out[own ?? (joining ? "join" : "cut")].push(card);
  }
  return out;
}

export function doneOf(cards: Card[], ticks: Ticks): number {
  return cards.filter((c) => ticks[c.id]?.done).length;
}
