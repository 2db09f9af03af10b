// The check's order: what is not met first, then what is not known, chances after what is sure, then by how
// little is left. Pure.
import type { Standing, Verdict } from "../contract/types";

const kRank: Record<Standing, number> = { "not met": 0, "not known": 1, "barely met": 2, met: 3, "no limit": 4 };

const kGrades: Verdict["grade"][] = ["can't be built", "may break or touch", "may be tight", "shop's aim"];
const gradeRank = (v: Verdict) => (isOpen(v) ? kGrades.indexOf(v.grade) : 0);

/** What is left over the limit, as a share of it; a limit of nothing is compared with 10 of its unit. */
export function shareLeft(v: Verdict): number {
  if (v.margin === null || v.limit === null) return Infinity;
  return v.margin / Math.max(Math.abs(v.limit), v.limit === 0 ? 10 : 1e-9);
}

/** A chance that something misses its limit comes after what misses it for sure. */
const chance = (v: Verdict) => Number(v.study === "tolerance" && v.unit === "%");

/** Same line and limit on both sides: the tighter one stands for both. */
export function sorted(verdicts: Verdict[]): Verdict[] {
  return verdicts
    .map((v, i) => ({ v, i }))
    .sort((a, b) => kRank[a.v.standing] - kRank[b.v.standing] || gradeRank(a.v) - gradeRank(b.v) || chance(a.v) - chance(b.v) || shareLeft(a.v) - shareLeft(b.v) || a.i - b.i)
    .map((e) => e.v);
}

/** In the order in which they are asked; those without a line are left out. */
export function byQuestion(verdicts: Verdict[]): { question: Verdict["question"]; lines: Verdict[] }[] {
  const order: Verdict["question"][] = ["Will it hold?", "Will it clear?", "Will it steer?", "Will it come out true?"];
  return order.map((question) => ({ question, lines: verdicts.filter((v) => v.question === question) })).filter((g) => g.lines.length > 0);
}

/** For a style sheet: no space in it. */
export function standingClass(s: Standing): string {
  return s.replace(" ", "-");
}

/** "2 not met, 4 not known, 13 met, 1 barely met"; with nothing not met "13 met, 4 not known": as the engine says it. */
export function countWords(verdicts: Verdict[]): string {
  const n = (s: Standing) => verdicts.filter((v) => v.standing === s).length;
  const order: Standing[] = n("not met") > 0 ? ["not met", "not known", "met", "barely met"] : ["met", "barely met", "not known"];
  return order.filter((s) => n(s) > 0).map((s) => `${n(s)} ${s}`).join(", ") || "nothing checked";
}

export function isOpen(v: Verdict): boolean {
  return v.standing === "not met" || v.standing === "not known";
}

/** Lines that are never folded away. */
export function mustShow(verdicts: Verdict[]): number {
  return verdicts.filter(isOpen).length;
}

/** Length of the margin's bar, 0 to 1: full at once the limit over again. */
export function barLength(v: Verdict): number {
  return Math.min(1, Math.abs(shareLeft(v)));
}
