// "I cut it short": what is made already, and the ways to go on from there, best first. One press takes a way.
import { useEffect, useState, type ReactNode } from "react";
import type { Reading, Way, Ways } from "../contract/types";
import { openPanel, redraw, saveEdits, say, stillOpen } from "../link/actions";
import * as rest from "../link/rest";
import { get, kNoFields, usePage } from "../link/store";
import { groupsOf, saidDone, sidedKey, sideSaid, wordsOf, type Group, type Side } from "../job/asBuilt";
import { byHowMuch, kBlades, kFates, moves, needs, priceOf, told } from "../job/ways";
import { Field } from "../bench/Field";
import { Press } from "../parts/Press";
import { Problems } from "../parts/Problems";
import { Finished } from "./Finished";
import { useAsked, type Asked } from "../parts/useAsked";
import { Waiting } from "../parts/Waiting";
import "../look/mending.css";

export default function Mending() {
  const job = usePage((p) => p.job);
  const fields = usePage((p) => p.view?.fields ?? kNoFields);
  const saved = usePage((p) => p.queue.trying.length === 0 && p.queue.unsaved.length === 0);
  const said = saidDone(fields);
  const id = job?.id ?? "", revision = job?.revision;
  const asked = useAsked<Ways>(id && said.length > 0 && saved ? (signal) => rest.ways(id, signal) : null, id, [revision]);
  return (
    <section className="slip history mending" aria-label="Mending the plan">
      <header className="slip-head">
        <h2>made otherwise</h2>
        <Press kind="quiet" label="Close mending" onPress={() => openPanel(null)}>×</Press>
      </header>
      <p className="quiet-words">Cut short, or measured otherwise on the tacked fork: say it here as it is. What is made stays; the rest of the plan moves.</p>
      <Said keys={said} />
      <Entries />
      {said.length > 0 && <Choose asked={asked} />}
      {job && (
        <Drawer name="the finished fork, measured" open={false}>
          <Finished job={job.id} revision={job.revision} />
        </Drawer>
      )}
    </section>
  );
}

function Said({ keys }: { keys: string[] }) {
  const fields = usePage((p) => p.view?.fields ?? kNoFields);
  if (keys.length === 0) return null;
  return (
    <ul className="said" aria-label="What is made">
      {keys.map((k) => (
        <li key={k}>
          <span>{wordsOf(k)} <b>{fields[k]!.typed}</b></span>
          <Press kind="quiet" label={`Take back ${wordsOf(k)}`} onPress={() => saveEdits([{ key: k, typed: null }])}>×</Press>
        </li>
      ))}
    </ul>
  );
}

function Entries() {
  const schema = usePage((p) => p.schema);
  const focus = usePage((p) => p.focus);
  const [side, setSide] = useState<Side>(() => sideSaid(get().view?.fields ?? kNoFields, get().focus));
  useEffect(() => {
    if (focus?.startsWith("done.")) setSide(sideSaid(kNoFields, focus));
  }, [focus]);
  const groups = groupsOf(schema);
  const [begun] = useState(() => saidDone(get().view?.fields ?? kNoFields).length > 0); // then the ways are what is looked for
  const wanted = (g: Group) => g.rows.some((r) => focus === r.key || focus === sidedKey(r.key, side));
  return (
    <>
      <div className="sides" role="group" aria-label="Which side is made">
        {(["left", "right", "both"] as Side[]).map((s) => (
          <Press key={s} pressed={side === s} onPress={() => setSide(s)}>{s === "both" ? "both alike" : s}</Press>
        ))}
      </div>
      {groups.map((g, i) => (
        <Drawer key={g.name} name={g.sided ? (side === "both" ? `both ${g.name}s` : `${side} ${g.name}`) : g.name} open={(i === 0 && !begun) || wanted(g)}>
          {g.rows.map((r) => {
            const key = g.sided ? sidedKey(r.key, side) : r.key;
            return <Field key={key} row={{ ...r, key }} />;
          })}
        </Drawer>
      ))}
    </>
  );
}

function Drawer({ name, open, children }: { name: string; open: boolean; children: ReactNode }) {
  const [pulled, setPulled] = useState(open);
  useEffect(() => {
    if (open) setPulled(true);
  }, [open]);
  return (
    <details className="entries" open={pulled} onToggle={(e) => setPulled(e.currentTarget.open)}>
      <summary>{name}</summary>
      {pulled && children}
    </details>
  );
}

function Choose({ asked }: { asked: Asked<Ways> }) {
  const refused = asked.wrong instanceof rest.Refused ? asked.wrong.problems : [];
  const ways = asked.answer;
  return (
    <section className="ways" aria-label="Ways to go on">
      <h3>ways to go on</h3>
      {refused.length > 0 ? <Problems problems={refused} /> : <Waiting asked={asked} words="Ways are being looked for" />}
      {ways?.notes.map((n) => <Note key={n.words} note={n} />)}
      {ways && ways.ways.length === 0 && <p className="way-note">None lies within what may move. Let more move, above, or start a piece anew.</p>}
      <ol>{ways?.ways.map((w, i) => <OneWay key={w.title} way={w} number={i + 1} />)}</ol>
      {ways && ways.outside.length > 0 && (
        <details className="entries">
          <summary>{ways.outside.length} beyond what may move</summary>
          {ways.outside.map((w) => <p className="way-note" key={w.title}><b>{w.title}</b> Needs {needs(w)}.</p>)}
        </details>
      )}
    </section>
  );
}

function Note({ note }: { note: Reading }) {
  return (
    <div className="way-note">
      <p>{note.words}</p>
      {note.offers.map((o) => (
        <Press key={o.key} onPress={() => saveEdits([{ key: o.key, typed: o.typed }])}>{o.label}: {wordsOf(o.key)} {o.typed}</Press>
      ))}
    </div>
  );
}

async function take(way: Way, number: number): Promise<void> {
  const job = get().job;
  if (!job) return;
  await rest.takeWay(job.id, job.revision, number);
  if (!stillOpen(job.id)) return;
  say(`Taken: ${way.title}. Print the templates anew.`);
  redraw();
}

function OneWay({ way, number }: { way: Way; number: number }) {
  const [wrong, setWrong] = useState("");
  const moved = way.moves.filter(moves);
  const still = way.moves.filter((m) => !moves(m)).map((m) => m.what);
  const nothing = moved.length === 0 && way.set.length === 0;
  return (
    <li className="way">
      <h4><b className="way-number">{number}</b> {way.title}</h4>
      <p className="way-price">{priceOf(way)}</p>
      {moved.length > 0 && (
        <table>
          <tbody>
            {moved.map((m) => (
              <tr key={m.key}>
                <th scope="row">{m.what}<small>planned {told(m.was, m.unit)}</small></th>
                <td>{told(m.is, m.unit)}</td>
                <td><b>{byHowMuch(m)}</b></td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {still.length > 0 && <p className="quiet-words">As planned: {still.join(", ")}.</p>}
      {way.pieces.map((p) => (
        <p key={p.member} className={`piece${p.fate === "scrap" || p.fate === "cut again" ? " lost" : ""}`}>
          <b>{kBlades[p.member]}: {kFates[p.fate]}.</b> {p.why} <span className="quiet-words">Length {told(p.length.is, "mm")}, planned {told(p.length.was, "mm")}.</span>
        </p>
      ))}
      {way.not_met.map((n) => <p key={n} className="caution">{n}</p>)}
      {wrong && <p className="problem" role="alert">{wrong}</p>}
      <Press kind={number === 1 ? "main" : "plain"} whyNot={nothing && "the plan stands as it is"}
        onPress={() => void take(way, number).catch((e: Error) => setWrong(e.message))}>
        take way {number}
      </Press>
    </li>
  );
}
