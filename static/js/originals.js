// Where the owner wants them: the original of each photo that was made smaller waits on this phone until the small one is
// in the shop, and follows it over Wi-Fi. The shop knows it by the sha256 of the small one. Only with the secure address.
(function () {
  "use strict";
  if (Gusset.originals) return;
  const SWITCH = "gusset-originals", MOST = 500e6, LARGEST = 25 * 1024 * 1024, DAYS = 30, LATER = 4000;
  const box = Gusset.outbox, { value, done } = Gusset.db, able = Boolean(window.crypto && crypto.subtle && window.indexedDB);
  const listeners = [];
  let opened = null, sending = null, timer = 0;

  // A store of its own: `list` says of each what it is, `files` has the bytes, so that counting reads no pictures.
  function open() {
    opened = opened || new Promise((resolve, reject) => {
      const asked = indexedDB.open("gusset-originals", 1);
      asked.onupgradeneeded = () => { for (const name of ["list", "files"]) asked.result.createObjectStore(name); };
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => { opened = null; reject(asked.error); };
    });
    return opened;
  }
  async function list() {
    return able ? value((await open()).transaction("list").objectStore("list").getAll()) : [];
  }
  async function change(work) {
    const transaction = (await open()).transaction(["list", "files"], "readwrite");
    work(transaction.objectStore("list"), transaction.objectStore("files"));
    await done(transaction);
    listeners.forEach((one) => one());
  }
  const on = () => able && Boolean(Gusset.recall(SWITCH));
  async function keep(small, file) {
    const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", await small.arrayBuffer()));
    const digest = Array.from(hash, (byte) => byte.toString(16).padStart(2, "0")).join("");
    const waiting = (await list()).reduce((sum, one) => sum + one.size, 0);
    if (file.size > LARGEST || waiting + file.size > MOST) return;
    const bytes = await file.arrayBuffer(), row = { digest, person: box.person, name: file.name, type: file.type, size: file.size, at: Date.now() };
    await change((rows, files) => { rows.put(row, digest); files.put(bytes, digest); });
  }
  const letGo = (digest) => change((rows, files) => { rows.delete(digest); files.delete(digest); });
  async function letAllGo() { for (const one of await mine()) await letGo(one.digest); }
  const mine = async () => (await list()).filter((one) => one.person === box.person);

  const plainly = Gusset.smaller;
  if (plainly) Gusset.smaller = async (file) => {
    const small = await plainly(file);
    if (small !== file && on()) await keep(small, file).catch(() => {}); // no room: the small one has to do
    return small;
  };

  // ---- sending
  // True on Wi-Fi or a cable, false on what is paid for by the byte, null where the browser does not say.
  function unmetered() {
    const line = navigator.connection;
    if (!line || (line.type === undefined && !line.saveData)) return line ? !/Mobi|Android/.test(navigator.userAgent) || null : null;
    return !line.saveData && !/^(cellular|bluetooth|none|wimax)$/.test(line.type || "");
  }
  async function run(now) {
    if (now) await box.flush(true); // the shop knows an original by the small one
    else if (unmetered() !== true || (await box.mine()).some((op) => op.state === "waits")) return;
    const rows = (await mine()).filter((one) => !one.refused);
    if (!rows.length) return;
    const hello = await box.greet();
    if (hello.trouble || hello.person !== box.person) return;
    const head = { "X-CSRFToken": hello.csrf }, some = rows.slice(0, 200);
    const { said } = await box.post("/sync/originals/", new URLSearchParams({ digests: some.map((one) => one.digest).join() }), head);
    if (!said) return;
    for (const one of some) {
      if (said.wanted.includes(one.digest)) {
        const body = new FormData(), bytes = await value((await open()).transaction("files").objectStore("files").get(one.digest));
        body.append("photo", new Blob([bytes], { type: one.type }), one.name);
        const answer = await box.post(`/sync/originals/${one.digest}/`, body, head);
        const refused = answer.status === 413 ? "It is too large for the shop." : answer.said && answer.said.refused && answer.said.refused[0].text;
        if (!answer.said && !refused) return; // no signal: later
        if (refused) { // its row stays, so that This phone can tell
          await change((list, files) => { list.put({ ...one, size: 0, refused }, one.digest); files.delete(one.digest); });
          continue;
        }
      } else if (said.unknown.includes(one.digest) && Date.now() - one.at < DAYS * 864e5) continue; // its form was not sent yet
      await letGo(one.digest);
    }
  }
  const alone = (work) => (navigator.locks ? navigator.locks.request("gusset-originals", work) : work());
  function send(now) {
    if (!able) return Promise.resolve();
    if (sending) return now ? sending.then(() => send(now)) : sending; // what is asked for by hand is done
    sending = alone(() => run(now)).catch(() => {}).finally(() => { sending = null; });
    return sending;
  }
  function soon() { clearTimeout(timer); timer = setTimeout(send, LATER); }
  box.onchange((what) => { if (what === "gone") soon(); });
  window.addEventListener("online", soon);
  if (navigator.connection && navigator.connection.addEventListener) navigator.connection.addEventListener("change", soon);
  soon();

  Gusset.originals = { able, on, mine, send, letAllGo, unmetered, most: MOST, onchange: (one) => listeners.push(one), set: (yes) => Gusset.remember(SWITCH, yes ? "1" : "") };
})();
