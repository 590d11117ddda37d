// Answers from the phone's own index, where the shop can't be reached: on Find as one types, on Scan for a code, and
// on the page shown instead of one that is not kept. Loaded only then.
(async function () {
  "use strict";
  const HURT = { pattern: "pattern only", scrap: "scrap" };
  const ORIGIN = { bought: "Bought", made: "Made", pulled: "Pulled", found: "Found" };
  const UNIT = { pieces: "", metres: " m", litres: " l", kilograms: " kg" };
  const { make } = Gusset, MOST = 40, REST = 20000; // answers shown; ms until the shop is asked again
  const index = await Gusset.index.load().catch(() => null);
  // Parts that something was done with on this phone which the shop does not know yet: their numbers are older than that.
  let touched = new Set();
  async function known() {
    const ops = (await Gusset.outbox.mine().catch(() => [])).filter((op) => op.state === "waits" || op.state === "look");
    const named = (op) => op.fields.map(([name, text]) => (/^(part(-\d+)?|things)$/.test(name) ? /^\d+/.exec(name.slice(5) || text) : null));
    touched = new Set(ops.flatMap((op) => [/part=(\d+)/.exec(op.url), ...named(op)]).filter(Boolean).map((found) => Number(found.pop())));
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
  function placeName(number) {
    const place = index.places.get(number);
    return place ? place[4] || place[3] : "";
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
    section.append(make("h2", "On this phone"), ...answers(bare));
    document.querySelector("main .titleblock").after(section);
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
  async function bench(block) {
    await Gusset.index.script(document.querySelector("script[data-bench]").dataset.bench);
    index.named = (row) => row[4] || row[3];
    const made = window.GussetBench(index, new URL(location.href));
    if (!made) return;
    const [what, about, form] = made;
    block.querySelector(".key").textContent = what;
    block.querySelector(".value").textContent = about;
    block.parentElement.querySelectorAll(":scope > p, :scope > .actions, [data-kept-pages]").forEach((one) => one.remove());
    block.after(form);
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
    const section = make("section");
    if (number && index.parts.has(Number(number))) {
      const row = index.parts.get(Number(number)), places = make("ul", "", "rows found");
      places.append(...row[11].filter(([one]) => index.places.has(one)).map(([one]) => does(place(index.places.get(one)), one, row[0])));
      section.append(make("h2", "What this phone knows of it"), list([{ kind: "part", ref: row[0] }]), make("h2", "Where it is"), places);
    } else if (at) {
      const where = decodeURIComponent(at), row = [...index.places.values()].find((one) => one[4] === where || String(one[0]) === where);
      if (row) {
        const inside = make("ul", "", "rows found");
        inside.append(...[...index.parts.values()].filter((one) => one[11].some(([there]) => there === row[0])).map((one) => does(part(one, row[0]), row[0], one[0])));
        const verbs = does(make("li"), row[0]);
        section.append(make("h2", "What this phone knows of it"), list([{ kind: "place", ref: row[0] }]), ...verbs.children, make("h2", "In it"), inside);
      }
    }
    if (section.children.length) document.querySelector("main .titleblock").after(section);
    if (location.pathname.startsWith("/move/")) await bench(none);
  }
})();
