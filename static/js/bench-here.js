// Forms of the bench, made on the phone where the shop's own page is not kept: take out, move several, put in, correct,
// count. They ask what the shop's forms ask, and go to the same addresses by way of the outbox.
(function () {
  "use strict";
  const MOST = 6;

  function make(name, attributes, ...inside) {
    const one = document.createElement(name);
    for (const [key, text] of Object.entries(attributes || {})) one.setAttribute(key, text);
    one.append(...inside);
    return one;
  }
  let last = 0;
  function field(text, input) {
    input.id = input.id || `here-${last += 1}`;
    return make("div", { class: "field" }, make("label", { for: input.id }, text), input.closest("[data-stepper]") || input);
  }
  function stepper(name, value, label, low) {
    const input = make("input", { type: "text", inputmode: "decimal", class: "quantity", name, value, autocomplete: "off", "data-low": low, "aria-label": label });
    const button = (by, sign, says) => make("button", { type: "button", "data-step": by, "aria-label": says }, sign);
    make("div", { class: "stepper", "data-stepper": "" }, button(-1, "−", "One less"), input, button(1, "+", "One more"));
    return input;
  }
  function pick(name, choices) {
    return choices.map(([value, label, sub, address], n) => {
      const radio = make("input", { type: "radio", name, value });
      radio.checked = radio.defaultChecked = n === 0; // also when the form is made ready for the next
      return make("label", { class: "pick-one" }, radio, make("span", { class: "body" }, make("b", {}, label), ...(sub ? [make("span", { class: "soft" }, sub)] : [])), ...(address ? [make("span", { class: "address" }, address)] : []));
    });
  }
  const note = () => field("Note", make("input", { type: "text", name: "note", maxlength: 500 }));
  const send = (text) => make("button", { class: "btn-primary" }, text);
  function form(action, called, ...inside) {
    return make("form", { method: "post", action, "data-outbox": called }, ...inside);
  }

  const lying = (index, place) => [...index.parts.values()].flatMap((part) => part[11].filter(([at]) => at === place[0]).map(([, many]) => [part, many]));
  function whereTo(index, place) {
    const benches = [...index.places.values()].filter((one) => (one[2] === "Bench" || one[2] === "Vehicle") && one[0] !== place[0] && !one[9]);
    benches.sort((a, b) => (a[2] < b[2] ? -1 : 1));
    const choices = pick("place", benches.slice(0, MOST).map((one) => [one[0], one[3], one[2], one[4]]));
    const other = make("input", { type: "text", name: "place_text", placeholder: "C1·L2·14, or a name", autocapitalize: "none", autocomplete: "off" });
    other.addEventListener("input", () => choices.forEach((one) => { one.querySelector("input").checked = false; }));
    return [field("Where to", other), make("div", { class: "picks", role: "radiogroup", "aria-label": "Where to" }, ...choices)];
  }
  function takeOut(index, part, place, address) {
    return form(address, `Take {quantity} × ${part[1]} out of ${index.named(place)} to {place}`,
      field("How many", stepper("quantity", 1, "How many", 0)), ...whereTo(index, place), note(), send("Take out"));
  }
  function several(index, place) {
    const rows = lying(index, place).map(([part, many]) => {
      const seen = { name: "things", value: `${part[0]}:${many}` }, tick = make("input", { ...seen, type: "checkbox" });
      const label = make("label", { class: "line check" }, tick, make("span", { class: "body" }, make("b", {}, part[1])), make("span", { class: "end" }, many));
      return make("li", {}, make("input", { ...seen, type: "hidden", name: "seen" }), label);
    });
    if (!rows.length) return make("p", { class: "empty" }, "The shop believed this place empty when the phone last asked.");
    return form(`/move/several/?place=${place[0]}`, `Move things from ${index.named(place)} to {place}`, make("ul", { class: "rows" }, ...rows), ...whereTo(index, place),
      send("Move the ticked"), make("button", { formaction: `/move/empty/?place=${place[0]}` }, "Empty all of it into there"));
  }
  function putIn(index, place) {
    const to = index.named(place), path = `/move/put-in/?place=${place[0]}`;
    const box = make("input", { type: "text", name: "what", placeholder: "Name or part number", autocapitalize: "none", autocomplete: "off" });
    const found = make("div", { class: "picks", role: "radiogroup", "aria-label": "What was meant" }), sources = make("div", { class: "picks", role: "radiogroup", "aria-label": "Where it comes from" });
    const made = form(path, "", field("What", box), found, sources, field("How many", stepper("quantity", 1, "How many", 0)), note(), send("Put in"));
    function chosen() {
      const radio = found.querySelector("input:checked"), part = radio && index.parts.get(Number(radio.value));
      made.action = part ? `${path}&part=${part[0]}` : path;
      made.dataset.outbox = `Put {quantity} × ${part ? part[1] : "{part}"} into ${to}`;
      const there = part ? part[11].filter(([at]) => at !== place[0] && index.places.has(at)) : [];
      sources.replaceChildren(...(there.length ? pick("source", [...there.map(([at, many]) => [at, `From ${index.named(index.places.get(at))}`, `${many} there`]), ["", "New to the shop"]]) : []));
    }
    box.addEventListener("input", () => {
      const text = box.value.trim(), rows = text ? index.find(text).rows.filter((row) => row.kind === "part").slice(0, MOST) : [];
      found.replaceChildren(...(text ? pick("part", [...rows.map((row) => { const part = index.parts.get(row.ref); return [part[0], part[1], part[5]]; }), [`new:${text}`, `New part: ${text}`]]) : []));
      chosen();
    });
    found.addEventListener("change", chosen);
    chosen();
    return made;
  }
  function correct(index, part, place, address) {
    const there = (part[11].find(([at]) => at === place[0]) || [0, 0])[1];
    return form(address, `{quantity} × ${part[1]} are at ${index.named(place)}`, field("How many are really there", stepper("quantity", there, "How many", 0)), send("That is how many there are"));
  }
  function count(index, place, address, also) {
    const rows = lying(index, place);
    for (const part of also) if (part && !rows.some(([one]) => one === part)) rows.push([part, 0]);
    if (!rows.length) return form(address, `${index.named(place)} is empty`, make("p", {}, "The shop believed this place empty when the phone last asked."), send("It is empty"));
    return form(address, `Counted ${index.named(place)}`, make("p", {}, "The numbers are what the shop believed when the phone last asked. Put right what is not so."),
      ...rows.map(([part, many]) => field(part[1], stepper(`part-${part[0]}`, many, part[1], 0))), send("Counted"));
  }

  // [what the page is about, the form], or null where the phone does not know enough.
  window.GussetBench = function (index, url) {
    const verb = (/^\/move\/([a-z-]+)\/$/.exec(url.pathname) || [])[1], address = url.pathname + url.search;
    const part = index.parts.get(Number(url.searchParams.get("part"))), place = index.places.get(Number(url.searchParams.get("place")));
    if (verb === "take-out" && part && place) return ["Take out", `${part[1]}, from ${index.named(place)}`, takeOut(index, part, place, address)];
    if (/^(take-out|several)$/.test(verb) && place) return ["Move several at once", `From ${index.named(place)}`, several(index, place)];
    if (verb === "put-in" && place && !part) return ["Put in", `Into ${index.named(place)}`, putIn(index, place)];
    if (verb === "correct" && part && place) return ["Correct the number", `${part[1]}, at ${index.named(place)}`, correct(index, part, place, address)];
    if (verb === "count" && place) return ["Count", index.named(place), count(index, place, address, (url.searchParams.get("also") || "").split(",").map((one) => index.parts.get(Number(one))))];
    return null;
  };
})();
