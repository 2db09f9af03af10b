// The shop log: what was cut and measured, by whom, when.
import { useRef, useState } from "react";
import type { LogLine } from "../contract/types";
import { openMending, openPanel, saveEdits } from "../link/actions";
import { offered, withRivals, wordsOf } from "../job/asBuilt";
import * as rest from "../link/rest";
import { get, kNoFields, usePage } from "../link/store";
import { Press } from "../parts/Press";
import { useAsked } from "../parts/useAsked";
import { Waiting } from "../parts/Waiting";
import { when } from "../parts/time";
import { Sheet } from "../parts/Sheet";

export function Log() {
  const id = usePage((p) => p.job?.id);
  const [what, setWhat] = useState("");
  const [typed, setTyped] = useState("");
  const asked = useAsked<LogLine[]>(id ? () => rest.log(id) : null, id ?? "", []);
  const lines = asked.answer ?? [];
  const [wrong, setWrong] = useState("");
  const busy = useRef(false);
  const put = async () => {
    if (!id || !what.trim() || busy.current) return; // pressed twice, it is written once
    busy.current = true;
    try {
      await rest.addToLog(id, { who: "at the bench", what: what.trim(), typed: typed.trim() });
    } catch (e) {
      return setWrong(e instanceof rest.Refused ? e.message : "Not written down: the server can't be reached. The words stay here.");
    } finally {
      busy.current = false;
    }
    setWrong("");
    setWhat((now) => (now === what ? "" : now)); // what is typed meanwhile stays
    setTyped((now) => (now === typed ? "" : now));
    asked.again();
  };
  return (
    <Sheet name="Shop log" onClose={() => openPanel(null)}>
      <form className="row" onSubmit={(e) => { e.preventDefault(); void put(); }}>
        <label className="inline-field grow">What <input type="text" value={what} onChange={(e) => setWhat(e.target.value)} placeholder="left blade cut short" /></label>
        <label className="inline-field">Measured <input type="text" value={typed} onChange={(e) => setTyped(e.target.value)} placeholder="391,6" /></label>
        <input type="submit" hidden />
        <Press kind="main" onPress={() => void put()} whyNot={!what.trim() && "say what was done"}>write it down</Press>
      </form>
      {wrong && <p className="problem" role="alert">{wrong}</p>}
      <Waiting asked={asked} words="The log is being read" />
      {asked.answer && lines.length === 0 && <p className="quiet-words">Nothing yet. What is measured on the phone stands here too.</p>}
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
