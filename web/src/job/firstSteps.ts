// The five questions that make a begun fork one's own. One is answered when it was pressed, or when what stands there is no longer
// what the fork began with. Pure.
import type { Fields } from "../contract/types";

/** What stood there when the fork was begun; null: not seen yet. */
export type Asked = Record<string, string | null>;

export const kFirst = [
  { id: "hub", name: "hub", key: "hub.over_locknut" },
  { id: "wheel.tyre", name: "tyre", key: "wheel.tyre" },
  { id: "steering.axle_to_crown", name: "axle-to-crown", key: "steering.axle_to_crown" },
  { id: "steering.offset", name: "offset", key: "steering.offset" },
  { id: "blades", name: "blade", key: "blades.stations" },
];

export const allAsked = (): Asked => Object.fromEntries(kFirst.map((f) => [f.id, null]));

function standing(id: string, fields: Fields): string {
  const keys = Object.keys(fields).filter((k) => (k === id || k.startsWith(`${id}.`)) && !fields[k]!.assumed);
  return keys.sort().map((k) => `${k} ${fields[k]!.typed}`).join("\n");
}

/** With what stands there now noted where nothing was yet, and what has changed since left out. */
export function stillAsked(asked: Asked, fields: Fields): Asked {
  return Object.fromEntries(Object.entries(asked).flatMap(([id, stood]) => {
    const now = standing(id, fields);
    return stood === null || stood === now ? [[id, now]] : [];
  }));
}
