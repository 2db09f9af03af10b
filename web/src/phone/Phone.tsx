// The phone at the mill: one step, one big number, one picture, two buttons far apart.
import { useEffect, useMemo, useState } from "react";
import type { Card, Show } from "../contract/types";
import type { View } from "../contract/frame";
import * as rest from "../link/rest";
import { spoken } from "../job/slip";
import { useOther } from "../parts/useOther";
import { Drawing } from "../table/Drawing";
import { usePhone } from "./usePhone";

export default function Phone() {
  const { jobs, job, setJob, cards, ticks, waiting, online, wrong, tick, log } = usePhone();
  const [at, setAt] = useState<number | null>(null);
  const first = cards.findIndex((c) => !ticks[c.id]?.done);
  const here = Math.min(at ?? Math.max(0, first), Math.max(0, cards.length - 1));
  const card = cards[here];
  const done = cards.filter((c) => ticks[c.id]?.done).length;

  const next = () => {
    if (card && !ticks[card.id]?.done) tick(card.id, true);
    setAt(Math.min(cards.length - 1, here + 1));
  };
  return (
    <main className="phone">
      <header className="phone-head">
        {jobs.length > 1 ? (
          <select aria-label="Fork" value={job} onChange={(e) => { setJob(e.target.value); setAt(null); }}>
            {jobs.map((j) => <option key={j.id} value={j.id}>{j.name}</option>)}
          </select>
        ) : <b>{jobs[0]?.name ?? "Halfround"}</b>}
        <span role="status">{online ? (waiting ? `${waiting} on the way` : "in step") : `no line${waiting ? `; ${waiting} kept` : ""}`}</span>
      </header>
      {card ? (
        <Step key={card.id} card={card} job={job} done={!!ticks[card.id]?.done} place={`${here + 1} of ${cards.length}, ${done} done`} onLog={log} onUntick={() => tick(card.id, false)} />
      ) : (
        <section className="phone-step"><p>{wrong || "No steps yet. Open the fork at the bench first."}</p></section>
      )}
      <footer className="phone-foot">
        <button type="button" onClick={() => setAt(Math.max(0, here - 1))} disabled={here === 0}>back</button>
        <button type="button" className="go" onClick={next} disabled={!card}>{card && ticks[card.id]?.done ? "next" : "done"}</button>
      </footer>
    </main>
  );
}

function Step({ card, job, done, place, onLog, onUntick }: {
  card: Card; job: string; done: boolean; place: string;
  onLog: (line: { who: string; what: string; key: string; typed: string }) => void; onUntick: () => void;
}) {
  const [typed, setTyped] = useState("");
  const [kept, setKept] = useState("");
  const other = useOther(typed, card.big.unit === "°" ? "angle" : "length");
  const keep = () => {
    if (!typed.trim()) return;
    onLog({ who: "at the mill", what: card.big.name || card.title, key: card.id, typed: typed.trim() });
    setKept(typed.trim());
    setTyped("");
  };
  return (
    <section className="phone-step" aria-label={card.title}>
      <p className="phone-place">{card.stage ?? ""} · {place} {done && <button type="button" className="undone" onClick={onUntick}>✓ done; take back</button>}</p>
      <h1>{spoken(card.title)}</h1>
      {card.big.value && (
        <p className="phone-big"><span>{card.big.name}</span><b>{card.big.value}</b><small>{card.big.unit}</small></p>
      )}
      {card.caution && <p className="caution">{card.caution}</p>}
      <ul className="phone-lines">{card.lines.map((l) => <li key={l}>{l}</li>)}</ul>
      <Picture card={card} job={job} />
      <form className="phone-measured" onSubmit={(e) => { e.preventDefault(); keep(); }}>
        <label>measured
          <input type="text" value={typed} onChange={(e) => setTyped(e.target.value)} autoComplete="off" enterKeyHint="done" />
        </label>
        <button type="submit" disabled={!typed.trim()}>write</button>
        <span role="status">{kept ? `${kept} written down` : other}</span>
      </form>
    </section>
  );
}

const kLegible = 5; // so that left and right can be read; the numbers of the whole fork are left out (phone.css)

const kShown: Record<string, Show> = { measure: "front", set: "side", join: "front", prove: "side" };

function showOf(card: Card): Show {
  if (/\b(left|right)\b/i.test(card.title) && /scribe|mitre|steerer|onto|upper|file/i.test(card.title)) {
    return /\bright\b/i.test(card.title) ? "template-right" : "template-left";
  }
  return kShown[card.stage ?? ""] ?? "front";
}

function Picture({ card, job }: { card: Card; job: string }) {
  const show = showOf(card);
  const [view, setView] = useState<View | null>(null);
  useEffect(() => {
    let gone = false;
    rest.view(job, show, 0, undefined, true).then((v) => !gone && setView(v), () => undefined);
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
