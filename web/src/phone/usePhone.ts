// The phone's own small book: cards, ticks and what has not reached the server yet. Every deed is written into
// the phone's store before it is sent, and leaves it when the server has it. What comes back is put under the job it was
// asked for, so that an answer that comes late never stands under another fork's name.
import { useCallback, useEffect, useMemo, useRef, useState } from "react";
import type { JobLine, LogLine, Step, Ticks } from "../contract/types";
import * as rest from "../link/rest";
import { openLine } from "../link/socket";
import { deedId, rebased, sorted, withDeeds, waits, without, type Deed, type TickDeed } from "./offline";
import * as shelf from "./shelf";

/** away: no line; withdrawn: this phone is not paired any more; off: the shop network is switched off. */
export type Standing = "up" | "away" | "withdrawn" | "off";
type Page = { cards: Step[]; ticks: Ticks };
const kNothing: Page = { cards: [], ticks: {} };
const kRetry = 2000; // ms

function standingOf(e: unknown): Standing | null {
  if (!(e instanceof rest.Refused)) return "away";
  return e.status === 401 ? "withdrawn" : e.status === 403 ? "off" : null;
}
/** It may be taken another time. */
const passes = (e: rest.Refused) => e.status === 429 || e.status >= 500;

async function deliver(d: Deed): Promise<void> {
  if (d.kind === "tick") await rest.tick(d.job, d.step, d.done, d.who);
  else await rest.addToLog(d.job, d.line);
}

export function usePhone() {
  const [jobs, setJobs] = useState<JobLine[]>(shelf.keptJobs);
  const [job, setJob] = useState(shelf.keptJob);
  const [pages, setPages] = useState<Record<string, Page>>({});
  const [deeds, setDeeds] = useState<Deed[]>(shelf.keptDeeds);
  const [standing, setStanding] = useState<Standing>("away");
  const [wrong, setWrong] = useState("");
  const sending = useRef(new Set<string>());

  const put = useCallback((of: string, more: Partial<Page>) => {
    setPages((all) => ({ ...all, [of]: { ...(all[of] ?? { cards: shelf.keptCards(of), ticks: shelf.keptTicks(of) }), ...more } }));
    if (more.cards) shelf.keepCards(of, more.cards);
    if (more.ticks) shelf.keepTicks(of, more.ticks);
  }, []);
  const keep = useCallback((all: Deed[]) => {
    shelf.keepDeeds(all);
    setDeeds(all);
  }, []);
  const failed = useCallback((e: unknown) => {
    const now = standingOf(e);
    // a network that was switched off doesn't answer any more: that is known already
    if (now) setStanding((before) => (now === "away" && before === "off" ? before : now));
    else setWrong((e as Error).message);
  }, []);

  /** Brings one job's deeds to the server, whichever is looked at meanwhile. */
  const merge = useCallback(async (of: string) => {
    if (!of || sending.current.has(of)) return;
    sending.current.add(of);
    const gone = (d: Deed) => keep(without(shelf.keptDeeds(), new Set([d.id])));
    try {
      const found = sorted(await rest.ticks(of), shelf.keptDeeds(), of);
      found.moot.forEach(gone);
      if (found.overruled.length) keep(shelf.keptDeeds().map((d) => (found.overruled.some((o) => o.id === d.id) ? { ...d, overruled: true } : d)));
      for (const d of found.send) {
        try {
          await deliver(d);
          gone(d);
        } catch (e) {
          if (!(e instanceof rest.Refused) || standingOf(e) || passes(e)) throw e;
          keep(shelf.keptDeeds().map((k) => (k.id === d.id ? { ...k, refused: e.message } : k)));
        }
      }
      const now = await rest.ticks(of);
      keep(rebased(shelf.keptDeeds(), found.send, now));
      put(of, { ticks: now });
      setStanding("up");
      setWrong("");
    } catch (e) {
      failed(e);
    } finally {
      sending.current.delete(of);
    }
  }, [keep, put, failed]);

  const refresh = useCallback(async (of: string) => {
    const fresh = await rest.cards(of).catch(() => null);
    if (fresh) put(of, { cards: fresh });
  }, [put]);

  const readJobs = useCallback(async () => {
    try {
      const all = await rest.jobs();
      setJobs(all);
      shelf.keepJobs(all);
      setStanding("up");
      setJob((now) => (all.some((j) => j.id === now) ? now : (all[0]?.id ?? "")));
    } catch (e) {
      failed(e);
    }
  }, [failed]);

  useEffect(() => void readJobs(), [readJobs]);
  const barred = standing === "withdrawn" || standing === "off";
  useEffect(() => {
    if (!job || barred) return;
    shelf.keepJob(job);
    const line = openLine(job, {
      frame: () => undefined,
      event: (e) => {
        if (e.event === "changed") void refresh(job);
        if (e.event === "step") void merge(job);
        if (e.event === "withdrawn") setStanding("withdrawn");
        if (e.event === "network-off") setStanding("off");
      },
      up: () => {
        setStanding("up");
        void readJobs();
        void merge(job);
        void refresh(job);
      },
      down: () => {
        setStanding((now) => (now === "up" ? "away" : now));
        void readJobs(); // a line that was cut says not why
      },
    });
    return () => line.close();
  }, [job, barred, merge, refresh, readJobs]);

  // switched on again, it says nothing to who isn't there
  useEffect(() => {
    if (standing !== "off") return;
    const timer = window.setInterval(() => void readJobs(), kRetry);
    return () => window.clearInterval(timer);
  }, [standing, readJobs]);

  // a line that only stumbled says nothing when it is back: what waits is tried again, of every job
  const waiting = deeds.filter(waits);
  const whose = [...new Set(waiting.map((d) => d.job))].join(" ");
  useEffect(() => {
    if (!whose || barred) return;
    const again = () => whose.split(" ").forEach((of) => void merge(of));
    const timer = window.setInterval(again, kRetry);
    window.addEventListener("online", again);
    return () => {
      window.clearInterval(timer);
      window.removeEventListener("online", again);
    };
  }, [whose, barred, merge]);

  const kept = useMemo(() => (job ? { cards: shelf.keptCards(job), ticks: shelf.keptTicks(job) } : kNothing), [job]);
  const page = pages[job] ?? kept;
  const add = (d: Deed) => {
    keep([...shelf.keptDeeds(), d]);
    if (!barred) void merge(d.job);
  };
  const at = () => new Date().toISOString();
  /** The step says itself whose it is. */
  const tick = (step: Step, done: boolean) => {
    const was = (pages[step.job]?.ticks ?? shelf.keptTicks(step.job))[step.id]?.at ?? "";
    add({ kind: "tick", id: deedId(), job: step.job, step: step.id, title: step.title, was, done, who: "at the mill", at: at() });
  };
  const log = (of: string, line: LogLine) => add({ kind: "log", id: deedId(), job: of, line, at: at() });
  const drop = (d: Deed) => {
    keep(without(shelf.keptDeeds(), new Set([d.id])));
  };
  const insist = (d: TickDeed) => {
    drop(d);
    add({ ...d, overruled: false, id: deedId(), was: (pages[d.job]?.ticks ?? {})[d.step]?.at ?? "", at: at() });
  };
  return {
    jobs, job, setJob, cards: page.cards, ticks: withDeeds(page.ticks, deeds, job), waiting, standing, wrong,
    refused: deeds.filter((d) => d.refused), overruled: deeds.filter((d): d is TickDeed => d.kind === "tick" && !!d.overruled), tick, log, drop, insist, again: () => void readJobs(),
  };
}
