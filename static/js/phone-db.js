// What the phone keeps besides pages, in IndexedDB: the find index and the outbox. Gusset.index.sync() brings the index
// up to date by difference, .load() gives it as a store to search. Without IndexedDB they say so and nothing breaks.
(function () {
  "use strict";
  const here = document.currentScript, EVERY = 5 * 60 * 1000, AT_ONCE = 150, NAME = "gusset", VERSION = 2;
  let opened = null, store = null, syncing = null;

  function open() {
    opened = opened || new Promise((resolve, reject) => {
      const asked = indexedDB.open(NAME, VERSION);
      asked.onupgradeneeded = () => {
        const made = asked.result;
        for (const name of ["packs", "facts", "photos"]) if (!made.objectStoreNames.contains(name)) made.createObjectStore(name);
        for (const name of ["outbox", "sent"]) {
          if (!made.objectStoreNames.contains(name)) made.createObjectStore(name, { keyPath: "id", autoIncrement: true });
        }
      };
      asked.onsuccess = () => {
        asked.result.onversionchange = () => { asked.result.close(); opened = null; };
        resolve(asked.result);
      };
      asked.onerror = () => { opened = null; reject(asked.error); };
      asked.onblocked = () => reject(new Error("blocked"));
    });
    return opened;
  }
  const value = (request) => new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const done = (transaction) => new Promise((resolve, reject) => {
    transaction.oncomplete = resolve;
    transaction.onabort = transaction.onerror = () => reject(transaction.error);
  });
  async function fact(key) {
    return value((await open()).transaction("facts").objectStore("facts").get(key));
  }

  async function json(url) {
    const answer = await fetch(url, { cache: "no-cache", redirect: "manual", headers: { Accept: "application/json" } });
    if (!answer.ok) throw new Error(`index ${answer.status}`);
    return answer.json();
  }
  async function bring() {
    const said = await json(here.dataset.index), had = (await fact("contents")) || { packs: {} }, packs = {};
    const changed = had.version !== said.version, old = had.format === said.format ? had.packs : {};
    const names = Object.keys(said.packs).filter((name) => said.packs[name] !== old[name]);
    const gone = Object.keys(had.packs).filter((name) => !(name in said.packs));
    if (changed && !Object.keys(old).length) Object.assign(packs, await json(here.dataset.rows));
    else for (let i = 0; i < names.length; i += AT_ONCE) Object.assign(packs, await json(`${here.dataset.rows}?b=${names.slice(i, i + AT_ONCE).join()}`));
    const transaction = (await open()).transaction(["packs", "facts"], "readwrite");
    for (const [name, rows] of Object.entries(packs)) transaction.objectStore("packs").put(rows, name);
    for (const name of gone) transaction.objectStore("packs").delete(name);
    transaction.objectStore("facts").put({ ...said, at: new Date().toISOString() }, "contents");
    await done(transaction);
    if (changed) store = null;
  }
  function sync() {
    syncing = syncing || bring().finally(() => { syncing = null; });
    return syncing;
  }

  function script(src) {
    return new Promise((resolve, reject) => {
      const one = document.createElement("script");
      one.src = src;
      one.onload = resolve;
      one.onerror = () => reject(new Error(src));
      document.head.append(one);
    });
  }
  // {store, at, parts, places}: parts and places by number, as the rows came; null where nothing is kept yet.
  async function load() {
    if (store) return store;
    const contents = await fact("contents");
    if (!contents) return null;
    const packs = (await open()).transaction("packs").objectStore("packs");
    const [rows, keys] = await Promise.all([value(packs.getAll()), value(packs.getAllKeys())]);
    if (!window.GussetFind) await script(here.dataset.find);
    store = window.GussetFind.index(rows, keys, contents.words);
    store.at = contents.at;
    return store;
  }

  window.Gusset = Object.assign(window.Gusset || {}, { index: { sync, load, fact, script }, db: { open, value, done } });
  // Where there is signal: soon after the page is there, and not at every page.
  async function soon() {
    const had = await fact("contents");
    if (had && Date.now() - Date.parse(had.at) < EVERY) return;
    await sync();
    await Gusset.outbox.keepForTheBench();
  }
  if (!Gusset.kept && window.indexedDB) setTimeout(() => soon().catch(() => {}), 1500);
  // Where there is none: a page that finds, scans, asks which or was not kept answers from here.
  function answers(from, where) {
    const unkept = document.querySelector("[data-no-signal]");
    if (!unkept && !document.querySelector(where)) return;
    let there = false;
    const wake = () => { if (!there) { there = true; script(here.dataset[from]).catch(() => { there = false; }); } };
    if (Gusset.kept || !navigator.onLine || unkept) wake();
    document.addEventListener("htmx:sendError", wake);
    window.addEventListener("offline", wake);
  }
  answers("here", "form.find, [data-scanner]");
  answers("picks", ".pick > [hx-get]");
})();
