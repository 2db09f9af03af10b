// Going wrong is a normal step: what is cut, and the ways that are left, best first.
import { useEffect, useState } from "react";
import type { Way, Ways } from "../contract/types";
import { goTo, openPanel, redraw, saveEdits } from "../link/actions";
import * as rest from "../link/rest";
import { kNoFields, usePage } from "../link/store";
import { inUnit, unitSign } from "../job/numbers";
import { spoken } from "../job/slip";
import { Press } from "../parts/Press";
import { Sheet } from "../parts/Sheet";

export function Mending() {
  const job = usePage((p) => p.job);
  const [ways, setWays] = useState<Ways | null>(null);
  const [wrong, setWrong] = useState("");
  const id = job?.id, revision = job?.revision ?? 0;
  useEffect(() => {
    if (!id) return;
    const stop = new AbortController();
    rest.ways(id, stop.signal).then(
      (w) => { setWrong(""); setWays(w); },
      (e: Error) => { if (!stop.signal.aborted) { setWays(null); setWrong(e.message); } },
    );
    return () => stop.abort();
  }, [id, revision]);
  const take = (way: number) => {
    if (!id) return;
    rest.takeWay(id, revision, way).then(() => { openPanel(null); redraw(); }, (e: Error) => setWrong(e.message));
  };
  return (
    <Sheet name="I cut it short" onClose={() => openPanel(null)}>
      <Told />
      {wrong && <p className="problem" role="alert">{wrong}</p>}
      {ways?.notes.map((n) => <p key={n}>{n}</p>)}
      {ways && <ol className="ways">{ways.ways.map((w, i) => <OneWay key={w.title} way={w} onTake={() => take(i + 1)} />)}</ol>}
      {ways && ways.ways.length === 0 && <p className="quiet-words">No way lies within the freedoms.</p>}
      {ways && ways.outside.length > 0 && (
        <details>
          <summary>{ways.outside.length} beyond the freedoms</summary>
          <ul>{ways.outside.map((w) => <li key={w.title}>{w.title}</li>)}</ul>
        </details>
      )}
      <Press kind="quiet" onPress={() => goTo("done.blades")}>everything that can be told of what is done</Press>
    </Sheet>
  );
}

/** What went wrong, in the three words it takes. */
function Told() {
  const fields = usePage((p) => p.view?.fields ?? kNoFields);
  const [side, setSide] = useState<"left" | "right">("left");
  const key = `done.blades.${side}`;
  const [end, setEnd] = useState("upper end");
  const [short, setShort] = useState("");
  const told = fields[`${key}.short_by`]?.typed;
  const tell = () => {
    if (!short.trim()) return;
    saveEdits([{ key: `${key}.short_by`, typed: short.trim() }, { key: `${key}.short_at`, typed: end }]);
    setShort("");
  };
  const take = () => saveEdits([{ key: `${key}.short_by`, typed: null }, { key: `${key}.short_at`, typed: null }]);
  return (
    <form className="row" onSubmit={(e) => { e.preventDefault(); tell(); }}>
      <label className="inline-field">Blade
        <select value={side} onChange={(e) => setSide(e.target.value as "left" | "right")}>
          <option>left</option>
          <option>right</option>
        </select>
      </label>
      <label className="inline-field">at its
        <select value={end} onChange={(e) => setEnd(e.target.value)}>
          <option>upper end</option>
          <option>lower end</option>
        </select>
      </label>
      <label className="inline-field">short by, mm <input type="text" value={short} onChange={(e) => setShort(e.target.value)} placeholder={told ?? "1,4"} /></label>
      <Press kind="main" onPress={tell} whyNot={!short.trim() && "say by how much"}>what now?</Press>
      {told && <Press onPress={take}>not true: take it back</Press>}
    </form>
  );
}

function OneWay({ way, onTake }: { way: Way; onTake: () => void }) {
  const moved = way.moves.filter((m) => Math.abs(m.difference) > 5e-4);
  return (
    <li>
      <h3>{way.title}</h3>
      {moved.length > 0 && (
        <table>
          <tbody>
            {moved.map((m) => (
              <tr key={m.key}>
                <th scope="row">{m.what}</th>
                <td>{inUnit(m.was, m.unit)}</td>
                <td aria-label="to">→</td>
                <td><b>{inUnit(m.is, m.unit)}</b> <small>{unitSign(m.unit)}</small></td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <ul>{way.pieces.map((p) => <li key={p.member}>{spoken(p.member.replace(/^(.*)\.(left|right)$/, "$2 $1"))}: <b>{p.fate}</b>. {p.why}</li>)}</ul>
      {way.not_met.map((n) => <p key={n} className="problem">{n}</p>)}
      <Press kind="main" onPress={onTake}>take this way</Press>
    </li>
  );
}
