// One key of the job: what was typed, the other unit beside it, and what is wrong said below with its way out.
import { useEffect, useId, useRef, useState, type KeyboardEvent } from "react";
import { saveEdits } from "../link/actions";
import { set, usePage } from "../link/store";
import type { Problem, Row } from "../contract/types";
import { kColumns } from "../job/lists";
import { fieldOf } from "../job/mends";
import { stepped, unitOf } from "../job/numbers";
import { label } from "../job/tags";
import { Problems } from "../parts/Problems";
import { useOther } from "../parts/useOther";
import { Rows } from "./Rows";
import { useDraft } from "./useDraft";
import { useForesight } from "./useForesight";

type Props = { row: Row; autoFocus?: boolean; onDone?: () => void };

export function Field(props: Props) {
  if (props.row.form === "list" && kColumns[props.row.key]) return <Rows row={props.row} />;
  if (props.row.choices.length > 0) return <Choice {...props} />;
  return <Typed {...props} />;
}

/** What is wrong at this key: refused when it was typed, or said of the job as it stands. What another window changed is asked above. */
export function useProblems(key: string): Problem[] {
  const refused = usePage((p) => p.refused[key]?.problems);
  const problems = usePage((p) => p.view?.problems);
  return refused?.filter((p) => p.code !== "edit-conflict") ?? (problems ?? []).filter((p) => fieldOf(p) === key);
}

/** The cursor comes here when somebody asked for this key. */
export function useCalled(key: string, autoFocus?: boolean) {
  const here = useRef<HTMLInputElement & HTMLSelectElement & HTMLTextAreaElement>(null);
  const called = usePage((p) => p.focus === key);
  useEffect(() => {
    if (!called && !autoFocus) return;
    here.current?.focus();
    here.current?.select?.();
    here.current?.scrollIntoView({ block: "center" });
    if (called) set({ focus: null });
  }, [called, autoFocus, here]);
  return here;
}

function Meaning({ row, id }: { row: Row; id: string }) {
  return <span className="meaning" id={id}>{row.meaning}</span>;
}

function Typed({ row, autoFocus, onDone }: Props) {
  const id = useId();
  const { text, draft, type, keep, leave } = useDraft(row.key);
  const field = usePage((p) => p.view?.fields[row.key]);
  const here = useCalled(row.key, autoFocus);
  const problems = useProblems(row.key);
  const refused = usePage((p) => !!p.refused[row.key]);
  const other = useOther(text, row.form === "share" ? "length" : row.form);
  const [asked, setAsked] = useState(false);
  const ask = useForesight(here, row, text);
  const long = row.form === "list" || (row.form === "text" && row.most > 100);

  const onKey = (e: KeyboardEvent) => {
    if (e.key === "Enter" && (!long || e.ctrlKey)) {
      keep();
      onDone?.();
    } else if (e.key === "Escape" && (draft !== null || refused || onDone)) {
      leave();
      onDone?.();
    } else if ((e.key === "ArrowUp" || e.key === "ArrowDown") && field?.value != null && row.form !== "text") {
      const by = (e.key === "ArrowUp" ? 1 : -1) * (e.shiftKey ? 0.1 : 1);
      type(stepped(text, by, unitOf(row.form)));
    } else {
      return;
    }
    e.preventDefault();
    e.stopPropagation();
  };
  const common = {
    id, ref: here, value: text, onKeyDown: onKey, onBlur: keep, onSelect: ask, spellCheck: false, autoComplete: "off",
    onChange: (e: { target: { value: string } }) => type(e.target.value),
    "aria-invalid": problems.length > 0 || refused || undefined,
    "aria-describedby": `${id}m ${id}p`,
    placeholder: row.fallback || (row.need === "required" ? "?" : ""),
    className: field?.assumed && draft === null ? "assumed" : "",
  };
  return (
    <div className={`field${problems.length || refused ? " wrong" : ""}`}>
      <label htmlFor={id}>
        {label(row.key)} {field?.assumed && <em className="taken">assumed</em>}
        {row.need === "required" && !text && <em className="taken">needed</em>}
      </label>
      <div className="field-line">
        {long ? <textarea rows={3} {...common} /> : <input type="text" {...common} />}
        <span className="unit">{/^[−-]?[\d.,]*$/.test(text) ? unitOf(row.form) : ""}</span>
        <span className="other" aria-live="polite">{other}</span>
        <button type="button" className="why" aria-expanded={asked} aria-label={`What is ${label(row.key)}?`} onClick={() => setAsked(!asked)}>?</button>
      </div>
      <div className={asked ? "" : "away"}><Meaning row={row} id={`${id}m`} /></div>
      <Problems problems={problems} id={`${id}p`} />
    </div>
  );
}

function Choice({ row, autoFocus }: Props) {
  const id = useId();
  const field = usePage((p) => p.view?.fields[row.key]);
  const here = useCalled(row.key, autoFocus);
  const problems = useProblems(row.key);
  const typed = field?.typed ?? "";
  return (
    <div className={`field${problems.length ? " wrong" : ""}`}>
      <label htmlFor={id}>
        {label(row.key)} {field?.assumed && <em className="taken">assumed</em>}
      </label>
      <select id={id} ref={here} value={typed} className={field?.assumed ? "assumed" : ""} title={row.meaning}
        onChange={(e) => saveEdits([{ key: row.key, typed: e.target.value || null }])}>
        {(typed === "" || row.need !== "required") && <option value="">{row.fallback ? `${row.fallback} (assumed)` : "not said"}</option>}
        {row.choices.map((c) => <option key={c} value={c}>{c}</option>)}
      </select>
      <Problems problems={problems} />
    </div>
  );
}
