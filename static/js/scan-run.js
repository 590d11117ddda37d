// One scan after another: a bin, then its things. Each is put in at once by way of the outbox; a count goes when it is done.
// What a code stands for is looked up on the phone, so all of it works without signal. What of it waits on the phone is
// shown, also when the page comes anew: nobody has to scan twice to be sure.
(function () {
  "use strict";
  const run = document.querySelector("[data-run]"), at = (name) => document.querySelector(`main [data-${name}]`);
  const box = Gusset.outbox, { make, button } = Gusset, { tidy, good, spaced } = Gusset.label, wanted = new URLSearchParams(location.search), counting = wanted.has("count");
  let index = null, place = null, counts = new Map();
  const codes = new Map(), addresses = new Map();

  at("mode-says").textContent = counting ? "Counting" : "Putting into";

  // ---- what a code or an address stands for
  async function learn() {
    await Gusset.index.sync().catch(() => {});
    index = await Gusset.index.load().catch(() => null);
    if (!index) return;
    for (const row of index.parts.values()) for (const code of row[10]) codes.set(code, ["part", row[0]]);
    for (const row of index.places.values()) {
      for (const code of row[6]) codes.set(code, ["place", row[0]]);
      for (const address of [...row[7], row[4]]) if (address) addresses.set(address.toUpperCase(), ["place", row[0]]);
    }
    for (const op of await runs()) if (op.state === "waits") believe(index.parts.get(op.run.part), op.run.from, op.run.to);
  }
  const named = (row) => row[4] || row[3];
  // Two may be called the same.
  const lies = (part) => { const there = part[11].map(([where]) => index.places.get(where)).find(Boolean); return there ? `, at ${named(there)}` : ""; };

  // ---- the page
  function trouble(text) {
    at("trouble").textContent = text;
    at("trouble").hidden = !text;
  }
  function ask(text, choices, leave = "Never mind") {
    at("ask-says").textContent = text;
    at("ask-body").replaceChildren(...choices, button(leave, asked));
    at("ask").hidden = false;
    at("ask").scrollIntoView({ block: "nearest" });
  }
  function asked() { at("ask").hidden = true; }
  function line(text, soft, list = "list") {
    const row = make("li"), body = make("span", "", "body"), inside = make("div", "", "line");
    body.append(make("b", text), make("span", soft, "soft"));
    inside.append(body);
    row.append(inside);
    at(list).querySelector("ul").prepend(row);
    at(list).hidden = false;
    if (list === "list") at("list-says").hidden = false;
    return inside;
  }
  const WAITS = "▲ Saved on this phone, not in the shop yet", BACK = "▲ Will be taken back: not in the shop yet";
  const says = (result) => (result && result.taken ? "✓ In the shop" : result && result.refused ? `✕ Needs a look: ${result.refused[0].text}` : WAITS);

  // ---- what is done here, and what becomes of it
  const rows = new Map(); // of what was done on this page: the number of each, and its line
  const UNDO = "/move/undo/", undoing = (uid) => `${UNDO}${uid}/`;
  // All that waits here of this run or an earlier one.
  const runs = async () => (await box.mine().catch(() => [])).filter((op) => op.run);

  // `run`: which part went from where to where, as far as that is so. `page`: where there is a form of it, to be corrected on.
  async function add({ what, url, fields, run = {}, page = url, shown = [] }, row) {
    const uid = Gusset.number();
    if (row) rows.set(uid, row);
    const op = await box.add({ uid, url, page, what, shown, run, quiet: true, fields: [["uid", uid], ...fields], photos: [] });
    if (row) {
      outcome(uid).then((result) => { if (result && !row.dataset.back) row.querySelector(".soft").textContent = says(result); });
    }
    box.flush(true);
    return op;
  }
  // What becomes of one, however long that takes: as `watch` says it, or null where it is gone from here unheard.
  async function outcome(uid) {
    for (;;) {
      const result = await box.watch(uid, 20000);
      if (result) return result;
      const op = await box.find(uid);
      if (!op) return null;
      if (op.refused) return { refused: op.refused };
    }
  }
  async function takeBack(op, tell) {
    const { part, from, to } = op.run;
    believe(index.parts.get(part), to, from);
    if (await box.dropUntried(op.uid)) return tell("Taken back");
    tell(BACK);
    const undo = await add({ what: `Undo: ${op.what}`, url: undoing(op.uid), fields: [], run: { part, from: to, to: from }, page: "" });
    return undone(undo, op.uid, tell);
  }
  async function undone(undo, uid, tell) {
    const result = await outcome(undo.uid);
    if (!result) return tell("No longer waiting on this phone");
    if (result.taken) return tell("Taken back");
    const refused = await box.find(uid); // still here: the shop never took it, and there was nothing to undo
    if (!refused) return tell(says(result));
    for (const op of [refused, await box.find(undo.uid)]) if (op) await box.drop(op);
    return tell("Taken back");
  }
  const back = (op, tell) => button("Take back", (event) => { event.target.remove(); takeBack(op, tell); }, "btn-quiet");

  // What waits and has no line on this page: of before it came anew, or of a bin that is done.
  async function earlier() {
    const ops = await runs(), list = at("earlier").querySelector("ul");
    list.replaceChildren();
    at("earlier").hidden = true;
    const ours = (op) => rows.has(op.uid) || (op.url.startsWith(UNDO) && (rows.has(op.url.slice(UNDO.length, -1)) || ops.some((one) => op.url === undoing(one.uid))));
    for (const op of ops.filter((one) => !ours(one))) {
      const taken = ops.some((one) => one.url === undoing(op.uid)), row = line(op.what, taken ? BACK : says(op), "earlier");
      if (op.run.part && !taken && op.state === "waits" && !op.url.startsWith(UNDO)) row.append(back(op, earlier));
    }
  }

  // ---- a place
  async function into(row, anew) {
    if (place && counting && !anew) await counted();
    place = row;
    stay();
    at("place").textContent = named(row);
    at("next").textContent = counting ? "Scan each thing in it" : "Scan what goes in";
    at("list-says").textContent = counting ? `Counted in ${named(row)}` : "Put in just now";
    counts = new Map();
    if (!counting) {
      at("list-says").hidden = !at("rows").children.length;
      at("list").hidden = false; // Done stands there from the start, also where the page comes anew
      return;
    }
    at("rows").replaceChildren();
    for (const part of index.parts.values()) {
      const held = part[11].find(([where]) => where === place[0]);
      if (held) counter(part, held[1], 0);
    }
    at("list").hidden = false;
    goOn();
  }
  // The page that comes anew goes on where it was.
  function stay() {
    const query = [counting && "count", place && `place=${place[0]}`].filter(Boolean).join("&");
    history.replaceState(null, "", location.pathname + (query && `?${query}`));
  }

  // ---- putting in
  function put(part) {
    const there = part[11].filter(([where]) => where !== place[0] && index.places.has(where));
    if (there.length > 1) {
      return ask(`${part[1]}: from where?`, [...there.map(([where, many]) => button(`${named(index.places.get(where))} (${many} there)`, () => { asked(); putFrom(part, where); })), button("New to the shop", () => { asked(); putFrom(part, ""); })]);
    }
    return putFrom(part, there.length ? there[0][0] : "");
  }
  async function putFrom(part, from) {
    const to = place[0], source = from && index.places.get(from), row = line(part[1], WAITS);
    const what = `Put 1 × ${part[1]} into ${named(place)}${source ? ` from ${named(source)}` : ""}`, fields = [["quantity", "1"], ["note", ""], ...(from === "" && !part[11].length ? [] : [["source", String(from)]])];
    believe(part, from, to);
    const op = await add({ what, url: `/move/put-in/?place=${to}&part=${part[0]}`, fields, run: { part: part[0], from, to } }, row);
    row.append(back(op, (text) => { row.dataset.back = "1"; row.querySelector(".soft").textContent = text; }));
  }
  // What the phone believes moves along, so that the next scan of the same thing knows where it lies. "": new to the shop.
  function believe(part, from, to) {
    if (!part) return;
    for (const [where, by] of [[from, -1], [to, 1]]) {
      const held = part[11].find(([one]) => one === where);
      if (held) held[1] += by;
      else if (where !== "" && by > 0) part[11].push([where, by]);
    }
    part[11] = part[11].filter(([, many]) => many > 0);
  }

  // ---- counting
  function counter(part, believed, now) {
    const row = line(part[1], `${believed} believed`), box = make("div", "", "stepper"), input = make("input");
    input.type = "text";
    input.inputMode = "decimal";
    input.value = now;
    input.setAttribute("aria-label", `${part[1]}, counted`);
    box.dataset.stepper = "";
    for (const [by, sign, text] of [[-1, "−", "One less"], [1, "+", "One more"]]) {
      const one = button(sign, () => {});
      one.dataset.step = by;
      one.setAttribute("aria-label", `${text}: ${part[1]}`);
      box.append(one);
    }
    box.firstChild.after(input);
    row.classList.add("counting");
    row.append(box);
    counts.set(part[0], { part, believed, input });
    input.addEventListener("input", keep);
  }
  function count(part) {
    if (!counts.has(part[0])) counter(part, 0, 0);
    const { input } = counts.get(part[0]);
    input.value = Number(input.value.replace(",", ".") || 0) + 1;
    keep();
  }
  // A count goes to the shop when it is done; until then it is kept here, should the page be closed on the way.
  const COUNT = "gusset-count", LATELY = 12 * 3600 * 1000;
  function keep() {
    const made = [...counts].map(([number, { input }]) => [number, input.value]).filter(([, many]) => many !== "0");
    Gusset.remember(COUNT, JSON.stringify({ person: box.person, place: place[0], at: Date.now(), made }));
  }
  function goOn() {
    const kept = JSON.parse(Gusset.recall(COUNT) || "{}"), known = (kept.made || []).filter(([number]) => index.parts.has(number));
    if (kept.person !== box.person || kept.place !== place[0] || Date.now() - kept.at > LATELY || !known.length) return;
    for (const [number, many] of known) {
      if (!counts.has(number)) counter(index.parts.get(number), 0, 0);
      counts.get(number).input.value = many;
    }
    ask(`This goes on from ${Gusset.when(kept.at)}: what was counted by then stands below.`, [button("Count from nothing", () => { asked(); Gusset.remember(COUNT, ""); into(place, true); })], "Go on");
  }
  // All of it is one count: what was believed there, and what nobody knew of.
  async function counted() {
    const some = [...counts.values()].filter((one) => one.believed || Number(one.input.value.replace(",", ".")) > 0);
    const also = some.filter((one) => !one.believed).map((one) => one.part[0]), url = `/move/count/?place=${place[0]}${also.length ? `&also=${also}` : ""}`;
    await add({ what: `Counted ${named(place)}`, url, fields: some.map((one) => [`part-${one.part[0]}`, one.input.value]), shown: some.map((one) => [one.part[1], one.input.value]) });
    Gusset.remember(COUNT, "");
    finish(`✓ ${named(place)} is counted`);
  }
  function finish(text) {
    place = null;
    counts = new Map();
    rows.clear();
    stay();
    earlier();
    at("place").textContent = "—";
    at("next").textContent = "Scan the next bin";
    at("rows").replaceChildren();
    at("list").hidden = true;
    run.querySelector("[data-status]").textContent = text;
  }

  // ---- a label that nobody has said yet what it is on
  function blank(code) {
    const input = make("input"), label = make("label", "What is it on? A part’s name, or a new bin’s number"), field = make("div", "", "field"), choices = make("div", "", "stack");
    input.type = "text";
    input.id = label.htmlFor = "blank-on";
    input.autocomplete = "off";
    field.append(label, input);
    const stick = (what, fields, thing) => async () => {
      asked();
      await add({ what: `Label ${spaced(code)} is on ${what}`, url: `/labels/${code}/stick/`, fields, page: `/L/${code}` }, line(`Label ${spaced(code)}: ${what}`, WAITS));
      if (thing) codes.set(code, thing);
    };
    input.addEventListener("input", () => {
      const text = input.value.trim(), rows = text ? index.find(text).rows.filter((row) => row.kind === "part").slice(0, 4) : [];
      choices.replaceChildren(...rows.map((row) => { const part = index.parts.get(row.ref); return button(`${part[1]}${lies(part)}`, stick(part[1], [["what", "part"], ["part", String(part[0])]], ["part", part[0]])); }));
      if (text) choices.append(button(`A new part: ${text}`, stick(text, [["what", "part"], ["part", `new:${text}`]])));
      if (text && text.length <= 12) choices.append(button(`A new bin ${text}${place ? ` in ${named(place)}` : ""}`, stick(`bin ${text}`, [["what", "bin"], ["short", text], ["name", ""], ["parent", place ? String(place[0]) : ""]])));
    });
    ask(`Label ${spaced(code)} is on nothing this phone knows of`, [field, choices]);
  }

  // ---- whatever is read or typed
  async function take(text) {
    trouble("");
    asked();
    await ready; // what is scanned at once is for the bin the page was opened for
    if (!index) await learn();
    if (!index) return trouble("The list of things isn’t on this phone yet. Open this page once with signal.");
    const bare = (/\/L\/([^/?#\s]+)\/?$/i.exec(text.trim()) || [])[1] || text.trim(), code = tidy(bare);
    const found = codes.get(code) || addresses.get(bare.toUpperCase());
    if (!found) return good(code) ? blank(code) : trouble(`“${bare.slice(0, 40)}” is not a label’s code, nor an address that the phone knows: check it again.`);
    const [kind, number] = found;
    if (kind === "place") return into(index.places.get(number));
    if (!place) return trouble(`That is ${index.parts.get(number)[1]}. Scan the bin first.`);
    return counting ? count(index.parts.get(number)) : put(index.parts.get(number));
  }
  run.addEventListener("gusset:read", (event) => { event.preventDefault(); take(event.detail); });
  at("typed").addEventListener("submit", (event) => {
    event.preventDefault();
    const input = document.getElementById("typed");
    if (input.value.trim()) take(input.value);
    input.value = "";
    input.focus();
  });
  at("done").addEventListener("click", () => { if (place && counting) counted(); else finish(""); });

  const ready = learn().then(async () => {
    await earlier();
    for (const op of await runs()) { // taken back before the page came anew
      if (op.url.startsWith(UNDO)) undone(op, op.url.slice(UNDO.length, -1), earlier);
    }
    box.onchange(earlier);
    const first = index && index.places.get(Number(wanted.get("place")));
    return first && into(first);
  });
  if (wanted.has("label")) ready.then(() => { stay(); take(wanted.get("label")); }); // from the Scan page
})();
