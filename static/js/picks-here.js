// Boxes for picking where the shop can't be reached: what is typed is answered from the phone's own index, in the markup
// of templates/ui/picks.html. Loaded only then. What is ticked here goes along by itself; untouched, what was typed does.
(function () {
  "use strict";
  const BOX = ".pick > [hx-get]", MOST = 8, NEAR = 4, REST = 20000, { make } = Gusset;
  const HURT = { pattern: "Pattern only" }, alone = Gusset.kept || document.querySelector("[data-no-signal]");
  const AS = "What you typed goes along as it is.";
  const first = new WeakMap(); // what a box offered before anything was typed
  let since = Date.now();
  const local = () => alone || !navigator.onLine || Date.now() - since < REST;

  // As inventory/places/calc/address.py: an address however it was typed.
  const address = (text) => text.trim().toUpperCase().replace(/[\s·•.,/\\|>–—_-]+/g, "·").replace(/^·|·$/g, "").replace(/(^|[^0-9])0+(?=[0-9])/g, "$1");
  const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

  // ---- what may be meant: {value, label, sub, address, loose}; loose is never ticked by itself
  function finder(index, text) {
    const found = index.find(text), of = (kind, many) => found.rows.filter((row) => row.kind === kind).slice(0, many).map((row) => row.ref);
    const says = (part) => `${found.near ? "Near: " : ""}${HURT[part[5]] || capital(part[5])} · ${capital(part[6])}`;
    const lying = (part, [at, many], word) => { const place = index.places.get(at); return { value: `held:${part[0]}@${at}`, label: part[1], sub: `${many} ${word || `on ${place[3]}`}`, address: word ? place[4] || place[3] : place[4], loose: found.near }; };
    const holdings = (part) => part[11].filter(([at]) => index.places.has(at));
    function places() {
      const key = address(text), read = of("place", 40), named = text.toLowerCase();
      const rank = (row, its) => [its !== key, row[3].toLowerCase() !== named, !its.startsWith(key), read.includes(row[0]) ? read.indexOf(row[0]) : read.length].map(Number);
      return [...index.places.values()].map((row) => [row, address(row[4])])
        .filter(([row, its]) => (key && its.startsWith(key)) || read.includes(row[0])).map(([row, its]) => [row, its, rank(row, its)])
        .sort((a, b) => GussetFind.order(a[2], b[2]) || a[1].localeCompare(b[1], undefined, { numeric: true }))
        .map(([row, its]) => ({ value: row[0], label: row[3], sub: row[2], address: row[4], loose: found.near && its !== key }));
    }
    const known = () => of("part", found.near ? NEAR : MOST).map((ref) => index.parts.get(ref)).map((part) => ({ value: part[0], label: part[1], sub: says(part), loose: found.near }));
    const unknown = (label = `New part: ${text}`, sub = "Nothing of that name yet") => ({ value: `new:${text}`, label, sub, loose: true });
    function held() {
      const key = address(text), code = key.replace(/·/g, ""), read = of("part", 4 * MOST);
      const there = new Set([...index.places.values()].filter((row) => key && (address(row[4]) === key || row[6].includes(code))).map((row) => row[0]));
      const rows = [...index.parts.values()].flatMap((part) => holdings(part).filter(([at]) => read.includes(part[0]) || there.has(at)).map((one) => [part, one]));
      const best = (part) => (read.includes(part[0]) ? read.indexOf(part[0]) : read.length);
      rows.sort((a, b) => best(a[0]) - best(b[0]) || b[1][1] - a[1][1]);
      return [rows.map(([part, one]) => lying(part, one, "there")), known().filter((one) => !holdings(index.parts.get(one.value)).length)];
    }
    const benches = () => of("part", 60).map((ref) => index.parts.get(ref)).flatMap((part) => holdings(part).filter(([at]) => index.places.get(at)[2] === "Bench").map((one) => lying(part, one))).slice(0, 6);
    return { places, known, unknown, held, benches };
  }
  // By the last word of the address that the shop would be asked at; null where only the shop can say.
  function meant(input, index, text) {
    const url = new URL(input.getAttribute("hx-get"), location.href), but = url.searchParams.get("but"), of = finder(index, text);
    const offered = () => first.get(input).filter((one) => one.querySelector?.("b")?.textContent.toLowerCase().includes(text.toLowerCase()))
      .map((one) => ({ value: one.querySelector("input").value, label: one.querySelector("b").textContent, sub: one.querySelector(".soft")?.textContent }));
    const pulled = () => { const wanted = offered(); return [...wanted, ...of.known().filter((one) => !wanted.some((other) => other.label === one.label)), of.unknown()]; };
    const ways = {
      place: of.places, "scanned-place": of.places, pick: pulled,
      part: () => (but ? of.known().filter((one) => String(one.value) !== but) : [...of.known(), of.unknown()]),
      "task-part": () => [...of.known(), of.unknown(`In words: ${text}`, "Not known in the store yet; to be found")],
    };
    ways["to-put-in"] = ways.scanned = () => [...of.benches(), ...of.known(), of.unknown()];
    const way = url.pathname.split("/").at(-2);
    if (way === "log-part") {
      const [rows, none] = of.held();
      const all = [...rows, ...none], named = rows.filter((one) => one.label.toLowerCase() === text.toLowerCase()), so = named.length === 1 ? named : all;
      for (const one of all) one.loose ||= so.length > 1 || one !== so[0]; // as in the shop: haste moves nothing else
      return [[...rows.slice(0, MOST), ...none, of.unknown()], rows.length - MOST];
    }
    if (!ways[way]) return null;
    const all = ways[way](), most = /place$/.test(way) ? MOST : all.length;
    return [all.slice(0, most), 0];
  }

  function choice(name, one, ticked) {
    const label = make("label", "", "pick-one"), radio = make("input"), body = make("span", "", "body");
    Object.assign(radio, { type: "radio", name, value: one.value, checked: ticked, defaultChecked: ticked });
    radio.dataset.here = "";
    body.append(make("b", one.label), one.sub ? make("span", one.sub, "soft") : "");
    label.append(radio, body, one.address ? make("span", one.address, "address") : "");
    return label;
  }
  async function answer(input) {
    const picks = input.parentElement.querySelector(".picks"), text = input.value.trim().slice(0, 120);
    if (!first.has(input)) first.set(input, [...picks.childNodes]);
    const index = text && await Gusset.index.load().catch(() => null);
    if (text !== input.value.trim().slice(0, 120)) return; // typed on, or tapped one, meanwhile
    const trouble = document.getElementById("trouble"), name = input.name.replace(/_text$/, ""), note = (says) => make("p", says, "soft more");
    if (trouble) trouble.hidden = true;
    if (!index) picks.replaceChildren(...first.get(input), ...(text ? [note(`The list of things isn’t on this phone yet. ${AS}`)] : []));
    else {
      const [all, more] = meant(input, index, text) || [[], 0], best = all.find((one) => !one.loose);
      const says = !all.length ? `This phone knows nothing called that. ${AS}` : `${more > 0 ? `${more} more: type on. ` : ""}As this phone knew it ${Gusset.when(index.at)}.`;
      picks.replaceChildren(...all.map((one) => choice(name, one, one === best)), note(says));
      input.dataset.answered = input.value;
    }
    if (!text) {
      input.dataset.answered = ""; // what is offered again answers nothing
      picks.querySelectorAll("input").forEach((one) => { one.checked = one.defaultChecked; });
    }
    input.dispatchEvent(new CustomEvent("gusset:picked", { bubbles: true }));
  }

  const waiting = new WeakMap();
  function soon(input) { // a tap meanwhile puts the words away, and stays
    const asked = input.value;
    clearTimeout(waiting.get(input));
    waiting.set(input, setTimeout(() => { if (input.value === asked) answer(input); }, 60));
  }
  document.addEventListener("input", ({ target }) => { if (target.matches(BOX) && local()) soon(target); });
  document.addEventListener("htmx:beforeRequest", (event) => {
    if (!event.target.matches(BOX) || !local()) return;
    event.preventDefault();
    if (event.target.value && event.target.dataset.answered !== event.target.value) soon(event.target);
  });
  document.addEventListener("htmx:sendError", ({ target }) => { if (target.matches(BOX)) { since = Date.now(); if (target.value) soon(target); } });
  window.addEventListener("online", () => { since = 0; });
  // The shop would look for what was typed among its own answers, which have other values.
  document.addEventListener("formdata", ({ target, formData }) => target.querySelectorAll(".picks [data-here]:checked").forEach((one) => formData.set(`${one.name}_text`, "")));
  document.querySelectorAll(BOX).forEach((input) => { if (input.value !== input.defaultValue) soon(input); });
})();
