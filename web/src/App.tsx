// The page at the machine: table, bench, slip and the order of work; panels over them when asked for.
import { lazy, Suspense, useEffect, useState } from "react";
import { Bench } from "./bench/Bench";
import { openPanel, redo, undo, walkTo } from "./link/actions";
import { get, kStages, set, usePage, usePicked } from "./link/store";
import { Find } from "./panels/Find";
import { Head } from "./panels/Head";
import { History } from "./panels/History";
import { Jobs } from "./panels/Jobs";
import { Log } from "./panels/Log";
import { PhonePanel } from "./panels/PhonePanel";
import { Sheets } from "./panels/Sheets";
import { Asking } from "./asking/Asking";
import { Slip } from "./slip/Slip";
import { BankCard } from "./table/BankCard";
import { Table } from "./table/Table";
import { WorkLine } from "./work/WorkLine";

const Help = lazy(() => import("./help/Help"));
const Library = lazy(() => import("./library/Library"));
const Mending = lazy(() => import("./mending/Mending"));
const TyreTrace = lazy(() => import("./bench/TyreTrace"));
const Solid = lazy(() => import("./solid/Solid"));

function onKey(e: KeyboardEvent): void {
  const typing = e.target instanceof HTMLInputElement || e.target instanceof HTMLTextAreaElement || e.target instanceof HTMLSelectElement;
  const control = e.ctrlKey || e.metaKey;
  const letter = e.key.toLowerCase();
  if (control && letter === "k") openPanel("find");
  else if (control && letter === "z" && !typing) (e.shiftKey ? redo : undo)();
  else if (control && letter === "y" && !typing) redo();
  else if (control && letter === "p" && !get().panel) openPanel("sheets");
  else if (e.key === "?" && !typing && !get().panel) openPanel("help");
  else if (e.altKey && /^[1-6]$/.test(e.key)) walkTo(kStages[Number(e.key) - 1]!);
  else return;
  e.preventDefault();
}

type Props = { begun: Promise<void> };

/** in  begun  what came of asking for the book; asked before anything is drawn */
export default function App({ begun }: Props) {
  const { panel, looking, tag, small } = usePicked("panel", "looking", "tag", "small");
  const id = usePage((p) => p.job?.id); // what belongs to one fork begins anew with the next
  const [wrong, setWrong] = useState("");
  useEffect(() => {
    begun.catch((e: Error) => setWrong(e.message));
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, []);
  useEffect(() => {
    if (panel === "history" || panel === "mending") set({ small: "slip", tag: null });
  }, [panel]);
  const onGlass = tag ? "bench" : small;
  const lay = (what: typeof small) => set({ small: what === onGlass ? null : what, tag: null });
  return (
    <div className={`page${tag ? " tag-open" : ""} small-${small ?? "table"}`}>
      <a className="skip" href="#table">To the drawing</a>
      <Head />
      <Bench />
      <main id="table" className="middle">
        <h1 className="away">Halfround: the fork on the table</h1>
        <Asking />
        {wrong && <p className="problem" role="alert">{wrong}</p>}
        {looking === "solid" ? <Suspense fallback={<p className="solid-said">…</p>}><Solid /></Suspense> : <Table />}
      </main>
      {panel === "history" ? <History key={id} /> : panel === "mending" ? <Suspense fallback={<Slip />}><Mending key={id} /></Suspense> : <Slip />}
      <nav className="small-nav" aria-label="What lies on the screen">
        <button type="button" aria-pressed={onGlass === "bench"} onClick={() => lay("bench")}>bench</button>
        <button type="button" aria-pressed={onGlass === null} onClick={() => lay(null)}>table</button>
        <button type="button" aria-pressed={onGlass === "slip"} onClick={() => lay("slip")}>slip</button>
      </nav>
      <WorkLine />
      {panel === "jobs" && <Jobs />}
      {panel === "sheets" && <Sheets key={id} />}
      {panel === "phone" && <PhonePanel />}
      {panel === "find" && <Find />}
      {panel === "card" && <BankCard />}
      {panel === "log" && <Log key={id} />}
      <Suspense fallback={null}>
        {panel === "help" && <Help />}
        {panel === "library" && <Library />}
        {panel === "trace" && <TyreTrace key={id} />}
      </Suspense>
      <Said />
    </div>
  );
}

/** What the screen reader is told. */
function Said() {
  const said = usePage((p) => p.said);
  return <div className="away" role="status" aria-live="polite">{said}</div>;
}
