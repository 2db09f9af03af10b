// The measuring sheet's readings of a finished fork: which there are, how they are kept, what comes of them. Pure.
import type { Stand } from "../contract/types";

export type Readings = Record<string, string>;

/** In the order of the measuring sheet. C and H check, they are not needed. */
export const kReadings: { letter: string; words: string }[] = [
  { letter: "A", words: "standing: left axle end above the seat" },
  { letter: "B", words: "standing: right axle end above the seat" },
  { letter: "D", words: "lying: left axle end above the steerer's axis" },
  { letter: "E", words: "lying: right axle end above the steerer's axis" },
  { letter: "F", words: "on its side: left face off the axis" },
  { letter: "G", words: "on its side: right face off the axis" },
];

export const kNoReadings: Readings = {};

export const allRead = (r: Readings) => kReadings.every(({ letter }) => !!r[letter]?.trim());

/** What was kept as text; anything else than letters with what was typed is nothing. */
export function readingsIn(text: string | null): Readings {
  try {
    const all: unknown = JSON.parse(text ?? "{}");
    if (typeof all !== "object" || all === null) return {};
    return Object.fromEntries(Object.entries(all).filter(([k, v]) => kReadings.some((r) => r.letter === k) && typeof v === "string")) as Readings;
  } catch {
    return {};
  }
}

/** One line for the shop log: "readings A 404.6, B 404.5". */
export function inTheLog(r: Readings): string {
  return `readings ${kReadings.map(({ letter }) => `${letter} ${r[letter]?.trim() ?? ""}`).join(", ")}`;
}

export const kStands: { key: keyof Stand; words: string }[] = [
  { key: "centring", words: "wheel off the middle, + to the left" },
  { key: "height", words: "left end above the right one" },
  { key: "lead", words: "left end ahead of the right one" },
  { key: "spacing", words: "between the faces" },
  { key: "offset", words: "offset" },
  { key: "axle_to_crown", words: "axle to crown, straight" },
];
