// What the next key may make of what is being typed, asked for while the hand is still in the air: its drawing then comes with
// the key itself. Pure; who asks and draws is link/actions.ts.
import type { Leaf } from "../contract/frame";
import type { Edit } from "../contract/types";
import { plainNumber, stepped } from "./numbers";

/** One question, and the drawings that have come for it. They hold for this look and these edits before the key's own. */
export type Foresight = { id: number; question: string; key: string; edits: Edit[]; look: string; drawn: Map<string, { revision: number; leaves: Leaf[] }> };

const kDigits = [..."0123456789"];
const kSteps = [1, -1, 0.1, -0.1];

/** What the arrow keys make of a text. */
export function nextSteps(text: string, unit: string): string[] {
  return plainNumber(text) ? kSteps.map((by) => stepped(text, by, unit)) : [];
}

/** A field with its cursor, or with what is selected in it. */
export type Typing = { value: string; selectionStart: number | null; selectionEnd: number | null };

/** What one key makes of what stands in a field: likeliest first, each once. */
export function nextTexts(field: Typing, unit: string): string[] {
  const text = field.value, from = field.selectionStart ?? text.length, to = field.selectionEnd ?? text.length;
  const before = text.slice(0, from), after = text.slice(to);
  const shorter = from < to ? before + after : before.slice(0, -1) + after;
  const all = new Set([shorter, ...kDigits.map((d) => before + d + after), ...nextSteps(text, unit)]);
  return [...all].filter((t) => t.trim() !== "" && t !== text);
}

/** The drawing of these edits on this revision, where it was foreseen. */
export function foreseen(f: Foresight | null, edits: Edit[], revision: number, look: string): Leaf[] | null {
  const last = edits.at(-1);
  if (!f || !last || last.key !== f.key || last.typed === null || f.look !== look) return null;
  if (JSON.stringify(edits.slice(0, -1)) !== JSON.stringify(f.edits)) return null;
  const drawn = f.drawn.get(last.typed);
  return drawn?.revision === revision ? drawn.leaves : null;
}
