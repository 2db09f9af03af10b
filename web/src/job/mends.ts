// What would help, as buttons: the numbers a problem offers, turned into edits. Pure.
import type { Edit, Fields, Offer, Problem, Verdict } from "../contract/types";

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

/** The ways out that the problem knows. */
export function mendsOf(p: Problem, fields: Fields): Mend[] {
  return p.offers?.length ? p.offers.map(offered) : wishTooMany(p, fields);
}

/** A verdict that knows which key would mend it. */
export function mendOfVerdict(v: Verdict): Mend | null {
  return v.key && v.fits ? { label: `Make it ${v.fits}`, edits: [{ key: v.key, typed: v.fits }] } : null;
}

/** The field at which a problem is answered: the key itself, or the list it stands in. */
export function fieldOf(p: Problem): string {
  return p.where.key.replace(/\[.*$/, "");
}
