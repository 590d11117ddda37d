// The page of what is kept on this phone: what needs a look and what there is to choose, what waits, what arrived lately.
(function () {
  "use strict";
  const box = Gusset.outbox, { make, button } = Gusset, says = document.querySelector("[data-waiting-says]"), blank = document.querySelector("template[data-row]");
  if (!box || !window.indexedDB) { says.textContent = "This browser keeps nothing: forms go to the shop at once"; return; }
  let urls = [];

  function link(text, href) {
    const one = make("a", text, "btn");
    one.href = href;
    return one;
  }
  function row(op) {
    const one = blank.content.firstElementChild.cloneNode(true), at = (name) => one.querySelector(`[data-${name}]`);
    at("what").textContent = op.what;
    at("when").textContent = `Done ${Gusset.when(op.made)}${op.at ? `, in the shop ${Gusset.when(op.at)}` : ""}`;
    return [one, at];
  }
  async function pictures(op, area) {
    for (const one of op.photos) {
      const kept = await box.photo(one.uid);
      if (!kept) continue;
      const image = make("img");
      image.src = URL.createObjectURL(new Blob([kept.bytes], { type: kept.type }));
      urls.push(image.src);
      image.alt = `Photo kept with “${op.what}”`;
      image.width = 96;
      image.height = 72;
      area.append(image);
    }
  }
  async function waits(op) {
    const [one, at] = row(op);
    await pictures(op, at("photos"));
    return one;
  }
  async function look(op) {
    const [one, at] = row(op), choices = at("choices"), short = op.short;
    at("why").hidden = false;
    at("why").className = "held";
    at("why").textContent = (op.refused || []).map(box.why).join(" ");
    at("fields").append(...op.shown.map(([name, text]) => make("li", box.why({ label: name, text }))));
    await pictures(op, at("photos"));
    if (short) {
      for (const [n, there] of short.elsewhere.filter((some) => some.url).entries()) {
        choices.append(button(`Take it from ${there.place} (${there.quantity} there)`, async () => {
          await box.add({ ...op, uid: Gusset.number(), made: 0, url: there.url, page: there.url, what: `${op.what}, from ${there.place} instead`, photos: [] }, op.uid);
          await box.flush(true);
        }, n ? "" : "btn-primary"));
      }
      choices.append(link(`Look at ${short.place}`, `/at/${short.place_id}/`));
    }
    if (op.page) choices.append(link("Correct it", `${op.page}#mend=${op.uid}`));
    choices.append(button("Try again", () => box.retry(op)), button("Let it go", () => gone(op)), button("Export", () => save([op])));
    return one;
  }
  // Let go with a way back, for as long as the page is open.
  async function gone(op) {
    const photos = (await Promise.all(op.photos.map((one) => box.photo(one.uid)))).filter(Boolean);
    await box.drop(op);
    const note = make("div", "", "flash");
    note.append(make("p", `Let go: ${op.what}.`), button("Undo", async () => {
      note.remove();
      await box.add({ ...op, photos });
      await box.flush(true);
    }));
    document.querySelector(".flash-area").append(note);
  }
  // All that is kept, with the photos, as one file to be read by people and programs.
  async function save(ops) {
    const out = [];
    for (const op of ops) {
      const photos = [];
      for (const one of op.photos) {
        const kept = await box.photo(one.uid);
        if (kept) photos.push({ field: one.field, name: kept.name, data: await asData(new Blob([kept.bytes], { type: kept.type })) });
      }
      out.push({ what: op.what, done: new Date(op.made).toISOString(), refused: (op.refused || []).map((why) => why.text), address: op.url, shown: op.shown, fields: op.fields, photos });
    }
    const link = make("a");
    link.href = URL.createObjectURL(new Blob([JSON.stringify(out, null, 2)], { type: "application/json" }));
    link.download = `gusset-kept-${new Date().toISOString().slice(0, 10)}.json`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }
  const asData = (blob) => new Promise((resolve) => { const reader = new FileReader(); reader.onload = () => resolve(reader.result); reader.readAsDataURL(blob); });

  let drawing = null, once = false;
  async function draw() {
    if (drawing) { once = true; return; }
    drawing = true;
    do {
      once = false;
      const everyone = await box.all(), ops = everyone.filter((op) => op.person === box.person), others = everyone.length - ops.length;
      const groups = { look: ops.filter((op) => op.state === "look"), waits: ops.filter((op) => op.state === "waits"), sent: (await box.all("sent")).filter((op) => op.person === box.person).reverse().slice(0, 20) };
      urls.splice(0).forEach((url) => URL.revokeObjectURL(url));
      for (const [name, some] of Object.entries(groups)) {
        const section = document.querySelector(`[data-${name}]`);
        section.hidden = !some.length;
        section.querySelector("ul").replaceChildren(...await Promise.all(some.map({ look, waits, sent: (op) => row(op)[0] }[name])));
      }
      const kept = [groups.look.length && `${groups.look.length} to look at`, groups.waits.length && `${groups.waits.length} waiting`].filter(Boolean);
      says.textContent = (kept.join(", ") || "Nothing waits: all of it is in the shop") + (others ? `. ${others} of somebody else, sent when they sign in` : "");
      document.querySelector("[data-export]").hidden = !ops.length;
    } while (once);
    drawing = null;
  }
  document.querySelector("[data-send]").addEventListener("click", () => box.flush(true));
  document.querySelector("[data-export]").addEventListener("click", async () => save(await box.mine()));
  box.onchange(draw);
  draw();
})();
