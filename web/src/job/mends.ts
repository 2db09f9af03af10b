// What would help, as buttons: a problem's own words about what fits, turned into edits. Pure.
import type { Edit, Fields, Problem, Verdict } from "../contract/types";
import { stepped, typedNumber } from "./numbers";

export type Mend = { label: string; edits: Edit[] };

const kWishes = ["clearance", "crown_height", "top_angle", "splay", "lower_trim", "upper_trim", "spacing"];

function wishNamed(words: string): string | undefined {
  return kWishes.find((w) => words.includes(w.replace("_", " ")));
}

function moved(fields: Fields, key: string, by: number): Edit | null {
  const f = fields[key];
  return f && f.value !== null ? { key, typed: stepped(f.typed, by, "mm") } : null;
}

/** "It fits with 7.3 mm less axle-to-crown, or with blades 7.3 mm longer." */
function otherLengths(p: Problem, fields: Fields): Mend[] {
  const out: Mend[] = [];
  const less = /([\d.]+) mm (less|more) axle-to-crown/.exec(p.fits);
  if (less) {
    const by = Number(less[1]) * (less[2] === "less" ? -1 : 1);
    const edit = moved(fields, "steering.axle_to_crown", by);
    if (edit) out.push({ label: `${less[1]} mm ${less[2]} axle-to-crown`, edits: [edit] });
  }
  const longer = /blades? ([\d.]+) mm longer/.exec(p.fits);
  const edit = longer ? moved(fields, "blades.stock_length", Number(longer[1])) : null;
  if (longer && edit) out.push({ label: `Blades ${longer[1]} mm longer`, edits: [edit] });
  return out;
}

/** Three wishes: any one may go. */
function wishTooMany(p: Problem, fields: Fields): Mend[] {
  const held = kWishes.filter((w) => fields[`wishes.${w}`] && !fields[`wishes.${w}`]!.assumed);
  if (p.code !== "wishes-not-two" || held.length < 3) return [];
  return held.map((w) => ({
    label: `Let ${w.replace("_", " ")} follow`,
    edits: [{ key: `wishes.${w}`, typed: null }],
  }));
}

function nearest(p: Problem): string | null {
  const range = /from ([−-]?[\d.]+) to ([−-]?[\d.]+)/.exec(p.fits);
  const found = /[Ff]ound ([−-]?[\d.]+)/.exec(p.what);
  if (!range) return null;
  const [least, most] = [range[1]!, range[2]!].map((t) => Number(t.replace("−", "-"))) as [number, number];
  if (!found) return /e\.g\. ([−-]?[\d.]*\d)/.exec(p.fits)?.[1] ?? null;
  const value = Number(found[1]!.replace("−", "-"));
  return typedNumber(value < least ? least : value > most ? most : value);
}

/** The nearest is told to a tenth, perhaps rounded past it: a tenth nearer to what can be had. */
function safeSide(p: Problem, told: string): string {
  const wished = /of ([−-]?[\d.]+)/.exec(p.what);
  const nearest = Number(told.replace("−", "-"));
  if (!wished) return told;
  return typedNumber(nearest + (Number(wished[1]!.replace("−", "-")) > nearest ? -0.1 : 0.1));
}

/** Every way out that the problem's words name. */
export function mendsOf(p: Problem, fields: Fields): Mend[] {
  const key = p.where.key;
  const wish = /Ask for an? (.+?) of ([−-]?[\d.]+)/.exec(p.fits);
  if (wish) {
    const name = wishNamed(wish[1]!);
    const typed = safeSide(p, wish[2]!);
    if (name) return [{ label: `Take ${typed}`, edits: [{ key: `wishes.${name}`, typed }] }];
  }
  const more = [...otherLengths(p, fields), ...wishTooMany(p, fields)];
  if (more.length > 0 || !key || key.includes("[")) return more;
  const one = /^(?:Type|Give|Write|Take) ([−-]?[\d][\d.,]*)(?= (?:mm|or|deg|kg)|[,.]|$)/.exec(p.fits);
  if (one) return [{ label: `Take ${clean(one[1]!)}`, edits: [{ key, typed: clean(one[1]!) }] }];
  const near = nearest(p);
  return near ? [{ label: `Take ${near}`, edits: [{ key, typed: near }] }] : [];
}

function clean(number: string): string {
  return number.replace(/[.,]$/, "");
}

/** A verdict that knows which key would mend it. */
export function mendOfVerdict(v: Verdict): Mend | null {
  return v.key && v.fits ? { label: `Make it ${v.fits}`, edits: [{ key: v.key, typed: v.fits }] } : null;
}

/** The field at which a problem is answered: the key itself, or the list it stands in. */
export function fieldOf(p: Problem): string {
  const wish = /Ask for an? (.+?) of /.exec(p.fits);
  const named = wish ? wishNamed(wish[1]!) : undefined;
  return named ? `wishes.${named}` : p.where.key.replace(/\[.*$/, "");
}
