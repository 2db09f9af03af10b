// All forks in the book: open one, start one like it, start from the plain one, bring a file in, take one out.
import { useEffect, useRef, useState } from "react";
import { askFirstFive, toFirstQuestion } from "../bench/FirstSteps";
import { openJob, openPanel, refreshJobs } from "../link/actions";
import * as rest from "../link/rest";
import { latest } from "../job/latest";
import { usePicked } from "../link/store";
import { Press } from "../parts/Press";
import { when } from "../parts/time";
import { Sheet } from "../parts/Sheet";

const pressed = latest();

export function Jobs() {
  const { jobs, job } = usePicked("jobs", "job");
  const [name, setName] = useState("");
  const [wrong, setWrong] = useState("");
  const busy = useRef(false);
  useEffect(() => void refreshJobs().catch(() => undefined), []); // names change; without a server the last list stays

  // a press on another fork meanwhile counts more than what comes back late
  const begin = async (wanted: { from?: string; toml?: string; name?: string }) => {
    if (busy.current) return; // pressed twice, one is begun
    busy.current = true;
    const stillWanted = pressed();
    try {
      const called = wanted.name ?? (name.trim() || "my fork");
      const id = await rest.newJob({ ...wanted, name: called });
      if (wanted.toml === undefined) askFirstFive(id);
      await refreshJobs();
      if (!stillWanted()) return;
      await openJob(id);
      if (!stillWanted()) return;
      openPanel(null);
      if (wanted.toml === undefined) toFirstQuestion();
    } catch (e) {
      setWrong(e instanceof rest.Refused ? e.message : "Not begun: the server can't be reached.");
    } finally {
      busy.current = false;
    }
  };
  const choose = async (id: string) => {
    const stillWanted = pressed();
    try {
      await openJob(id);
      if (stillWanted()) openPanel(null);
    } catch (e) {
      if (stillWanted()) setWrong(e instanceof rest.Refused ? e.message : "Not opened: the server can't be reached.");
    }
  };
  const bring = async (file: File | undefined) => {
    if (file) await begin({ toml: await file.text(), name: file.name.replace(/\.toml$/, "") });
  };

  return (
    <Sheet name="Forks in the book" onClose={() => openPanel(null)}>
      <form className="row" onSubmit={(e) => { e.preventDefault(); void begin({}); }}>
        <label className="inline-field">Name of the new one
          <input type="text" autoFocus value={name} onChange={(e) => setName(e.target.value)} placeholder="my fork" />
        </label>
        <Press kind="main" onPress={() => void begin({})}>start from the plain fork</Press>
      </form>
      <p className="quiet-words">Or start one like a fork that is there: all of it is taken over, and can be changed.</p>
      <ul className="job-list">
        {jobs.map((j) => (
          <li key={j.id} className={j.id === job?.id ? "here" : ""}>
            <button type="button" className="job-open" onClick={() => void choose(j.id)}>
              <b>{j.name}</b>
              <small>revision {j.revision}, {when(j.changed)}</small>
            </button>
            <Press onPress={() => void begin({ from: j.id, name: name.trim() || `${j.name}, another` })}>start one like it</Press>
          </li>
        ))}
      </ul>
      <div className="row">
        <label className="press file-press">bring in a job file
          <input type="file" accept=".toml,text/plain" onChange={(e) => void bring(e.target.files?.[0])} />
        </label>
        {job && <a className="press" href={rest.tomlLink(job.id)} download={`${job.name}.toml`}>take this one out as a file</a>}
      </div>
      {wrong && <p className="problem" role="alert">{wrong}</p>}
    </Sheet>
  );
}
