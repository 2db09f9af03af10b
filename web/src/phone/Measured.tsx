// What is measured at the machine: refused where it is no measure, held against what is wanted before it is written down.
import { useRef, useState } from "react";
import type { LogLine, Step } from "../contract/types";
import { latest } from "../job/latest";
import { unit } from "../link/rest";
import { useOther } from "../parts/useOther";
import { judged, readMeasured, wantedOf, type Form } from "./measured";

const kNames: Record<Form, string> = { length: "a length, e.g. 340.2 or 13 3/8 in", angle: "an angle, e.g. 12.5" };

type Props = { card: Step; onLog: (job: string, line: LogLine) => void };

export function Measured({ card, onLog }: Props) {
  const [typed, setTyped] = useState("");
  const [which, setWhich] = useState(0);
  const [kept, setKept] = useState("");
  const [wrong, setWrong] = useState("");
  const [sure, setSure] = useState(false);
  const all = wantedOf(card), wanted = all[which];
  const form: Form = wanted?.form ?? (card.big.unit === "°" ? "angle" : "length");
  const other = useOther(typed, form);
  const value = typed.trim() ? readMeasured(typed, form) : null;
  const held = value !== null && wanted ? judged(value, wanted) : null;

  const asking = useRef(latest());
  const type = (text: string) => {
    asking.current();
    setTyped(text);
    setWrong("");
    setKept("");
    setSure(false);
  };
  const write = async () => {
    const text = typed.trim(), stillWanted = asking.current();
    // what is not read here may be read by the server; without it, what can't be read is refused
    const known = readMeasured(text, form) ?? (await unit(text, form).then((u) => u.value, () => null));
    if (!stillWanted()) return; // typed on, or pressed once more
    if (known === null) return setWrong(`“${text}” can't be read. Type ${kNames[form]}.`);
    const now = wanted ? judged(known, wanted) : null;
    if (now?.far && !sure) {
      setWrong(`Far from what is wanted: ${now.words}. Is it the right place? Then press again.`);
      return setSure(true);
    }
    const what = `${wanted?.name || card.title}${wanted ? `, wanted ${wanted.words}` : ""}${now && now.standing !== "not known" ? `: ${now.standing}` : ""}`;
    onLog(card.job, { who: "at the mill", what, key: card.id, typed: text });
    setTyped("");
    setSure(false);
    setWrong("");
    setKept(`${text} written down${now ? `: ${now.words}` : ""}`);
  };
  return (
    <form className="phone-measured" onSubmit={(e) => { e.preventDefault(); if (typed.trim()) void write(); }}>
      {all.length > 1 && (
        <label className="phone-which">which
          <select value={which} onChange={(e) => { setWhich(Number(e.target.value)); type(typed); }}>
            {all.map((w, i) => <option key={w.name} value={i}>{w.name}: {w.words}</option>)}
          </select>
        </label>
      )}
      <label>measured
        <input type="text" value={typed} onChange={(e) => type(e.target.value)} autoComplete="off" enterKeyHint="done" aria-invalid={!!wrong || undefined} />
      </label>
      <button type="submit" disabled={!typed.trim()}>{sure ? "write it all the same" : "write"}</button>
      {wrong && <p className="problem" role="alert" ref={(here) => here?.scrollIntoView({ block: "nearest" })}>{wrong}</p>}
      <span role="status" className={held ? `held ${held.standing.replace(" ", "-")}` : ""}>
        {held ? <>{held.standing !== "not known" && <b>{held.standing}: </b>}{held.words}{other && ` (${other})`}</> : kept || other}
      </span>
    </form>
  );
}
