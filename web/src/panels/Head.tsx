// The upper edge: the drawing's title block, laid out flat, and what can be done with the whole job.
import { openPanel, overlay, redo, undo } from "../link/actions";
import { usePage, usePicked, type Page } from "../link/store";
import { Press } from "../parts/Press";

function stateOf({ online, queue, refused }: Page): string {
  const waiting = queue.unsaved.length, asks = Object.keys(refused).length;
  if (!online) return waiting ? `offline, ${waiting} waiting` : "offline";
  if (waiting) return "saving";
  return queue.trying.length ? "trying" : asks ? `${asks} not saved` : "saved";
}

export function Head() {
  const { job, online, panel } = usePicked("job", "online", "panel");
  const revision = usePage((p) => p.view?.revision);
  const state = usePage(stateOf);
  const asks = usePage((p) => Object.keys(p.refused).length > 0);
  const waits = usePage((p) => p.queue.unsaved.some((e) => !e.went));
  return (
    <header className="head">
      <div className="title-block">
        <span className="cell mark" aria-hidden="true"><svg viewBox="0 0 32 20"><path d="M4 15a12 12 0 0 1 24 0z" /><path d="M2 18.4h28" /></svg></span>
        <button type="button" className="cell name" onClick={() => openPanel("jobs")} title="Open another fork, or begin one">
          <small>fork <span aria-hidden="true">▾</span></small><b>{job?.name ?? "…"}</b>
        </button>
        <button type="button" className="cell" onClick={() => { void overlay(null); openPanel(panel === "history" ? null : "history"); }} title="All revisions, to name and to compare">
          <small>revision <span aria-hidden="true">▾</span></small><b>{revision ?? "…"} {job && job.revision === revision && <small className="on-paper" title="As its sheets print it">({job.paper})</small>}</b>
        </button>
        <span className="cell state" role="status">
          <small>in the book</small><b className={online && !asks ? "" : "down"}>{state}</b>
        </span>
      </div>
      <div className="deeds" role="toolbar" aria-label="The whole job">
        <Press onPress={undo} hint={waits ? "what waits last is taken back" : job?.undo_what}
          whyNot={!online ? !waits && "the server can't be reached" : !job?.can_undo && !waits && "nothing to undo"}>undo</Press>
        <Press onPress={redo} hint={job?.redo_what} whyNot={!online ? "the server can't be reached" : !job?.can_redo && "nothing to redo"}>redo</Press>
        <Press onPress={() => openPanel("sheets")} hint="Every sheet as it will be printed; the templates">print</Press>
        <Press onPress={() => openPanel("library")} className="wide-only" hint="Tools, stock, fillers and printers of the shop">shop</Press>
        <Press onPress={() => openPanel("log")} className="wide-only">shop log</Press>
        <Press onPress={() => openPanel("phone")} className="wide-only">phone</Press>
        <Press onPress={() => openPanel("find")} hint="Find anything">find <kbd>Ctrl K</kbd></Press>
        <Press onPress={() => openPanel("help")} className="wide-only" hint="How one goes on, where to measure, what can hurt">help</Press>
      </div>
    </header>
  );
}
