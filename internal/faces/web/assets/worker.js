/* Keeps the page working without signal: what the page is made of, and the last view of each page, marked with its time. It
   never answers a calculation from memory. */
const build = "BUILD";
const shell = `shell-${build}`;
const views = "views-1";
const most = 240;

self.addEventListener("install", (e) => e.waitUntil(caches.open(shell).then((c) => c.addAll(["/", "/words", "/settings", "/jobs"]))));

/* A newer build waits until the page says that nothing is unsent and no pour is on; and the page names what to keep at hand. */
self.addEventListener("message", (e) => {
  if (e.data === "take over") self.skipWaiting();
  if (e.data === "look after me") e.waitUntil(self.clients.claim());
  if (e.data?.keep) e.waitUntil(keep(e.data.keep));
});

async function keep(paths) {
  const c = await caches.open(views);
  for (const path of paths) {
    const got = await fetch(path).catch(() => null);
    if (got?.ok && !got.redirected) await c.put(new URL(path, location.origin).href, got);
  }
}

self.addEventListener("activate", (e) => e.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith("shell-") && name !== shell) await caches.delete(name);
  await self.clients.claim();
})()));

self.addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== "GET" || url.origin !== location.origin) return;
  if (/^\/api\/v1\/jobs\/[^/]+\/sheets\/./.test(url.pathname)) return e.respondWith(fresh(e.request, Infinity)); // an old sheet for a new one would be built from
  if (/^\/api\/v1\/jobs\/[^/]+\/photos\/./.test(url.pathname)) return e.respondWith(fixed(e.request, views));
  if (url.pathname.startsWith("/api/")) return;
  if (url.pathname.startsWith("/assets/")) return e.respondWith(fixed(e.request, shell));
  if (/\/(jobs|week|words|settings|today)?(\/|$)/.test(url.pathname)) e.respondWith(fresh(e.request));
});

/** A file that never changes under its address: the kept one is always right. */
async function fixed(request, where) {
  const c = await caches.open(where);
  const kept = await c.match(request);
  if (kept) return kept;
  const got = await fetch(request);
  if (got.ok) c.put(request, got.clone());
  return got;
}

/** The office first, with some patience; then the last view. */
async function fresh(request, patience = 2000) {
  const c = await caches.open(views);
  const key = request.url.replace(/([?&])r=\d+/, "$1");
  const going = fetch(request).then((got) => {
    if (got.ok && got.type === "basic" && !got.redirected) c.put(key, got.clone()).then(() => trim(c));
    return got;
  });
  if (request.cache === "no-store") return going; // the page asks for the answer as it is now, or none
  const kept = await c.match(key, { ignoreSearch: request.mode === "navigate" }) ?? await (await caches.open(shell)).match(request);
  if (!kept) return going;
  const answered = going.catch(() => kept);
  return patience === Infinity ? answered : Promise.race([answered, new Promise((done) => setTimeout(() => done(kept), patience))]);
}

async function trim(c) {
  const keys = await c.keys();
  for (const k of keys.slice(0, Math.max(0, keys.length - most))) await c.delete(k);
}
