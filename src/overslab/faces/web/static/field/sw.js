// The kept copy of the field pages: they open with the laptop off. SHELL stands above this line, put
// there by the laptop; a new list makes a new worker, which waits until nothing is half typed.

const SHELL_CACHE = `field-shell-${SHELL.version}`;
const DATA_CACHE = "field-data";
const PATIENCE_MS = 2000;
const GIVE_UP_MS = 15000; // a request that hangs would keep a new worker from taking over

self.addEventListener("install", (event) => {
  event.waitUntil(
    (async () => {
      const cache = await caches.open(SHELL_CACHE);
      const wanted = [...Object.values(SHELL.pages), ...SHELL.files];
      // Past the browser's own cache: old and new files must never be mixed.
      await cache.addAll(wanted.map((address) => new Request(address, { cache: "reload" })));
      const others = (await caches.keys()).filter((name) => name.startsWith("field-shell-"));
      if (others.length === 1 || !self.registration.active) self.skipWaiting();
    })(),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      for (const name of await caches.keys()) {
        if (name.startsWith("field-shell-") && name !== SHELL_CACHE) await caches.delete(name);
      }
      await self.clients.claim();
    })(),
  );
});

self.addEventListener("message", ({ data }) => {
  if (data === "take over") self.skipWaiting();
});

function pageOf(path) {
  if (path === "/field/" || path === "/field") return SHELL.pages.jobs;
  if (path === "/field/state") return SHELL.pages.state;
  const parts = path.match(/^\/field\/[0-9a-f]{32}(?:\/(readings|notes))?\/?$/);
  return parts ? SHELL.pages[parts[1] ?? "shots"] : null;
}

async function fromShell(address, request) {
  // Not opened: a worker that is going would make its cache again after the new one took it away.
  const kept = { cacheName: SHELL_CACHE, ignoreSearch: true, ignoreVary: true };
  return (await caches.match(address, kept)) ?? fetch(request);
}

// The newest within two seconds, else what the phone has; the late answer is kept for next time.
async function data(event) {
  const cache = await caches.open(DATA_CACHE);
  const coming = fetch(event.request, { signal: AbortSignal.timeout(GIVE_UP_MS) }).then(async (answer) => {
    if (answer.ok) await cache.put(event.request.url, answer.clone());
    return answer;
  });
  event.waitUntil(coming.catch(() => {}));
  const patience = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS));
  const first = await Promise.race([coming.catch(() => null), patience]);
  if (first) return first;
  return (await cache.match(event.request.url, { ignoreVary: true })) ?? coming;
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  // What is sent is never touched; nothing outside the field pages is kept, so no price can be.
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  const kept = SHELL.files.includes(url.pathname) ? url.pathname : pageOf(url.pathname);
  if (request.mode === "navigate" ? pageOf(url.pathname) : SHELL.files.includes(url.pathname)) {
    event.respondWith(fromShell(kept, request));
  } else if (/^\/field\/(jobs|[0-9a-f]{32}\/(data|suspects))\.json$/.test(url.pathname)) {
    event.respondWith(data(event));
  }
});

// Background Sync: a page that is open sends by itself; with none open the worker sends one batch
// after the other straight from the second store.
self.addEventListener("sync", (event) => {
  event.waitUntil(
    (async () => {
      const pages = await self.clients.matchAll({ includeUncontrolled: true });
      if (pages.length) pages.forEach((page) => page.postMessage("send"));
      else await sendAll();
    })(),
  );
});

function base() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open("overslab-field");
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
    request.onupgradeneeded = () => request.transaction.abort(); // never made here: the page makes it
  });
}

const all = (store) => new Promise((resolve, reject) => {
  const request = store.getAll();
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});

async function sendAll() {
  const open = await base();
  try {
    const marked = new Set((await all(open.transaction("marks").objectStore("marks"))).map((mark) => mark.id));
    const events = (await all(open.transaction("events").objectStore("events")))
      .filter((event) => !marked.has(event.id)).sort((a, b) => a.seq - b.seq);
    for (let at = 0; at < events.length; at += 100) {
      const answer = await fetch("/sync", {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ events: events.slice(at, at + 100) }),
      });
      if (!answer.ok) throw new Error(`answer ${answer.status}`); // the browser tries again later
      const { have, tray } = await answer.json();
      const marks = open.transaction("marks", "readwrite", { durability: "strict" }).objectStore("marks");
      const now = Date.now();
      for (const id of have) marks.put({ id, have: true, at: now });
      for (const { id, code, why } of tray) marks.put({ id, have: false, code, why, at: now });
    }
  } finally {
    open.close();
  }
}
