// The shop log: what was cut and measured, by whom, when.
import { useEffect, useState } from "react";
import type { LogLine } from "../contract/types";
import { openMending, openPanel, saveEdits } from "../link/actions";
import { offered, withRivals, wordsOf } from "../job/asBuilt";
import * as rest from "../link/rest";
import { get, kNoFields, usePage } from "../link/store";
import { Press } from "../parts/Press";
import { when } from "../parts/time";
import { Sheet } from "../parts/Sheet";

export function Log() {
  const id = usePage((p) => p.job?.id);
  const [lines, setLines] = useState<LogLine[]>([]);
  const [what, setWhat] = useState("");
  const [typed, setTyped] = useState("");
  const read = () => void (id && rest.log(id).then(setLines));
  useEffect(read, [id]);
  const put = async () => {
    if (!id || !what.trim()) return;
    await rest.addToLog(id, { who: "at the bench", what: what.trim(), typed: typed.trim() });
    setWhat("");
    setTyped("");
    read();
  };
  return (
    <Sheet name="Shop log" onClose={() => openPanel(null)}>
      <form className="row" onSubmit={(e) => { e.preventDefault(); void put(); }}>
        <label className="inline-field grow">What <input type="text" value={what} onChange={(e) => setWhat(e.target.value)} placeholder="left blade cut short" /></label>
        <label className="inline-field">Measured <input type="text" value={typed} onChange={(e) => setTyped(e.target.value)} placeholder="391,6" /></label>
        <input type="submit" hidden />
        <Press kind="main" onPress={() => void put()} whyNot={!what.trim() && "say what was done"}>write it down</Press>
      </form>
      {lines.length === 0 && <p className="quiet-words">Nothing yet. What is measured on the phone stands here too.</p>}
      <table className="log">
        <tbody>
          {lines.map((l, i) => (
            <tr key={i}>
              <td>{l.at && when(l.at)}</td>
              <td>{l.what}</td>
              <td><b>{l.typed}</b></td>
              <td>{l.who}</td>
              <td className="offer"><Offer line={l} /></td>
            </tr>
          ))}
        </tbody>
      </table>
    </Sheet>
  );
}

/** A line that says how a piece came out: one press makes it a fact of the job. */
function Offer({ line }: { line: LogLine }) {
  const edit = offered(line);
  if (!edit) return null;
  const make = () => {
    saveEdits(withRivals(edit, get().view?.fields ?? kNoFields));
    openMending();
  };
  return <Press onPress={make} hint="The plan is mended by it">it is so: {wordsOf(edit.key)} {edit.typed}</Press>;
}
