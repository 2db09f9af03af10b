// The slip: every verdict as on a job slip, tightest first; what stops the fork stands above all.
import { useState } from "react";
import { goTo, saveEdits, say } from "../link/actions";
import { kNoFields, kNoNumbers, set, usePage } from "../link/store";
import type { Note, Problem, Verdict } from "../contract/types";
import { mendOfVerdict } from "../job/mends";
import { inUnit, shown, signed, unitSign } from "../job/numbers";
import { barLength, byQuestion, countWords, isOpen, mustShow, sorted, standingClass } from "../job/slip";
import { Problems } from "../parts/Problems";

const kNoVerdicts: Verdict[] = [];
const kFirst = 8; // lines before "all"

export function Slip() {
  const view = usePage((p) => p.view);
  const told = usePage((p) => (p.view?.solved ? p.view : p.drawn)?.verdicts ?? kNoVerdicts);
  const [all, setAll] = useState(false);
  const verdicts = sorted(told);
  const lines = all ? verdicts : verdicts.slice(0, Math.max(kFirst, mustShow(verdicts)));
  return (
    <section className="slip" aria-label="The slip: what is met and by how much">
      <header className="slip-head">
        <h2>slip</h2>
        <span>{view && !view.solved ? "this fork can't be built" : verdicts.length ? countWords(verdicts) : ""}</span>
      </header>
      {view && !view.solved && <Stops problems={view.problems} />}
      <div className={view && !view.solved ? "stale" : ""}>
        {byQuestion(lines).map((g) => (
          <section key={g.question} aria-label={g.question}>
            <h3 className="question">{g.question} <small>{countWords(verdicts.filter((v) => v.question === g.question))}</small></h3>
            <ol>{g.lines.map((v, i) => <Line key={`${v.code}${v.what}${i}`} verdict={v} />)}</ol>
          </section>
        ))}
        {verdicts.length > lines.length && <button type="button" className="press" onClick={() => setAll(true)}>show all {verdicts.length}</button>}
        {all && <button type="button" className="press" onClick={() => setAll(false)}>only the tightest</button>}
        <Numbers />
        <Notes notes={view?.notes ?? []} />
        <Assumed />
      </div>
    </section>
  );
}

function Stops({ problems }: { problems: Problem[] }) {
  return (
    <div className="stops" role="alert">
      <p><b>These numbers make no fork.</b> The drawing shows the last one that could be built.</p>
      <Problems problems={problems} />
      {problems[0]?.where.key && (
        <button type="button" className="press" onClick={() => goTo(problems[0]!.where.key)}>to the field</button>
      )}
    </div>
  );
}

function Line({ verdict: v }: { verdict: Verdict }) {
  const [open, setOpen] = useState(false);
  const pointed = usePage((p) => p.pointed === v);
  const mend = mendOfVerdict(v);
  const margin = v.margin === null ? "" : `${v.margin < 0 ? "" : "+"}${inUnit(v.margin, v.unit)}`;
  const point = () => {
    set({ pointed: pointed ? null : v });
    say(pointed ? "" : `Shown on the drawing: ${signed(v.what)}`);
  };
  return (
    <li className={`line ${standingClass(v.standing)}${pointed ? " pointed" : ""}`}>
      <button type="button" className="line-what" aria-expanded={open} onClick={() => setOpen(!open)}>
        <span className="line-words">{signed(v.what)}</span>
        <span className="line-value">{v.value === null ? "?" : inUnit(v.value, v.unit)} <small>{unitSign(v.unit)}</small></span>
      </button>
      {v.standing !== "no limit" && (
        <div className="line-margin">
          <span className={`standing ${standingClass(v.standing)}`}>{v.standing}{isOpen(v) && <>: {v.grade}</>}</span>
          {v.standing !== "not known" && <span className="bar" aria-hidden="true"><span style={{ width: `${Math.max(2, barLength(v) * 100)}%` }} /></span>}
          <span className="margin">{margin}</span>
        </div>
      )}
      {open && (
        <div className="line-more">
          <p>
            {v.limit !== null && <>{v.sense} {inUnit(v.limit, v.unit)} {unitSign(v.unit)}. </>}
            {v.source && <span className="source">{v.source}. </span>}
            {signed(v.note)}
          </p>
          {v.fix && <p><b>To meet it:</b> {signed(v.fix)}</p>}
          {(v.load || v.not_counted) && <p className="source">{v.load}{v.load && ". "}{v.not_counted}</p>}
          <div className="row">
            {v.places.some(Boolean) && <button type="button" className="press" aria-pressed={pointed} onClick={point}>show the place</button>}
            {v.key && <button type="button" className="press" onClick={() => goTo(v.key!)}>to the field</button>}
            </div>
        </div>
      )}
      {mend && <div className="row"><button type="button" className="press main" onClick={() => saveEdits(mend.edits)}>{mend.label}</button></div>}
    </li>
  );
}

const kNumbers: [string, string, string, number][] = [
  ["trail", "trail", "mm", 1], ["axle_to_crown_straight", "axle-to-crown", "mm", 1], ["splay_left", "splay", "°", 2],
  ["lower_trim_left", "off each tip", "mm", 1], ["crown_gap", "tyre to steerer", "mm", 1], ["mass", "mass", "kg", 2],
  ["stiffness_lateral", "stiff sideways", "N/mm", 0],
];

function Numbers() {
  const numbers = usePage((p) => (p.view?.solved ? p.view : p.drawn)?.numbers ?? kNoNumbers);
  return (
    <dl className="numbers">
      {kNumbers.filter(([k]) => numbers[k] !== undefined).map(([k, name, unit, places]) => (
        <div key={k}><dt>{name}</dt><dd>{shown(numbers[k]!, places)} <small>{unit}</small></dd></div>
      ))}
    </dl>
  );
}

function Notes({ notes }: { notes: Note[] }) {
  const seen = notes.filter((n) => n.kind !== "assumed");
  if (seen.length === 0) return null;
  return (
    <details className="notes">
      <summary>{seen.length} {seen.length === 1 ? "warning" : "warnings"}</summary>
      <ul>{seen.map((n, i) => <li key={i}>{signed(n.what)}</li>)}</ul>
    </details>
  );
}

function Assumed() {
  const fields = usePage((p) => p.view?.fields ?? kNoFields);
  const keys = Object.keys(fields).filter((k) => fields[k]!.assumed && fields[k]!.typed);
  if (keys.length === 0) return null;
  return (
    <details className="notes">
      <summary>{keys.length} assumed</summary>
      <ul className="assumed-list">
        {keys.map((k) => (
          <li key={k}>
            <button type="button" onClick={() => goTo(k)}><span>{k.replace(/_/g, " ").replace(".", ": ")}</span> <em>{fields[k]!.typed}</em></button>
          </li>
        ))}
      </ul>
    </details>
  );
}
