// The phone's own small book: cards, ticks and what has not reached the server yet. Every deed is written into
// the phone's store before it is sent, and leaves it when the server has it.
import { useCallback, useEffect, useRef, useState } from "react";
import type { Card, JobLine, LogLine, Ticks } from "../contract/types";
import * as rest from "../link/rest";
import { openLine } from "../link/socket";
import { deedId, readDeeds, toSend, withDeeds, without, type Deed } from "./offline";

const kDeeds = "halfround.deeds";
const kCards = "halfround.cards";

function keptDeeds(): Deed[] {
  return readDeeds(localStorage.getItem(kDeeds));
}
function keepDeeds(deeds: Deed[]): void {
  localStorage.setItem(kDeeds, JSON.stringify(deeds));
}
function keptCards(job: string): Card[] {
  return (JSON.parse(localStorage.getItem(`${kCards}.${job}`) ?? "[]") as Card[]) ?? [];
}

async function deliver(d: Deed): Promise<void> {
  if (d.kind === "tick") await rest.tick(d.job, d.step, d.done, d.who);
  else await rest.addToLog(d.job, d.line);
}

export function usePhone() {
  const [jobs, setJobs] = useState<JobLine[]>([]);
  const [job, setJob] = useState(localStorage.getItem("halfround.phone-job") ?? "");
  const [cards, setCards] = useState<Card[]>(job ? keptCards(job) : []);
  const [server, setServer] = useState<Ticks>({});
  const [deeds, setDeeds] = useState<Deed[]>(keptDeeds());
  const [online, setOnline] = useState(false);
  const [wrong, setWrong] = useState("");
  const sending = useRef(false);

  const merge = useCallback(async () => {
    if (!job || sending.current) return;
    sending.current = true;
    try {
      const there = await rest.ticks(job);
      const mine = keptDeeds();
      const send = toSend(there, mine, job);
      const moot = mine.filter((d) => d.job === job && !send.includes(d)).map((d) => d.id);
      keepDeeds(without(keptDeeds(), new Set(moot)));
      for (const d of send) {
        await deliver(d);
        keepDeeds(without(keptDeeds(), new Set([d.id])));
      }
      setServer(await rest.ticks(job));
      setDeeds(keptDeeds());
      setOnline(true);
    } catch (e) {
      if (!(e instanceof rest.Refused)) setOnline(false);
      else setWrong(e.message);
      setDeeds(keptDeeds());
    } finally {
      sending.current = false;
    }
  }, [job]);

  const refresh = useCallback(async () => {
    if (!job) return;
    const fresh = await rest.cards(job).catch(() => null);
    if (!fresh) return;
    localStorage.setItem(`${kCards}.${job}`, JSON.stringify(fresh));
    setCards(fresh);
  }, [job]);

  useEffect(() => {
    rest.jobs().then((all) => {
      setJobs(all);
      setJob((now) => (all.some((j) => j.id === now) ? now : (all[0]?.id ?? "")));
    }, (e: Error) => setWrong(e instanceof rest.Refused ? e.message : ""));
  }, []);
  useEffect(() => {
    if (!job) return;
    localStorage.setItem("halfround.phone-job", job);
    setCards(keptCards(job));
    const line = openLine(job, {
      frame: () => undefined,
      event: (e) => {
        if (e.event === "changed") void refresh();
        if (e.event === "step") void merge();
      },
      up: () => {
        setOnline(true);
        void merge();
        void refresh();
      },
      down: () => setOnline(false),
    });
    return () => line.close();
  }, [job, merge, refresh]);

  // a line that only stumbled says nothing when it is back: what waits is tried again
  const waiting = deeds.length > 0;
  useEffect(() => {
    if (!waiting) return;
    const again = () => void merge();
    const timer = window.setInterval(again, 2000);
    window.addEventListener("online", again);
    return () => {
      window.clearInterval(timer);
      window.removeEventListener("online", again);
    };
  }, [waiting, merge]);

  const put = (d: Deed) => {
    keepDeeds([...keptDeeds(), d]);
    setDeeds(keptDeeds());
    void merge();
  };
  const at = () => new Date().toISOString();
  const tick = (step: string, done: boolean) => put({ kind: "tick", id: deedId(), job, step, done, who: "at the mill", at: at() });
  const log = (line: LogLine) => put({ kind: "log", id: deedId(), job, line, at: at() });
  return { jobs, job, setJob, cards, ticks: withDeeds(server, deeds, job), waiting: deeds.length, online, wrong, tick, log };
}
