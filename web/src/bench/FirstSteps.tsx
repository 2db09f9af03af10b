// What a newcomer presses next, above the tags: begin a fork of one's own, the questions that make it so, then the print.
import { useEffect, useState } from "react";
import { openPanel } from "../link/actions";
import { kNoFields, set, usePage } from "../link/store";
import { allAsked, kFirst, stillAsked, type Asked } from "../job/firstSteps";
import { tagOf } from "../job/tags";

const placeOf = (job: string | undefined) => `halfround.asked.${job}`;

function read(job: string | undefined): Asked | null {
  return JSON.parse(localStorage.getItem(placeOf(job)) ?? "null") as Asked | null;
}

/** Called when a job was begun: its questions are open. */
export function askFirstFive(job: string): void {
  localStorage.setItem(placeOf(job), JSON.stringify(allAsked()));
  set({ small: "bench" });
}

/** By keys one goes on at the first question, once the panel is gone. */
export function toFirstQuestion(): void {
  window.setTimeout(() => document.querySelector<HTMLElement>(".first-five button")?.focus(), 100);
}

export function FirstSteps() {
  const job = usePage((p) => p.job?.id);
  const alone = usePage((p) => p.jobs.length === 1);
  return job ? <Steps key={job} job={job} alone={alone} /> : null;
}

function Steps({ job, alone }: { job: string; alone: boolean }) {
  const fields = usePage((p) => (p.view?.saved ? p.view.fields : kNoFields));
  const [asked, setAsked] = useState(() => read(job));
  const keep = (next: Asked | null) => {
    if (next) localStorage.setItem(placeOf(job), JSON.stringify(next));
    else localStorage.removeItem(placeOf(job));
    setAsked(next);
  };
  useEffect(() => {
    if (!asked || fields === kNoFields) return;
    const still = stillAsked(asked, fields);
    if (JSON.stringify(still) !== JSON.stringify(asked)) keep(still);
  }, [fields, asked]);

  if (!asked) return alone ? <Begin /> : null;
  const open = kFirst.filter((f) => f.id in asked);
  if (open.length === 0) return <Print onDone={() => keep(null)} />;
  const go = ({ id, key }: (typeof kFirst)[number]) => {
    const { [id]: _answered, ...rest } = asked;
    keep(rest);
    const traced = key === "wheel.tyre" && fields["wheel.tyre.half_profile"];
    set({ tag: tagOf(key)!.id, focus: traced ? "wheel.tyre.outside_diameter" : key });
  };
  return (
    <div className="first-five">
      <p>Make it yours. Still as in the fork it came from:</p>
      {open.map((f) => <button type="button" key={f.id} onClick={() => go(f)}>{f.name} ?</button>)}
    </div>
  );
}

function Begin() {
  return (
    <div className="first-five">
      <p>A finished fork, to look at and to try things on.</p>
      <button type="button" onClick={() => openPanel("jobs")}>begin your own</button>
    </div>
  );
}

function Print({ onDone }: { onDone: () => void }) {
  const go = () => {
    onDone();
    openPanel("sheets");
  };
  return (
    <div className="first-five">
      <p>It is yours now. Read the slip, then:</p>
      <button type="button" onClick={go}>print the templates</button>
    </div>
  );
}
