// Answers from the phone's own index, where the shop can't be reached: on Find as one types, on Scan for a code, and
// on the page shown instead of one that is not kept. Loaded only then.
(async function () {
  "use strict";
  const HURT = { pattern: "pattern only", scrap: "scrap" };
  const ORIGIN = { bought: "Bought", made: "Made", pulled: "Pulled", found: "Found" };
  const UNIT = { pieces: "", metres: " m", litres: " l", kilograms: " kg" };
  const { make } = Gusset, MOST = 40, FEW = 6, REST = 20000; // answers shown; choices in a form; ms until the shop is asked again
  const index = await Gusset.index.load().catch(() => null);
  // Parts that something was done with on this phone which the shop does not know yet: their numbers are older than that.
  let touched = new Map(); // to what was done
  async function known() {
    const ops = (await Gusset.outbox.mine().catch(() => [])).filter((op) => op.state === "waits" || op.state === "look");
    const named = (op) => op.fields.map(([name, text]) => (/^(part(-\d+)?|things)$/.test(name) ? /^(?:held:(?=\d+@))?(\d+)/.exec(name.slice(5) || text) : null));
    touched = new Map();
    for (const op of ops) {
      for (const found of [/part=(\d+)/.exec(op.url), ...named(op)].filter(Boolean)) {
        const number = Number(found.pop());
        touched.set(number, (touched.get(number) || new Set()).add(op.what));
      }
    }
  }
  await known();
  Gusset.outbox.onchange(known);

  function line(href, body, end) {
    const row = make("li"), link = make("a");
    link.href = href;
    link.append(body, end);
    row.append(link);
    return row;
  }
  const named = (row) => row[4] || row[3];
  function placeName(number) {
    const place = index.places.get(number);
    return place ? named(place) : "";
  }
  function part(row, at) {
    const held = at ? row[11].filter(([place]) => place === at) : row[11], sum = row[11].reduce((all, [, many]) => all + many, 0);
    const body = make("span", "", "body"), end = make("span", "", "end"), donor = placeName(row[9]), says = make("span", "", "soft");
    says.append([ORIGIN[row[6]] + (donor ? ` off ${donor}` : ""), HURT[row[5]] ? "" : row[5], row[2].length ? `no. ${row[2][0]}` : ""].filter(Boolean).join(" · "));
    if (HURT[row[5]]) says.append(" · ", make("span", HURT[row[5]], "held on"));
    body.append(make("b", row[1]), says, make("span", at ? `${held[0][1]}${UNIT[row[7]]} here` : `${Math.round(sum * 1000) / 1000}${UNIT[row[7]]} on hand`));
    if (touched.has(row[0])) body.append(make("span", "▲ Changed on this phone, not in the shop yet", "soft"));
    if (at) return line(`/parts/${row[0]}/`, body, end);
    if (!held.length) end.append(make("small", "none left"));
    else {
      end.append(make("span", placeName(held[0][0]), "address"));
      const place = index.places.get(held[0][0]), way = place && index.shown(place);
      if (way) end.append(make("small", way));
      if (held.length > 1) end.append(make("small", `and ${held.length - 1} more place${held.length > 2 ? "s" : ""}`));
    }
    return line(`/parts/${row[0]}/`, body, end);
  }
  function place(row) {
    const body = make("span", "", "body"), end = make("span", "", "end"), says = make("span", row[2], "soft");
    if (row[9]) says.append(" · ", make("span", "away", "held on"));
    body.append(make("b", row[3]), says);
    if (row[4]) end.append(make("span", row[4], "address"));
    const way = index.shown(row);
    if (way) end.append(make("small", way));
    return line(row[4] ? `/at/${encodeURIComponent(row[4])}/` : `/at/${row[0]}/`, body, end);
  }
  function list(rows) {
    const found = make("ul", "", "rows found");
    found.append(...rows.slice(0, MOST).map((row) => (row.kind === "part" ? part(index.parts.get(row.ref)) : place(index.places.get(row.ref)))));
    return found;
  }
  function answers(text) {
    if (!index) return [make("p", "No signal, and the list of things isn’t on this phone yet. It comes by itself the next time there is signal.", "soft")];
    const found = index.find(text), as = Object.entries(found.readAs).map(([typed, read]) => `“${typed}” for “${read.join("” or “")}”`).join(", ");
    const many = found.near ? "Nothing has all of that. These come near" : found.rows.length ? `${found.rows.length} found${as ? `, taking ${as}` : ""}` : `Nothing found for “${text}”`;
    const says = make("p", `${many}. On this phone, as of ${Gusset.when(index.at)}.`, "soft find-count");
    says.setAttribute("role", "status");
    return found.rows.length ? [says, list(found.rows)] : [says];
  }

  // ---- Find
  const form = document.querySelector("form.find");
  if (form) {
    const box = form.querySelector("input[type=search]"), target = document.getElementById("answers");
    const trouble = document.getElementById("trouble");
    let since = Date.now(), waiting = 0;
    const local = () => Gusset.kept || !navigator.onLine || Date.now() - since < REST;
    const answer = () => {
      if (trouble) trouble.hidden = true;
      if (box.value.trim()) target.replaceChildren(...answers(box.value.trim()));
    };
    document.addEventListener("htmx:beforeRequest", (event) => {
      if (event.target !== form || !local()) return;
      event.preventDefault();
      clearTimeout(waiting);
      waiting = setTimeout(answer, 20);
    });
    document.addEventListener("htmx:sendError", (event) => {
      if (event.target === form) { since = Date.now(); setTimeout(answer, 0); }
    });
    window.addEventListener("online", () => { since = 0; });
    form.addEventListener("submit", (event) => { if (local()) { event.preventDefault(); answer(); } });
    const asked = new URLSearchParams(location.search).get("q");
    if (asked && !box.value) box.value = asked;
    if (box.value.trim()) answer();
  }

  // ---- Scan
  const scanner = document.querySelector("[data-scanner]"), code = new URLSearchParams(location.search).get("code");
  if (scanner && code && Gusset.kept) {
    const bare = (/\/L\/([^/?#\s]+)\/?$/i.exec(code.trim()) || [])[1] || code, section = make("section");
    section.append(make("h2", "On this phone"), ...(index ? scanned(bare.trim()) : answers(bare)));
    document.querySelector("main .titleblock").after(section);
  }
  // A code the phone has not heard of is sound, or was misread: that it can tell without the shop.
  function scanned(text) {
    const { tidy, good, spaced } = Gusset.label, one = tidy(text), since = Gusset.when(index.at), known = (row) => (row.kind === "part" ? index.parts.get(row.ref)[10] : index.places.get(row.ref)[6]);
    const shaped = /^[0-9A-Z]{6,8}$/.test(one) && /\d/.test(one), says = (words) => { const line = make("p", words); line.setAttribute("role", "status"); return line; };
    const exact = index.documents.filter((row) => known(row).includes(one));
    if (exact.length) return [says(`Label ${spaced(one)}. On this phone, as of ${since}.`), list(exact)];
    if (good(one)) {
      const actions = make("div", "", "actions quiet"), stick = make("a", "Say what it is on", "btn"), again = make("a", "Look again", "btn");
      stick.href = `/scan/run/?label=${one}`;
      again.href = `/scan/?code=${one}`;
      actions.append(stick, again);
      return [says(`${spaced(one)} is a sound code that this phone doesn’t know: printed since ${since}, on nothing yet, or another shop’s.`), make("p", "A blank label of yours? Say what it is on now. Printed for a thing? Look again when there is signal.", "soft"), actions];
    }
    if (!shaped || index.find(text).rows.length) return answers(text);
    const near = index.documents.filter((row) => known(row).some((code) => GussetFind.distance(code, one) === 1));
    return [says(`“${text.slice(0, 40)}” is not a label’s code: check it again. Nothing else this phone knows is called that either.`), ...(near.length ? [make("h2", near.length === 1 ? "Is it this one?" : "Is it one of these?"), list(near)] : [])];
  }

  // ---- forms of the bench where the shop's own page is not kept: take out, move several, put in, correct, count. They ask
  // what the shop's forms ask, and go to the same addresses by way of the outbox.
  function node(name, attributes, ...inside) {
    const one = document.createElement(name);
    for (const [key, text] of Object.entries(attributes || {})) one.setAttribute(key, text);
    one.append(...inside);
    return one;
  }
  let last = 0;
  function field(text, input) {
    input.id = input.id || `here-${last += 1}`;
    return node("div", { class: "field" }, node("label", { for: input.id }, text), input.closest("[data-stepper]") || input);
  }
  function stepper(name, value, label, low) {
    const input = node("input", { type: "text", inputmode: "decimal", class: "quantity", name, value, autocomplete: "off", "data-low": low, "aria-label": label });
    const button = (by, sign, says) => node("button", { type: "button", "data-step": by, "aria-label": says }, sign);
    node("div", { class: "stepper", "data-stepper": "" }, button(-1, "−", "One less"), input, button(1, "+", "One more"));
    return input;
  }
  function pick(name, choices, ticked = true) {
    return choices.map(([value, label, sub, address], n) => {
      const radio = node("input", { type: "radio", name, value });
      radio.checked = radio.defaultChecked = ticked && n === 0; // also when the form is made ready for the next
      return node("label", { class: "pick-one" }, radio, node("span", { class: "body" }, node("b", {}, label), ...(sub ? [node("span", { class: "soft" }, sub)] : [])), ...(address ? [node("span", { class: "address" }, address)] : []));
    });
  }
  const note = () => field("Note", node("input", { type: "text", name: "note", maxlength: 500 }));
  const send = (text) => node("button", { class: "btn-primary" }, text);
  function kept(action, called, ...inside) {
    return node("form", { method: "post", action, "data-outbox": called, ...(/several|count/.test(action) && { "data-outbox-once": "" }) }, ...inside);
  }

  const lying = (place) => [...index.parts.values()].flatMap((part) => part[11].filter(([at]) => at === place[0]).map(([, many]) => [part, many]));
  function whereTo(place) {
    const benches = [...index.places.values()].filter((one) => (one[2] === "Bench" || one[2] === "Vehicle") && one[0] !== place[0] && !one[9]);
    benches.sort((a, b) => (a[2] < b[2] ? -1 : 1));
    const choices = pick("place", benches.slice(0, FEW).map((one) => [one[0], one[3], one[2], one[4]]));
    const other = node("input", { type: "text", name: "place_text", placeholder: "C1·L2·14, or a name", autocapitalize: "none", autocomplete: "off", "hx-get": "/pick/place/" });
    const where = field("Where to", other);
    where.append(node("div", { class: "pick" }, other, node("div", { class: "picks", role: "radiogroup", "aria-label": "Where to" }, ...choices)));
    return [where];
  }
  function takeOut(part, place, address) {
    return kept(address, `Take {quantity} × ${part[1]} out of ${named(place)} to {place}`,
      field("How many", stepper("quantity", 1, "How many", 0)), ...whereTo(place), note(), send("Take out"));
  }
  function several(place) {
    const rows = lying(place).map(([part, many]) => {
      const seen = { name: "things", value: `${part[0]}:${many}` }, tick = node("input", { ...seen, type: "checkbox" });
      const label = node("label", { class: "line check" }, tick, node("span", { class: "body" }, node("b", {}, part[1])), node("span", { class: "end" }, many));
      return node("li", {}, node("input", { ...seen, type: "hidden", name: "seen" }), label);
    });
    if (!rows.length) return node("p", { class: "empty" }, "The shop believed this place empty when the phone last asked.");
    return kept(`/move/several/?place=${place[0]}`, `Move things from ${named(place)} to {place}`, node("ul", { class: "rows" }, ...rows), ...whereTo(place),
      send("Move the ticked"), node("button", { formaction: `/move/empty/?place=${place[0]}`, "data-outbox": `Empty ${named(place)} into {place}` }, "Empty all of it into there"));
  }
  function putIn(place) {
    const to = named(place), path = `/move/put-in/?place=${place[0]}`;
    const box = node("input", { type: "text", name: "what", placeholder: "Name or part number", autocapitalize: "none", autocomplete: "off" });
    const found = node("div", { class: "picks", role: "radiogroup", "aria-label": "What was meant" }), sources = node("div", { class: "picks", role: "radiogroup", "aria-label": "Where it comes from" });
    const made = kept(path, "", field("What", box), found, sources, field("How many", stepper("quantity", 1, "How many", 0)), note(), send("Put in"));
    function chosen() {
      const radio = found.querySelector("input:checked"), part = radio && index.parts.get(Number(radio.value));
      made.action = part ? `${path}&part=${part[0]}` : path;
      made.dataset.outbox = `Put {quantity} × ${part ? part[1] : "{part}"} into ${to}`;
      const there = part ? part[11].filter(([at]) => at !== place[0] && index.places.has(at)) : [];
      sources.replaceChildren(...(there.length ? pick("source", [...there.map(([at, many]) => [at, `From ${named(index.places.get(at))}`, `${many} there`]), ["", "New to the shop"]]) : []));
    }
    box.addEventListener("input", () => {
      const text = box.value.trim(), { rows: all, near } = index.find(text), rows = all.filter((row) => row.kind === "part").slice(0, FEW);
      found.replaceChildren(...(text ? pick("part", [...rows.map((row) => { const part = index.parts.get(row.ref); return [part[0], part[1], part[5]]; }), [`new:${text}`, `New part: ${text}`]], !near) : []));
      chosen();
    });
    made.addEventListener("reset", () => { found.replaceChildren(); chosen(); });
    found.addEventListener("change", chosen);
    chosen();
    return made;
  }
  const since = (part) => (touched.has(part[0]) ? [node("p", { class: "soft" }, `▲ Not in that number yet, on this phone since: ${[...touched.get(part[0])].join("; ")}.`)] : []);
  function correct(part, place, address) {
    const there = (part[11].find(([at]) => at === place[0]) || [0, 0])[1];
    return kept(address, `{quantity} × ${part[1]} are at ${named(place)}`, field("How many are really there", stepper("quantity", there, "How many", 0)), ...since(part), send("That is how many there are"));
  }
  function count(place, address, also) {
    const rows = lying(place);
    for (const part of also) if (part && !rows.some(([one]) => one === part)) rows.push([part, 0]);
    if (!rows.length) return kept(address, `${named(place)} is empty`, node("p", {}, "The shop believed this place empty when the phone last asked."), send("It is empty"));
    return kept(address, `Counted ${named(place)}`, node("p", {}, "The numbers are what the shop believed when the phone last asked. Put right what is not so."),
      ...rows.flatMap(([part, many]) => [field(part[1], stepper(`part-${part[0]}`, many, part[1], 0)), ...since(part)]), send("Counted"));
  }

  // [what the page is about, the form], or null where the phone does not know enough.
  function bench(url) {
    const verb = (/^\/move\/([a-z-]+)\/$/.exec(url.pathname) || [])[1], address = url.pathname + url.search;
    const part = index.parts.get(Number(url.searchParams.get("part"))), place = index.places.get(Number(url.searchParams.get("place")));
    if (verb === "take-out" && part && place) return ["Take out", `${part[1]}, from ${named(place)}`, takeOut(part, place, address)];
    if (/^(take-out|several)$/.test(verb) && place) return ["Move several at once", `From ${named(place)}`, several(place)];
    if (verb === "put-in" && place && !part) return ["Put in", `Into ${named(place)}`, putIn(place)];
    if (verb === "correct" && part && place) return ["Correct the number", `${part[1]}, at ${named(place)}`, correct(part, place, address)];
    if (verb === "count" && place) return ["Count", named(place), count(place, address, (url.searchParams.get("also") || "").split(",").map((one) => index.parts.get(Number(one))))];
    return null;
  }

  // ---- a page that is not kept: what is known of the thing, and what can be done with it
  function does(row, at, number) {
    const verbs = number ? [["Take out", "take-out"], ["Correct", "correct"]] : [["Put in", "put-in"], ["Move several", "several"], ["Count", "count"]];
    const actions = make("div", "", "actions quiet");
    for (const [text, verb] of verbs) {
      const link = make("a", text, "btn");
      link.href = `/move/${verb}/?place=${at}${number ? `&part=${number}` : ""}`;
      actions.append(link);
    }
    row.append(actions);
    return row;
  }
  // The pages that are kept, the newest first.
  async function keptPages(section) {
    const seen = new Set(), list = section.querySelector("ul");
    for (const name of (await caches.keys()).filter((one) => one.startsWith("gusset-pages-"))) {
      const pages = await caches.open(name);
      for (const request of (await pages.keys()).reverse()) {
        const url = new URL(request.url);
        if (seen.has(url.href) || seen.size === 30) continue;
        seen.add(url.href);
        const { title } = new DOMParser().parseFromString(await (await pages.match(request, { ignoreVary: true })).text(), "text/html");
        const body = make("span", "", "body");
        body.append(make("b", title.replace(/ · Gusset$/, "") || url.pathname));
        list.append(line(url.pathname + url.search, body, ""));
      }
    }
    section.hidden = !seen.size;
  }
  const none = document.querySelector("[data-no-signal]"), pages = document.querySelector("[data-kept-pages]");
  if (pages && window.caches) keptPages(pages);
  if (none && index) {
    const number = (/^\/parts\/(\d+)\/$/.exec(location.pathname) || [])[1], at = (/^\/at\/([^/]+)\/$/.exec(location.pathname) || [])[1];
    const section = make("section"), title = none.querySelector(".value");
    if (number && index.parts.has(Number(number))) {
      const row = index.parts.get(Number(number)), places = make("ul", "", "rows found");
      places.append(...row[11].filter(([one]) => index.places.has(one)).map(([one]) => does(place(index.places.get(one)), one, row[0])));
      title.textContent = row[1];
      section.append(make("h2", "What this phone knows of it"), list([{ kind: "part", ref: row[0] }]), make("h2", "Where it is"), places);
    } else if (at) {
      const where = decodeURIComponent(at), row = [...index.places.values()].find((one) => one[4] === where || String(one[0]) === where);
      if (row) {
        const inside = make("ul", "", "rows found");
        inside.append(...[...index.parts.values()].filter((one) => one[11].some(([there]) => there === row[0])).map((one) => does(part(one, row[0]), row[0], one[0])));
        const verbs = does(make("li"), row[0]);
        title.textContent = row[3];
        section.append(make("h2", "What this phone knows of it"), list([{ kind: "place", ref: row[0] }]), ...verbs.children, make("h2", "In it"), inside);
      }
    }
    if (section.children.length) document.querySelector("main .titleblock").after(section);
    const made = bench(new URL(location.href));
    if (made) {
      none.querySelector(".key").textContent = made[0];
      title.textContent = made[1];
      none.parentElement.querySelectorAll(":scope > p, :scope > .actions, [data-kept-pages]").forEach((one) => one.remove());
      none.after(made[2]);
    }
  }
})();
