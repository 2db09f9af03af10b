// Revisions: named, laid under the drawing as a ghost, compared number by number, and brought back.
import { useState } from "react";
import type { Moved, Revision } from "../contract/types";
import { backTo, openPanel, overlay } from "../link/actions";
import * as rest from "../link/rest";
import { usePicked } from "../link/store";
import { inUnit, unitSign } from "../job/numbers";
import { inWords } from "../job/tags";
import { Press } from "../parts/Press";
import { when } from "../parts/time";
import { useAsked, type Asked } from "../parts/useAsked";
import { Waiting } from "../parts/Waiting";

export function History() {
  const { job, ghostOf, online } = usePicked("job", "ghostOf", "online");
  const [name, setName] = useState("");
  const [wrong, setWrong] = useState("");
  const id = job?.id ?? "", newest = job?.revision ?? 0;

  const list = useAsked<Revision[]>(id ? () => rest.revisions(id) : null, id, [newest]);
  const all = [...(list.answer ?? [])].sort((a, b) => b.revision - a.revision);
  const of = `${id} ${ghostOf} ${newest}`;
  const moved = useAsked<Moved[]>(id && ghostOf !== null ? (signal) => rest.compare(id, ghostOf, newest, signal) : null, of, []);

  const close = () => {
    void overlay(null);
    openPanel(null);
  };
  const give = async () => {
    if (!id || !name.trim()) return;
    try {
      await rest.nameNewest(id, name.trim());
    } catch (e) {
      return setWrong(e instanceof rest.Refused ? e.message : "Not named: the server can't be reached.");
    }
    setWrong("");
    setName((now) => (now === name ? "" : now));
    list.again();
  };
  const goBack = (revision: number) => {
    void overlay(null);
    backTo(revision);
  };
  return (
    <section className="slip history" aria-label="Revisions">
      <header className="slip-head">
        <h2>revisions</h2>
        <Press kind="quiet" label="Close revisions" onPress={close}>×</Press>
      </header>
      <form className="row" onSubmit={(e) => { e.preventDefault(); void give(); }}>
        <label className="inline-field">Name revision {newest}
          <input type="text" value={name} onChange={(e) => setName(e.target.value)} placeholder="as agreed on Tuesday" />
        </label>
        <Press onPress={() => void give()} whyNot={!name.trim() && "type a name first"}>name it</Press>
      </form>
      {wrong && <p className="problem" role="alert">{wrong}</p>}
      {ghostOf !== null && <NumbersMoved moved={moved} a={ghostOf} b={newest} />}
      <Waiting asked={list} words="The revisions are being read" />
      <ol className="revision-list">
        {all.map((r) => (
          <li key={r.revision} className={r.revision === ghostOf ? "here" : ""}>
            <button type="button" aria-pressed={r.revision === ghostOf} disabled={r.revision === newest}
              onClick={() => void overlay(r.revision === ghostOf ? null : r.revision)}>
              <b>{r.revision}</b>
              <span>{r.name && <strong>{r.name}: </strong>}{inWords(r.what)}<small>{when(r.at)} ({r.paper})</small></span>
            </button>
            {r.revision !== newest && (
              <Press kind="quiet" label={`Go back to revision ${r.revision}`} hint="The job becomes what it was then; undo takes that back"
                whyNot={r.paper === job?.paper ? "it is what stands there now" : !online && "the server can't be reached"} onPress={() => goBack(r.revision)}>go back</Press>
            )}
          </li>
        ))}
      </ol>
    </section>
  );
}

function NumbersMoved({ moved, a, b }: { moved: Asked<Moved[]>; a: number; b: number }) {
  const changed = (moved.answer ?? []).filter((m) => m.a === null || m.b === null || Math.abs(m.a - m.b) > 5e-4);
  const told = (v: number | null, unit: string) => (v === null ? "none" : inUnit(v, unit));
  return (
    <div className="moved" aria-live="polite">
      <p>Revision {a} lies under the drawing as dashes. Numbers that moved to {b}:</p>
      <Waiting asked={moved} words="Both are being worked out" />
      {moved.answer && changed.length === 0 && <p className="quiet-words">None.</p>}
      <table>
        <tbody>
          {changed.map((m) => (
            <tr key={m.name}>
              <th scope="row">{m.name}</th>
              <td>{told(m.a, m.unit)}</td>
              <td aria-label="to">→</td>
              <td><b>{told(m.b, m.unit)}</b> <small>{unitSign(m.unit)}</small></td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
