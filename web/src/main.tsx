// Where the page begins: at the machine the table, behind a pairing link (#phone) the step cards.
import { createRoot } from "react-dom/client";
import { lazy, Suspense } from "react";
import App from "./App";
import { useToken } from "./link/rest";
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

const page = atThePhone() ? <Suspense fallback={null}><Phone /></Suspense> : <App />;
createRoot(document.getElementById("page")!).render(page);
