// What is not saved and needs a word from the builder, wherever its field is: a key that was changed in another window, a
// draft from before the page was closed, what waits for a job that is not open.
import { forget, goTo, openJob, saveEdits, stillOpen } from "../link/actions";
import { drop } from "../link/saving";
import { get, set, usePage, usePicked } from "../link/store";
import { keepDraft } from "../bench/useDraft";
import { countOf, type Kept, type Refused } from "../job/kept";
import { inWords, tagOf } from "../job/tags";
import { Press } from "../parts/Press";
import { signed } from "../job/numbers";
import "../look/asking.css";

export function Asking() {
  const { refused, restored, elsewhere, notice, away } = usePicked("refused", "restored", "elsewhere", "notice", "away");
  const tag = usePage((p) => p.tag);
  // at an open field it is said there
  const asked = Object.entries(refused).filter(([key, r]) => isConflict(r) || !tag || tagOf(key)?.id !== tag);
  if (!asked.length && !restored.length && !elsewhere.length && !notice && !away) return null;
  return (
    <section className="asking" aria-label="Not saved yet">
      {away && <p role="status">The server can't be reached. The page goes on as soon as it is there{elsewhere.length ? "; what waits is kept in this browser" : ""}.</p>}
      {notice && <p role="alert">{signed(notice)} <Press kind="quiet" label="Seen" onPress={() => set({ notice: "" })}>×</Press></p>}
      {asked.map(([key, r]) => <NotTaken key={key} name={key} refused={r} />)}
      {restored.map((key) => <Restored key={key} name={key} />)}
      {elsewhere.map((k) => <Elsewhere key={`${k.window} ${k.job}`} kept={k} />)}
    </section>
  );
}

const isConflict = (r: Refused) => r.problems.some((p) => p.code === "edit-conflict");
/** A list is too long to be said whole. */
const short = (typed: string) => (typed.length > 40 ? "a list" : typed || "nothing");

function NotTaken({ name, refused: r }: { name: string; refused: Refused }) {
  const problem = r.problems[0];
  const now = usePage((p) => p.view?.fields[name]?.typed ?? "");
  const there = short(r.there ?? now);
  if (isConflict(r)) {
    return (
      <div className="ask" role="alert">
        <p><b>{inWords(name)}</b> was changed in another window. There now: <b>{there}</b>. Typed here: <b>{short(r.typed)}</b>, not saved.</p>
        <div className="row">
          <Press kind="main" onPress={() => saveEdits(r.edits, r.base)}>make it {short(r.typed)}</Press>
          <Press onPress={() => r.edits.forEach((e) => forget(e.key))}>leave it at {there}</Press>
        </div>
      </div>
    );
  }
  return (
    <div className="ask" role="alert">
      <p><b>{inWords(name)}: {short(r.typed)}</b> is not saved. {problem && signed(`${problem.what} ${problem.fits}`)}</p>
      <div className="row">
        <Press onPress={() => goTo(name)}>to the field</Press>
        <Press onPress={() => forget(name)}>drop it</Press>
      </div>
    </div>
  );
}

function Restored({ name }: { name: string }) {
  const draft = usePage((p) => p.queue.trying.find((d) => d.key === name));
  if (!draft) return null;
  return (
    <div className="ask" role="status">
      <p><b>{inWords(name)}: {short(draft.typed ?? "")}</b> was typed before the page was closed, and not entered.</p>
      <div className="row">
        <Press kind="main" onPress={() => keepDraft(name)}>enter it</Press>
        <Press onPress={() => forget(name)}>drop it</Press>
      </div>
    </div>
  );
}

function Elsewhere({ kept: k }: { kept: Kept }) {
  const n = countOf(k), known = usePage((p) => p.jobs.some((j) => j.id === k.job)), away = usePage((p) => p.away);
  return (
    <div className="ask" role="status">
      <p>{n === 1 ? "One entry" : `${n} entries`} for <b>{k.name || "another fork"}</b> {n === 1 ? "is" : "are"} not saved yet.
        {!known && !away && " That fork is not in the book any more."}</p>
      <div className="row">
        {known && <Press kind="main" onPress={() => void open(k.job)}>open it</Press>}
        {!known && !away && <Press onPress={() => void drop(k)}>drop {n === 1 ? "it" : "them"}</Press>}
      </div>
    </div>
  );
}

async function open(job: string): Promise<void> {
  if (!stillOpen(job)) await openJob(job).catch((e: Error) => set({ notice: e.message }));
  if (stillOpen(job)) set({ elsewhere: get().elsewhere.filter((k) => k.job !== job) });
}
