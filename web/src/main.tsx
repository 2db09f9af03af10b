// Where the page begins: at the machine the table, behind a pairing link (#phone) the step cards.
import { createRoot } from "react-dom/client";
import { lazy, Suspense } from "react";
import App from "./App";
import { start } from "./link/actions";
import { useToken } from "./link/rest";
import { keepShell } from "./link/shell";
import { usePage } from "./link/store";
import "./look/look.css";
import "./look/table.css";
import "./look/bench.css";
import "./look/slip.css";
import "./look/panels.css";
import "./look/phone.css";
import "./look/touch.css";

const Phone = lazy(() => import("./phone/Phone"));

/** "#phone?token=T": the token is kept in the phone and taken out of the address. */
function atThePhone(): boolean {
  if (!location.hash.startsWith("#phone")) return false;
  const token = new URLSearchParams(location.hash.split("?")[1] ?? "").get("token");
  if (token) localStorage.setItem("halfround.token", token);
  useToken(token ?? localStorage.getItem("halfround.token") ?? "");
  history.replaceState(null, "", `${location.pathname}#phone`);
  return true;
}

/** There is a fork to draw. */
function drawable(): Promise<void> {
  return new Promise((done) => {
    const stop = usePage.subscribe((p) => {
      if (!p.drawn) return;
      stop();
      done();
    });
  });
}

const kPatience = 400; // ms

/** The page drawn once with its fork costs less than an empty one and then the whole. */
function openTable(): void {
  const begun = start();
  const patience = new Promise((done) => window.setTimeout(done, kPatience));
  const render = () => root.render(<App begun={begun} />);
  Promise.race([begun.then(drawable), patience]).then(render, render); // or says what went wrong
}

const root = createRoot(document.getElementById("page")!);
if (atThePhone()) root.render(<Suspense fallback={null}><Phone /></Suspense>);
else openTable();
keepShell();
