// The phone at the mill: one step, one big number, one picture, two buttons far apart.
import { useEffect, useMemo, useState } from "react";
import type { LogLine, Show, Step } from "../contract/types";
import { decodeFrame, type View } from "../contract/frame";
import * as rest from "../link/rest";
import { signed } from "../job/numbers";
import { Drawing } from "../table/Drawing";
import { Measured } from "./Measured";
import { NotDelivered } from "./NotDelivered";
import { keepPicture, keptPicture } from "./shelf";
import { usePhone, type Standing } from "./usePhone";

function stateOf(standing: Standing, waiting: number): string {
  const waits = waiting ? `, ${waiting} waiting` : "";
  if (standing === "up") return waiting ? `${waiting} on the way` : "up to date";
  return `${{ away: "offline", withdrawn: "not paired", off: "network off" }[standing]}${waits}`;
}

export default function Phone() {
  const phone = usePhone();
  const { jobs, job, setJob, cards, ticks, waiting, standing, wrong, tick, log } = phone;
  const [chosen, setChosen] = useState<{ job: string; at: number } | null>(null);
  const first = cards.findIndex((c) => !ticks[c.id]?.done);
  const at = chosen?.job === job ? chosen.at : Math.max(0, first);
  const here = Math.min(at, Math.max(0, cards.length - 1));
  const setAt = (to: number) => setChosen({ job, at: to });
  const card = cards[here];
  const done = cards.filter((c) => ticks[c.id]?.done).length;

  useAllPictures(cards, standing === "up");

  const next = () => {
    if (card && !ticks[card.id]?.done) tick(card, true);
    setAt(Math.min(cards.length - 1, here + 1));
  };
  return (
    <main className="phone">
      <header className="phone-head">
        {jobs.length > 1 ? (
          <select aria-label="Fork" value={job} onChange={(e) => { setChosen(null); setJob(e.target.value); }}>
            {jobs.map((j) => <option key={j.id} value={j.id}>{j.name}</option>)}
          </select>
        ) : <b>{jobs[0]?.name ?? "Halfround"}</b>}
        <span role="status" className={standing === "up" ? "" : "down"}>{stateOf(standing, waiting.length)}</span>
      </header>
      <div className="phone-middle">
        <NotDelivered phone={phone} />
        {card ? (
          <OneStep key={`${card.job} ${card.id}`} card={card} done={!!ticks[card.id]?.done} place={`${here + 1} of ${cards.length}, ${done} done`} onLog={log} onUntick={() => tick(card, false)} />
        ) : (
          <section className="phone-step"><p>{wrong || (standing === "up" ? "No steps yet. Open the fork at the bench first." : "Nothing is kept here yet. The steps come when the server can be reached.")}</p></section>
        )}
      </div>
      <footer className="phone-foot">
        <button type="button" onClick={() => setAt(Math.max(0, here - 1))} disabled={here === 0}>back</button>
        <button type="button" className="go" onClick={next} disabled={!card}>{card && ticks[card.id]?.done ? "next" : "done"}</button>
      </footer>
    </main>
  );
}

type StepProps = { card: Step; done: boolean; place: string; onLog: (job: string, line: LogLine) => void; onUntick: () => void };

function OneStep({ card, done, place, onLog, onUntick }: StepProps) {
  return (
    <section className="phone-step" aria-label={card.title}>
      <p className="phone-place">{card.stage ?? ""} · {place} {done && <button type="button" className="undone" onClick={onUntick}>✓ done; take back</button>}</p>
      <h1>{signed(card.title)}</h1>
      {card.big.value && (
        <p className="phone-big"><span>{card.big.name}</span><b>{card.big.value}</b><small>{card.big.unit}</small></p>
      )}
      {card.caution && <p className="caution">{card.caution}</p>}
      <ul className="phone-lines">{card.lines.map((l) => <li key={l}>{l}</li>)}</ul>
      <Picture card={card} />
      <Measured card={card} onLog={onLog} />
    </section>
  );
}

const kLegible = 5; // so that left and right can be read; the numbers of the whole fork are left out (phone.css)

const kShown: Record<string, Show> = { measure: "front", set: "side", join: "front", prove: "side" };

function showOf(card: Step): Show {
  if (/\b(left|right)\b/i.test(card.title) && /scribe|mitre|steerer|onto|upper|file/i.test(card.title)) {
    return /\bright\b/i.test(card.title) ? "template-right" : "template-left";
  }
  return kShown[card.stage ?? ""] ?? "front";
}

/** As it was drawn last, where the server can't be reached. */
async function pictureOf(job: string, show: Show): Promise<View | null> {
  const fresh = await rest.viewBytes(job, show, 0, undefined, true).catch(() => null);
  if (fresh) void keepPicture(job, show, fresh);
  const bytes = fresh ?? (await keptPicture(job, show));
  return bytes && (decodeFrame(bytes) as View);
}

/** The pictures of all steps are kept before they are needed: there may be no line then. */
function useAllPictures(cards: Step[], up: boolean): void {
  useEffect(() => {
    if (!up || cards.length === 0) return;
    let gone = false;
    const all = async () => {
      for (const show of new Set(cards.map(showOf))) if (!gone) await pictureOf(cards[0]!.job, show);
    };
    void all().catch(() => undefined);
    return () => {
      gone = true;
    };
  }, [cards, up]);
}

function Picture({ card }: { card: Step }) {
  const show = showOf(card), job = card.job;
  const [view, setView] = useState<View | null>(null);
  useEffect(() => {
    let gone = false;
    pictureOf(job, show).then((v) => !gone && setView(v), () => undefined);
    return () => {
      gone = true;
    };
  }, [job, show]);
  const leaf = view?.leaves[0];
  const drawn = useMemo(() => leaf && (
    <svg className="phone-picture" viewBox={`0 0 ${leaf.page.width} ${leaf.page.height}`} role="img" aria-label={leaf.page.name}>
      <g transform={`translate(0 ${leaf.page.height}) scale(1 -1)`}><Drawing {...leaf} swell={show.startsWith("template") ? 1 : kLegible} /></g>
    </svg>
  ), [leaf, show]);
  return <>{drawn}</>;
}
