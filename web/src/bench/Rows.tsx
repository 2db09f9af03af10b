// A list of the job as a small table: stations of a blade, a tyre's half profile. A block of cells can be pasted
// from a spreadsheet; the outline is drawn as one types.
import { useMemo, useState, type ClipboardEvent, type KeyboardEvent } from "react";
import { foresee, forget, openPanel, saveEdits, tryEdits } from "../link/actions";
import { get, typedNow, usePage } from "../link/store";
import type { Row } from "../contract/types";
import { kColumns, laidOver, listText, pasted, rowsOf, type Cells } from "../job/lists";
import { nextTexts, type Typing } from "../job/foresight";
import { bladeOutline, tyreOutline } from "../job/picture";
import { label } from "../job/tags";
import { Press } from "../parts/Press";
import { Problems } from "../parts/Problems";
import { Outline } from "./Outline";
import { Field, useCalled, useProblems } from "./Field";

const draftOf = (key: string) => get().queue.trying.find((d) => d.key === key);

export function Rows({ row }: { row: Row }) {
  const key = row.key;
  const columns = kColumns[key]!;
  const typed = usePage((p) => typedNow(p, key));
  const problems = useProblems(key);
  const here = useCalled(key);
  const there = useMemo(() => (typed ? rowsOf(typed, columns) : []), [typed, columns]);
  const [draft, setDraft] = useState<Cells[] | null>(() => rowsOf(draftOf(key)?.typed ?? "", columns));
  if (there === null) return <Field row={{ ...row, form: "text", most: 1e9 }} />;
  const rows = [...(draft ?? there), {}];

  const change = (next: Cells[]) => {
    setDraft(next);
    tryEdits([{ key, typed: listText(next, columns) }]);
  };
  const ask = (cell: Typing, i: number, j: number) =>
    foresee(key, nextTexts(cell, "mm").map((t) => listText(laidOver(draft ?? there, columns, i, j, [[t]]), columns)));
  const keep = () => {
    if (!draft) return;
    const text = listText(draft, columns), was = draftOf(key)?.was ?? ""; // the view shows what is tried as if it stood there
    setDraft(null);
    if (text === listText(rowsOf(was, columns) ?? [], columns)) forget(key);
    else saveEdits([{ key, typed: text === "[]" ? null : text }]);
  };
  const onPaste = (e: ClipboardEvent, i: number, j: number) => {
    const block = pasted(e.clipboardData.getData("text"));
    if (!block) return;
    e.preventDefault();
    change(laidOver(draft ?? there, columns, i, j, block));
  };
  const onKey = (e: KeyboardEvent<HTMLInputElement>, i: number, j: number) => {
    if (e.key === "Escape" && draft) {
      setDraft(null);
      forget(key);
    } else if (e.key === "Enter" || e.key === "ArrowDown" || e.key === "ArrowUp") {
      const table = e.currentTarget.closest("table");
      const to = i + (e.key === "ArrowUp" ? -1 : 1);
      table?.querySelector<HTMLInputElement>(`[data-cell="${to}-${j}"]`)?.focus();
    } else {
      return;
    }
    e.preventDefault();
    e.stopPropagation();
  };
  const shape = key.endsWith("stations") ? bladeOutline(draft ?? there) : key.endsWith("half_profile") ? tyreOutline(draft ?? there) : null;

  return (
    <div className={`field rows${problems.length ? " wrong" : ""}`} onBlur={(e) => !e.currentTarget.contains(e.relatedTarget) && keep()}>
      <span className="field-name">{label(key)} <span className="quiet-words">mm; paste from a spreadsheet</span></span>
      {key.endsWith("half_profile") && <Press onPress={() => openPanel("trace")}>trace it on squared paper</Press>}
      {shape && <Outline shape={shape} name={`${label(key)}, drawn`} />}
      <table>
        <thead>
          <tr>{columns.map((c) => <th key={c} scope="col">{label(c)}</th>)}</tr>
        </thead>
        <tbody>
          {rows.map((r, i) => (
            <tr key={i}>
              {columns.map((c, j) => (
                <td key={c}>
                  <input type="text" ref={i === 0 && j === 0 ? here : undefined} value={r[c] ?? ""} data-cell={`${i}-${j}`} aria-label={`${label(c)}, row ${i + 1}`}
                    onChange={(e) => change(laidOver(draft ?? there, columns, i, j, [[e.target.value]]))}
                    onSelect={(e) => ask(e.currentTarget, i, j)} onPaste={(e) => onPaste(e, i, j)} onKeyDown={(e) => onKey(e, i, j)} spellCheck={false} />
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <Problems problems={problems} />
    </div>
  );
}
