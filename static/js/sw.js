// The worker in the phone: pages open without signal. It never stands between a person and a newer version:
// pages come from the shop first, files have their content in their name, and a new worker takes over at once.
// PLAN is put in front by the server.
"use strict";
const FILES = `gusset-files-${PLAN.build}`;
const PAGES = `gusset-pages-${PLAN.build}`;
const PICTURES = "gusset-pictures";
const PATIENCE = 3000; // ms before a kept page is shown instead
const MOST_PAGES = 80, MOST_PICTURES = 400;
const ANY = { ignoreVary: true };
let forgotten = 0; // how often all that was kept was let go of
// The page is kept and not seen: what was just done is left for the one that is.
const QUIETLY = { cache: "no-cache", headers: { "X-Background": "1" } };

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim().then(bringAlong)));
self.addEventListener("message", (event) => {
  if (event.data === "tidy") event.waitUntil(bringAlong());
  else if (event.data && event.data.keep) event.waitUntil(keepAll(event.data.keep).catch(() => {}));
});

// At the edge of a Wi-Fi one of many requests fails now and then: that is no reason to begin again.
async function patiently(work, tries = 4) {
  for (let n = 1; ; n += 1) {
    try { return await work(); } catch (error) { if (n === tries) throw error; }
    await new Promise((resolve) => setTimeout(resolve, n * 700));
  }
}

// Pages for the bench that nobody has opened here yet.
async function keepAll(paths) {
  for (const path of paths) await bring(new URL(path, self.location).href);
}

async function bring(url) {
  const since = forgotten, answer = await fetch(url, QUIETLY);
  await keepPage(url, answer, since);
  return answer;
}

async function install() {
  const files = await caches.open(FILES);
  // One by one, and only what is missing: where the Wi-Fi is poor the next try goes on from here.
  await Promise.all([...PLAN.files, PLAN.offline].map(async (url) => {
    if (!(await files.match(url, ANY))) await patiently(() => files.add(new Request(url, { cache: "no-cache" })));
  }));
  await self.skipWaiting();
}

// The pages an older worker kept are fetched anew, each of them gone only when the shop has said what is there now. Where
// it can't, for want of a signal or a login or because it broke, the older page stays, with its files, until it can. What is
// not of this version may be of a newer one that is just being fetched: then all of this is that one's to do.
const replaced = () => Boolean(self.registration.installing || self.registration.waiting || (self.serviceWorker && self.serviceWorker.state === "redundant"));
async function bringAlong() {
  if (replaced()) return;
  const wanted = new Set(PLAN.pages.map((path) => new URL(path, self.location).href)), older = new Map();
  const pages = await caches.open(PAGES), files = await caches.open(FILES);
  for (const name of await caches.keys()) {
    const [, build] = /^gusset-(?:files|pages)-(.+)$/.exec(name) || [];
    if (build && build !== PLAN.build) older.set(build, await caches.open(`gusset-pages-${build}`));
  }
  for (const kept of older.values()) for (const request of await kept.keys()) wanted.add(request.url);
  try {
    for (const url of wanted) {
      const answer = !(await pages.match(url, ANY)) && await patiently(() => bring(url));
      if (answer && answer.redirected && never(new URL(answer.url))) break; // signed out
      if (!answer || answer.ok || answer.status === 404 || answer.status === 410) for (const kept of older.values()) await kept.delete(url, ANY);
    }
    // All files again, should the browser or another version have let go of one.
    for (const url of [PLAN.offline, ...PLAN.files, ...PLAN.later]) {
      if (!(await files.match(url, ANY))) await patiently(() => files.add(url));
    }
  } catch (error) { /* no signal just now: tried again with the next page */ }
  for (const [build, kept] of older) {
    if (!replaced() && !(await kept.keys()).length) for (const kind of ["pages", "files"]) await caches.delete(`gusset-${kind}-${build}`);
  }
}

self.addEventListener("fetch", (event) => {
  const request = event.request, url = new URL(request.url);
  if (url.origin !== self.location.origin) return;
  if (request.method !== "GET") {
    if (PLAN.forgets.includes(url.pathname)) event.waitUntil(forget());
    return;
  }
  if (request.headers.has("range")) return;
  if (request.mode === "navigate") {
    if (!never(url)) event.respondWith(page(event));
  } else if (url.pathname.startsWith(PLAN.static)) event.respondWith(file(request));
  else if (/^\/photos\/[0-9a-f-]+\/\w+\.webp$/.test(url.pathname)) event.respondWith(picture(event));
});

// Somebody else may hold the phone next. What waits to be sent is not in a cache and stays. A page that is still on its way
// is not kept any more.
async function forget() {
  forgotten += 1;
  const names = await caches.keys();
  await Promise.all(names.filter((name) => /^gusset-p/.test(name)).map((name) => caches.delete(name)));
  await new Promise((resolve) => {
    const asked = indexedDB.open("gusset");
    asked.onupgradeneeded = () => asked.transaction.abort(); // there was none
    asked.onerror = resolve;
    asked.onsuccess = () => {
      const stores = [...asked.result.objectStoreNames].filter((name) => name === "packs" || name === "facts");
      if (!stores.length) return resolve();
      const transaction = asked.result.transaction(stores, "readwrite");
      stores.forEach((name) => transaction.objectStore(name).clear());
      transaction.oncomplete = transaction.onabort = () => { asked.result.close(); resolve(); };
    };
  });
}

function never(url) {
  return PLAN.never.some((path) => url.pathname.startsWith(path));
}

function mayKeep(response) {
  return response.status === 200 && response.type === "basic" && !response.redirected
    && !/no-store/.test(response.headers.get("Cache-Control") || "")
    && /^text\/html/.test(response.headers.get("Content-Type") || "");
}

async function keepPage(url, response, since) {
  if (!mayKeep(response) || never(new URL(url))) return;
  const pages = await caches.open(PAGES);
  await pages.delete(url, ANY); // so that the newest is the last in the row
  const headers = new Headers(response.headers);
  headers.set("X-Kept-At", new Date().toISOString());
  const body = await response.blob();
  if (since !== forgotten) return;
  await pages.put(url, new Response(body, { status: 200, headers }));
  const all = await pages.keys();
  await Promise.all(all.slice(0, Math.max(0, all.length - MOST_PAGES)).map((old) => pages.delete(old, ANY)));
}

async function page(event) {
  const url = event.request.url.split("#")[0], since = forgotten;
  const fresh = fetch(event.request).then((response) => {
    if (mayKeep(response)) event.waitUntil(keepPage(url, response.clone(), since).catch(() => {}));
    return response;
  });
  event.waitUntil(fresh.catch(() => {}));
  const late = new Promise((resolve) => setTimeout(resolve, PATIENCE, "late"));
  let answer = await Promise.race([fresh.catch(() => null), late]);
  const poor = !answer || answer === "late" || [502, 503, 504].includes(answer.status);
  if (!poor) return answer;
  const kept = await keptPage(url, answer === "late");
  if (kept) return kept;
  if (answer === "late") answer = await fresh.catch(() => null);
  return answer || noSignal(url);
}

async function keptPage(url, late) {
  const there = new URL(url);
  const found = (await matchAny(url, PAGES, "gusset-pages-"))
    // Find and Scan answer a question from the phone's own index.
    || (there.search && PLAN.pages.includes(there.pathname) && await matchAny(there.origin + there.pathname, PAGES, "gusset-pages-"));
  return found && asKept(found, late);
}

// The page says that it was kept, and when: the script on it shows that.
async function asKept(response, late) {
  const since = response.headers.get("X-Kept-At") || "";
  const text = (await response.text()).replace("<body", `<body data-kept="${since}"${late ? " data-late" : ""}`);
  return new Response(text, { status: 200, headers: response.headers });
}

async function noSignal(url) {
  if (new URL(url).pathname === "/") return Response.redirect(PLAN.start);
  const found = await matchAny(new URL(PLAN.offline, self.location).href, FILES, "gusset-files-");
  return found || Response.error();
}

async function matchAny(url, first, prefix) {
  const names = [first, ...(await caches.keys()).filter((name) => name.startsWith(prefix) && name !== first).reverse()];
  for (const name of names) {
    const found = await (await caches.open(name)).match(url, ANY);
    if (found) return found;
  }
  return null;
}

async function file(request) {
  const files = await caches.open(FILES), kept = await files.match(request, ANY);
  if (kept) return kept;
  const response = await fetch(request).catch(() => null);
  if (response && response.status === 200 && response.type === "basic") await files.put(request, response.clone());
  else return (await matchAny(request.url, FILES, "gusset-files-")) || response || Response.error(); // of an older page
  return response;
}

async function picture(event) {
  const pictures = await caches.open(PICTURES);
  const kept = await pictures.match(event.request, ANY);
  if (kept) return kept;
  const response = await fetch(event.request);
  if (response.status === 200 && response.type === "basic") {
    const copy = response.clone();
    event.waitUntil(pictures.put(event.request, copy).then(() => pictures.keys()).then((all) =>
      Promise.all(all.slice(0, Math.max(0, all.length - MOST_PICTURES)).map((old) => pictures.delete(old)))));
  }
  return response;
}
