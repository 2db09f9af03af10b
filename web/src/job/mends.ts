// What would help, as buttons: the numbers a problem offers, turned into edits; else the range it names. Pure.
import type { Edit, Fields, Problem, Verdict } from "../contract/types";
import { typedNumber } from "./numbers";

type Offer = NonNullable<Problem["offers"]>[number];
export type Mend = { label: string; edits: Edit[] };

const kWishes = ["clearance", "crown_height", "top_angle", "splay", "lower_trim", "upper_trim", "spacing"];

/** A number the engine has tried. */
function offered(o: Offer): Mend {
  return { label: `Take ${o.label}`, edits: [{ key: o.key, typed: o.typed }] };
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

/** Every way out that the problem's words name. */
export function mendsOf(p: Problem, fields: Fields): Mend[] {
  const key = p.where.key;
  if (p.offers?.length) return p.offers.map(offered);
  const more = wishTooMany(p, fields);
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
  return p.where.key.replace(/\[.*$/, "");
}
