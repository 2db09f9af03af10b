// All forks in the book: open one, start one like it, start from the plain one, bring a file in, take one out.
import { useState } from "react";
import { askFirstFive, toFirstQuestion } from "../bench/FirstSteps";
import { openJob, openPanel, refreshJobs } from "../link/actions";
import * as rest from "../link/rest";
import { usePicked } from "../link/store";
import { Press } from "../parts/Press";
import { when } from "../parts/time";
import { Sheet } from "../parts/Sheet";

export function Jobs() {
  const { jobs, job } = usePicked("jobs", "job");
  const [name, setName] = useState("");
  const [wrong, setWrong] = useState("");

  const begin = async (wanted: { from?: string; toml?: string; name?: string }) => {
    try {
      const called = wanted.name ?? (name.trim() || "my fork");
      const id = await rest.newJob({ ...wanted, name: called });
      if (wanted.toml === undefined) askFirstFive(id);
      await refreshJobs();
      await openJob(id);
      openPanel(null);
      if (wanted.toml === undefined) toFirstQuestion();
    } catch (e) {
      setWrong(String((e as Error).message));
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
            <button type="button" className="job-open" onClick={() => void openJob(j.id).then(() => openPanel(null))}>
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
