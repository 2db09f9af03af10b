// A way to mend the plan in the shop's words. Pure.
import type { Fate, Move, Piece, Way } from "../contract/types";
import { inUnit, unitSign } from "./numbers";

export const kFates: Record<Fate, string> = {
  kept: "keep", file: "keep and file", "cut again": "cut again", "to cut": "to cut", scrap: "scrap",
};

export const kBlades: Record<Piece["member"], string> = { "blade.left": "left blade", "blade.right": "right blade" };

const kLeastTold: Record<string, number> = { mm: 0.05, deg: 0.005 };

export function moves(m: Move): boolean {
  return Math.abs(m.difference) >= (kLeastTold[m.unit] ?? 0);
}

/** "+0.9 mm", "−0.25°". */
export function byHowMuch(m: Move): string {
  const size = inUnit(Math.abs(m.difference), m.unit === "deg" ? "" : m.unit);
  return `${m.difference < 0 ? "−" : "+"}${size}${m.unit === "deg" ? "°" : ` ${m.unit}`}`;
}

export function told(value: number, unit: string): string {
  return unit === "deg" ? `${inUnit(value, "")}°` : `${inUnit(value, unit)} ${unitSign(unit)}`;
}

/** What a way costs, in one line. */
export function priceOf(way: Way): string {
  const blades = (n: number) => (n === 1 ? "one blade" : "both blades");
  const parts = [
    ...(way.scrapped ? [`${blades(way.scrapped)} thrown away`] : []),
    ...(way.cut_again ? [`${blades(way.cut_again)} cut again`] : []),
    ...(way.not_met.length ? [way.not_met.length === 1 ? "a wish not met" : `${way.not_met.length} wishes not met`] : []),
  ];
  return parts.join(", ") || "nothing is lost";
}

/** What a way beyond the freedoms would need. */
export function needs(way: Way): string {
  const over = way.moves.filter((m) => moves(m) && Math.abs(m.difference) > m.freedom && !(m.only_a_loss_counts && m.difference > 0));
  return over.map((m) => `${m.what} ${byHowMuch(m)}, ${m.freedom > 0 ? `${told(m.freedom, m.unit)} is allowed` : "it may not move"}`).join("; ");
}
