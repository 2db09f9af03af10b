// The page's own files, kept by the browser, so that the page opens while the server can't be reached. What belongs to a
// job (/api/) never comes from here. A browser allows this on the machine itself and behind TLS (docs/page.md).
const kShell = "halfround-page";
const kPatience = 3000; // ms for a server that may only be slow

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (e) => e.waitUntil(self.clients.claim()));
self.addEventListener("fetch", (e) => {
  const { origin, pathname } = new URL(e.request.url);
  if (e.request.method !== "GET" || origin !== self.location.origin || pathname.startsWith("/api/")) return;
  e.respondWith(answer(e.request, pathname));
});

async function answer(request, pathname) {
  const shell = await caches.open(kShell);
  const name = request.mode === "navigate" ? "/" : request;
  const lasting = pathname.startsWith("/assets/"); // another version has other names
  const kept = await shell.match(name);
  if (lasting && kept) return kept;
  try {
    const fresh = await fetch(request, kept ? { signal: AbortSignal.timeout(kPatience) } : {});
    if (fresh.ok) await shell.put(name, fresh.clone());
    return fresh;
  } catch (e) {
    if (kept) return kept;
    throw e;
  }
}
