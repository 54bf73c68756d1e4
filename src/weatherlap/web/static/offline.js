// The worker that keeps pages for when there is no signal: only by https, never instead of the
// machine that serves while that answers. The server puts the app's files in the place of SHELL.
const STORE = "weatherlap-pages";
const SHELL = [];
const MOST = 400;
const NEVER = /^\/(share|pair|backup|api\/own)|\.(pdf|zip|dxf|xlsx|ics|csv)$/;

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(STORE).then((store) => store.addAll(SHELL)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const way = new URL(event.request.url);
  if (event.request.method !== "GET" || way.origin !== self.location.origin || NEVER.test(way.pathname)) return;
  event.respondWith(fromServer(event.request));
});

async function fromServer(request) {
  const store = await caches.open(STORE);
  try {
    const answer = await fetch(request);
    if (answer.status === 401 || answer.redirected && new URL(answer.url).pathname === "/pair") await caches.delete(STORE);
    else if (answer.ok && !answer.redirected) {
      await store.put(request, answer.clone());
      await trim(store);
    }
    return answer;
  } catch (error) {
    const kept = await store.match(request, { ignoreVary: true });
    if (kept) return kept;
    if (request.mode !== "navigate") throw error;
    const words = "<!doctype html><html lang=en><meta charset=utf-8><meta name=viewport content='width=device-width'><title>No signal</title><h1>No signal</h1><p>This page was not open on this device before. <a href='/'>The list of jobs</a></p>";
    return new Response(words, { status: 503, headers: { "content-type": "text/html; charset=utf-8" } });
  }
}

async function trim(store) {
  const all = await store.keys();
  const loose = all.filter((request) => !SHELL.includes(new URL(request.url).pathname));
  await Promise.all(loose.slice(0, Math.max(0, loose.length - MOST)).map((request) => store.delete(request)));
}
