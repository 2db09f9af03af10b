// "It is brazed": the measuring sheet's readings go in; how the fork stands, which blade to cold set and how far come out.
import { useEffect, useState } from "react";
import type { Problem, Stands } from "../contract/types";
import { say, stillOpen } from "../link/actions";
import * as rest from "../link/rest";
import { allRead, inTheLog, kReadings, kStands, readingsIn, type Readings } from "../job/readings";
import { shown, signed } from "../job/numbers";
import { Press } from "../parts/Press";
import { capital } from "../parts/Problems";
import { useAsked } from "../parts/useAsked";
import { Waiting } from "../parts/Waiting";

const placeOf = (job: string) => `halfround.readings.${job}`;

export function Finished({ job, revision }: { job: string; revision: number }) {
  const [readings, setReadings] = useState<Readings>(() => readingsIn(localStorage.getItem(placeOf(job))));
  useEffect(() => setReadings(readingsIn(localStorage.getItem(placeOf(job)))), [job]);
  const keep = (letter: string, typed: string) => {
    const next = { ...readings, [letter]: typed };
    localStorage.setItem(placeOf(job), JSON.stringify(next));
    setReadings(next);
  };
  const asked = useAsked<Stands>(allRead(readings) ? (signal) => rest.stands(job, readings, signal) : null, job,
    [revision, JSON.stringify(readings)]);
  const wrong = asked.wrong instanceof rest.Refused ? asked.wrong.problems : [];
  return (
    <>
      <p className="way-note">The six readings of the measuring sheet, of the cold fork. They stay here until you take them out.</p>
      {kReadings.map(({ letter, words }) => (
        <label className="field reading" key={letter}>
          <span><b>{letter}</b> {words}</span>
          <input type="text" inputMode="decimal" autoComplete="off" value={readings[letter] ?? ""} aria-label={`${letter}, ${words}, mm`}
            aria-invalid={wrong.some((p) => p.where.key === letter)} onChange={(e) => keep(letter, e.target.value)} />
        </label>
      ))}
      {wrong.map((p) => <Wrong key={p.code + p.where.key} problem={p} />)}
      {wrong.length === 0 && <Waiting asked={asked} words="Working out how it stands" />}
      {asked.answer && wrong.length === 0 && <Found found={asked.answer} />}
      {asked.answer && wrong.length === 0 && <Press onPress={() => write(job, readings)}>write the readings into the log</Press>}
    </>
  );
}

function Wrong({ problem }: { problem: Problem }) {
  const at = problem.where.key ? `${problem.where.key}: ` : "";
  return <p className="problem" role="alert"><b>{at}{capital(signed(problem.what))}</b> {signed(problem.fits)}</p>;
}

function Found({ found }: { found: Stands }) {
  return (
    <div className="way" aria-live="polite">
      <table>
        <thead><tr><th scope="col">mm</th><th scope="col">measured</th><th scope="col">once set</th></tr></thead>
        <tbody>
          {kStands.map(({ key, words }) => (
            <tr key={key}><th scope="row">{words}</th><td><b>{shown(found.now[key], 2)}</b></td><td>{shown(found.then[key], 2)}</td></tr>
          ))}
        </tbody>
      </table>
      {found.settings.length === 0 && <p>Nothing to cold set.</p>}
      {found.settings.length > 0 && <p className="caution">{found.caution}</p>}
      <ol className="pushes">
        {found.settings.map((s) => (
          <li key={s.blade + s.way}>{capital(s.blade)} {s.way} by <b>{shown(s.by, 2)} mm</b> at the fork end, until {s.until}.</li>
        ))}
      </ol>
      {found.remains.map((r) => <p key={r}>{r}</p>)}
    </div>
  );
}

async function write(job: string, readings: Readings): Promise<void> {
  try {
    await rest.addToLog(job, { who: "at the bench", what: inTheLog(readings), typed: "" });
    if (stillOpen(job)) say("The readings stand in the log.");
  } catch (e) {
    if (stillOpen(job)) say(e instanceof Error ? e.message : "The readings could not be written into the log.");
  }
}
