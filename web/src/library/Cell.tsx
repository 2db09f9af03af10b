// One value of the library: what was typed, the other unit beside it, what is wrong below. Kept when the cursor leaves.
import { useId, useRef, useState } from "react";
import type { Problem, Row } from "../contract/types";
import { unitOf } from "../job/numbers";
import { useOther } from "../parts/useOther";
import { Said } from "./Said";

type Props = {
  row: Row;
  name: string;
  value: string;
  problems: Problem[];
  /** Empty: it is saved. What is refused stays in the cell. */
  onKeep: (typed: string | null, base: number) => Promise<Problem[]>;
  revision: number; // of the library, as it is seen
};

export function Cell({ row, name, value, problems, onKeep, revision }: Props) {
  const id = useId();
  const [draft, setDraft] = useState<string | null>(null);
  const base = useRef(revision); // on which typing began
  const [refused, setRefused] = useState<Problem[]>([]);
  const text = draft ?? value;
  const other = useOther(row.choices.length ? "" : text, row.form);
  const wrong = refused.length ? refused : problems;

  const keep = async (typed: string | null) => {
    if (typed === null || typed === value) {
      setDraft(null);
      return setRefused([]);
    }
    const said = await onKeep(typed.trim() === "" ? null : typed, draft === null ? revision : base.current);
    setRefused(said);
    if (said.length > 0) base.current = latest.current; // what stands there now was shown
    else setDraft((now) => (now === typed || draft === null ? null : now)); // unless it is being typed anew
  };
  const latest = useRef(revision);
  latest.current = revision;
  const type = (typed: string) => {
    if (draft === null) base.current = revision;
    setDraft(typed);
  };
  const common = { id, "aria-invalid": wrong.length > 0 || undefined, "aria-describedby": `${id}p`, title: row.meaning };
  return (
    <div className={`shelf-cell${wrong.length ? " wrong" : ""}${row.form === "text" ? " words-cell" : ""}`}>
      <label htmlFor={id}>{name}{row.need === "required" && !text && <em className="taken"> needed</em>}</label>
      {row.choices.length > 0 ? (
        <select {...common} value={text} onChange={(e) => void keep(e.target.value)}>
          {(row.need !== "required" || text === "") && <option value="">{row.fallback || "not said"}</option>}
          {row.choices.map((c) => <option key={c} value={c}>{c}</option>)}
        </select>
      ) : (
        <input {...common} type="text" value={text} spellCheck={false} autoComplete="off" placeholder={row.fallback}
          onChange={(e) => type(e.target.value)} onBlur={() => void keep(draft)}
          onKeyDown={(e) => {
            if (e.key === "Enter") void keep(draft);
            if (e.key !== "Escape" || draft === null) return;
            e.stopPropagation();
            setDraft(null);
            setRefused([]);
          }} />
      )}
      <span className="other">{other || (/^[−-]?[\d.,]+$/.test(text) ? unitOf(row.form) : "")}</span>
      <Said problems={wrong} id={`${id}p`} />
    </div>
  );
}
