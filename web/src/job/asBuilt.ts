// What is made already: the keys of [done], and what a line of the shop log says of them. Pure.
import type { Edit, Fields, LogLine, Row } from "../contract/types";

export type Side = "left" | "right" | "both";

const kSided = /^done\.(blades|inserts)\./;
const kMostShort = 60; // mm: a number above it is a length, not by how much it is too short

/** "done.blades.length" on the left: "done.blades.left.length". Both alike, or a key without sides: as it is. */
export function sidedKey(key: string, side: Side): string {
  return side === "both" ? key : key.replace(kSided, `done.$1.${side}.`);
}

/** The side that has something said of it, else the left one. */
export function sideSaid(fields: Fields, focus: string | null): Side {
  const said = [focus ?? "", ...saidDone(fields)];
  const of = (side: string) => said.some((k) => kSided.test(k) && k.includes(`.${side}.`));
  if (focus && kSided.test(focus)) return focus.includes(".left.") ? "left" : focus.includes(".right.") ? "right" : "both";
  if (of("left")) return "left";
  if (of("right")) return "right";
  return said.some((k) => kSided.test(k)) ? "both" : "left";
}

/** Keys of [done] with a value of the builder's. */
export function saidDone(fields: Fields): string[] {
  return Object.keys(fields).filter((k) => k.startsWith("done.") && !fields[k]!.assumed);
}

/** "done.blades.left.short_by" in words: "left blade, short by". */
export function wordsOf(key: string): string {
  const m = /^done\.(?:(blades|inserts)\.)?(?:(left|right)\.)?(\w+)$/.exec(key);
  if (!m) return key;
  const what = m[3]!.replace(/_/g, " ");
  if (!m[1]) return what;
  const part = m[1] === "blades" ? "blade" : "insert";
  return `${m[2] ? `${m[2]} ${part}` : `both ${part}s`}, ${what}`;
}

export type Group = { name: string; sided: boolean; rows: Row[] };

/** The rows of [done] and [freedoms] as the panel shows them. */
export function groupsOf(schema: Row[]): Group[] {
  const under = (test: RegExp) => schema.filter((r) => test.test(r.key));
  return [
    { name: "blade", sided: true, rows: under(/^done\.blades\.\w+$/) },
    { name: "insert", sided: true, rows: under(/^done\.inserts\.\w+$/) },
    { name: "steerer", sided: false, rows: under(/^done\.(steerer_length|below_seat)$/) },
    { name: "tacked fork", sided: false, rows: under(/^done\.(offset|axle_to_crown|crown_height|as_cut)$/) },
    { name: "what may move", sided: false, rows: under(/^freedoms\.\w+$/) },
  ].filter((g) => g.rows.length > 0);
}

const kSaid: { says: RegExp; key: string }[] = [
  { says: /lower trim/, key: "done.blades.lower_trim" },
  { says: /insert\b.*\bdiameter|diameter.*\binsert/, key: "done.inserts.diameter" },
  { says: /insert\b.*\bbore|bore.*\binsert/, key: "done.inserts.bore" },
  { says: /insert\b.*\blength|length.*\binsert/, key: "done.inserts.length" },
  { says: /blade\b.*\bshort|short.*\bblade/, key: "done.blades.short_by" },
  { says: /blade\b.*\b(length|long|cut)|length.*\bblade/, key: "done.blades.length" },
  { says: /steerer\b.*\b(length|long|cut)|length.*\bsteerer/, key: "done.steerer_length" },
  { says: /below (the )?(crown race )?seat/, key: "done.below_seat" },
  { says: /axle.to.crown/, key: "done.axle_to_crown" },
  { says: /crown height/, key: "done.crown_height" },
  { says: /\boffset\b/, key: "done.offset" },
];

const kNumber = /(?<![\w/])(\d+ )?\d+([.,]\d+|\/\d+)?(\s*(mm|in|"))?(?=$|[\s;.,)])/g;

function measuredIn(line: LogLine): string {
  if (line.typed?.trim()) return line.typed.trim();
  return line.what.match(kNumber)?.pop()?.trim() ?? "";
}

/** The key that a line of the log speaks of, with what was measured. */
export function offered(line: LogLine): Edit | null {
  const typed = measuredIn(line);
  if (!/\d/.test(typed)) return null;
  if (line.key?.startsWith("done.")) return { key: line.key, typed };
  const words = line.what.toLowerCase();
  const found = kSaid.find((s) => s.says.test(words));
  if (!found) return null;
  const long = found.key.endsWith("short_by") && Number.parseFloat(typed.replace(",", ".")) > kMostShort;
  const side: Side = /\bleft\b/.test(words) ? "left" : /\bright\b/.test(words) ? "right" : "both";
  return { key: sidedKey(long ? "done.blades.length" : found.key, side), typed };
}

/** The edit with what it shuts out: a blade's length and how much it is short say the same thing. */
export function withRivals(edit: Edit, fields: Fields): Edit[] {
  const rival = edit.key.endsWith(".short_by") ? edit.key.replace(/short_by$/, "length")
    : edit.key.startsWith("done.blades") && edit.key.endsWith(".length") ? edit.key.replace(/length$/, "short_by") : null;
  return rival && fields[rival] ? [edit, { key: rival, typed: null }] : [edit];
}
