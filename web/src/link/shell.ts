// Has the browser keep the page's own files (public/worker.js), where it allows that: on the machine itself and behind TLS,
// not over plain http from another machine.

const kShell = "halfround-page";
const kRest = 1500; // ms after the page is there: nothing should wait for this

const ours = (name: string) => {
  const { origin, pathname } = new URL(name);
  return origin === location.origin && !pathname.startsWith("/api/") ? pathname : null;
};

async function keep(): Promise<void> {
  await navigator.serviceWorker.register("/worker.js");
  const main = document.querySelector<HTMLScriptElement>("script[type=module]")?.src;
  if (!main) return;
  // of another version nothing is kept
  const before = await caches.open(kShell);
  if (!(await before.match(main))) await caches.delete(kShell);
  const shell = await caches.open(kShell);
  const loaded = performance.getEntriesByType("resource").map((e) => ours(e.name)).filter((n): n is string => n !== null);
  await shell.addAll([...new Set(["/", ours(main)!, ...loaded])]);
}

export function keepShell(): void {
  if (!window.isSecureContext || !("serviceWorker" in navigator) || import.meta.env.DEV) return;
  window.setTimeout(() => void keep().catch(() => undefined), kRest); // without room the page works as before
}
