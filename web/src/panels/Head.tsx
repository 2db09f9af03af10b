// The upper edge: the drawing's title block, laid out flat, and what can be done with the whole job.
import { openPanel, overlay, redo, undo } from "../link/actions";
import { usePage, usePicked, type Page } from "../link/store";
import { Press } from "../parts/Press";

function stateOf({ online, queue }: Page): string {
  if (!online) return "line is down; kept here";
  return queue.unsaved.length ? "saving" : queue.trying.length ? "trying" : "saved";
}

export function Head() {
  const { job, online, panel } = usePicked("job", "online", "panel");
  const revision = usePage((p) => p.view?.revision);
  const state = usePage(stateOf);
  return (
    <header className="head">
      <div className="title-block">
        <span className="cell mark" aria-hidden="true"><svg viewBox="0 0 32 20"><path d="M4 15a12 12 0 0 1 24 0z" /><path d="M2 18.4h28" /></svg></span>
        <button type="button" className="cell name" onClick={() => openPanel("jobs")} title="Open another fork, or begin one">
          <small>fork <span aria-hidden="true">▾</span></small><b>{job?.name ?? "…"}</b>
        </button>
        <button type="button" className="cell" onClick={() => { void overlay(null); openPanel(panel === "history" ? null : "history"); }} title="All revisions, to name and to compare">
          <small>revision <span aria-hidden="true">▾</span></small><b>{revision ?? "…"}</b>
        </button>
        <span className="cell state" role="status">
          <small>in the book</small><b className={online ? "" : "down"}>{state}</b>
        </span>
      </div>
      <div className="deeds" role="toolbar" aria-label="The whole job">
        <Press onPress={undo} hint={job?.undo_what} whyNot={!job?.can_undo && "nothing to undo"}>undo</Press>
        <Press onPress={redo} hint={job?.redo_what} whyNot={!job?.can_redo && "nothing to redo"}>redo</Press>
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
