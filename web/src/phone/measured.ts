// What is measured at the machine, read without a server and held against what is wanted. Reads the part of the grammar that
// one types beside a calliper (docs/quantities.md); the rest is left to the server. Pure.
import type { Card } from "../contract/types";
import { shown } from "../job/numbers";

export type Form = "length" | "angle";
export type Wanted = NonNullable<Card["wanted"]>[number];

const kHalves: Record<string, string> = { "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8" };
const kMost = 1e5; // mm or degrees: no shop measures more
const kNumber = /^([+−-]?)\s*(?:(\d+)(?:\s+|-)(?=\d+\/))?(\d+\/\d+|\d*[.,]?\d+)\s*(.*)$/;
const kLengths: Record<string, number> = { "": 1, mm: 1, cm: 10, in: 25.4, "in.": 25.4, inch: 25.4, inches: 25.4, '"': 25.4, "″": 25.4, "”": 25.4, "''": 25.4 };
const kAngles: Record<string, number> = { "": 1, deg: 1, degree: 1, degrees: 1, "°": 1 };

/** mm or degrees; null: not read here, which does not say that it is none. */
export function readMeasured(text: string, form: Form): number | null {
  const plain = text.trim().replace(/\s*([¼½¾⅛⅜⅝⅞])/, (_, half: string, at: number) => (at > 0 ? " " : "") + kHalves[half]!);
  if (/(^|\D)[1-9]\d{0,2},\d{3}(\D|$)/.test(plain)) return null; // thousands, or thousandths?
  const found = kNumber.exec(plain);
  if (!found) return null;
  const [, sign, whole, rest, unit] = found as unknown as [string, string, string | undefined, string, string];
  const [a, b] = rest.split("/");
  if (whole !== undefined && Number(a) >= Number(b)) return null; // "5-9/8" is a difference
  const part = b === undefined ? Number(a!.replace(",", ".")) : Number(a) / Number(b);
  const minutes = form === "angle" && /^°\s*(\d+)['′]$/.exec(unit);
  const scale = minutes ? 1 : (form === "angle" ? kAngles : kLengths)[unit.toLowerCase()];
  if (scale === undefined || !Number.isFinite(part) || (minutes && (Number(minutes[1]) > 59 || b !== undefined || /[.,]/.test(rest)))) return null;
  const value = (Number(whole ?? 0) + part) * scale + (minutes ? Number(minutes[1]) / 60 : 0);
  if (value > kMost) return null;
  return sign === "-" || sign === "−" ? -value : value;
}

/** Everything on a card that a measurement can be held against. */
export function wantedOf(card: Card): Wanted[] {
  if (card.wanted) return card.wanted;
  const form: Form = card.big.unit === "°" ? "angle" : "length", words = `${card.big.value} ${card.big.unit}`.trim();
  const value = readMeasured(words, form);
  return value === null ? [] : [{ name: card.big.name, words, form, value }];
}

const kFarShare = 0.05, kFarLeast = 2; // of what is wanted; mm or degrees: more is hardly a cut gone wrong, rather a slip

export type Judged = { standing: "met" | "not met" | "not known"; words: string; far: boolean };

/** Held against what is wanted; `far`: so much beside it that the number itself is doubtful. */
export function judged(value: number, wanted: Wanted): Judged {
  const by = value - wanted.value, sign = wanted.form === "angle" ? "°" : " mm";
  const places = Math.abs(by) < 1 ? 2 : 1;
  const off = `${shown(Math.abs(by), places)}${sign}`;
  const words = Number(Math.abs(by).toFixed(2)) === 0 ? `just as wanted, ${wanted.words}` : `${off} ${by > 0 ? "more" : "less"} than wanted, ${wanted.words}`;
  const far = Math.abs(by) > Math.max(kFarLeast, kFarShare * Math.abs(wanted.value), 3 * (wanted.limit ?? 0));
  if (wanted.limit === undefined) return { standing: "not known", words: `${words}; no limit is set`, far };
  const met = Math.abs(by) <= wanted.limit + 1e-9;
  return { standing: met ? "met" : "not met", words: `${words}; ±${shown(wanted.limit, 2)}${sign} is allowed`, far };
}
