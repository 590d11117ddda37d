// Without signal: which pages are kept on this phone, the newest first.
(async function () {
  "use strict";
  const section = document.querySelector("[data-kept-pages]");
  if (!section || !("caches" in window)) return;
  const seen = new Set(), rows = [];
  for (const name of (await caches.keys()).filter((one) => one.startsWith("gusset-pages-"))) {
    const pages = await caches.open(name);
    for (const request of (await pages.keys()).reverse()) {
      const url = new URL(request.url);
      if (seen.has(url.href) || rows.length === 30) continue;
      seen.add(url.href);
      const text = await (await pages.match(request, { ignoreVary: true })).text();
      const title = (new DOMParser().parseFromString(text, "text/html").title || url.pathname).replace(/ · Gusset$/, "");
      rows.push([url.pathname + url.search, title]);
    }
  }
  for (const [href, title] of rows) {
    const line = document.createElement("li"), link = document.createElement("a"), word = document.createElement("b"), body = document.createElement("span");
    link.href = href;
    body.className = "body";
    word.textContent = title;
    body.append(word);
    link.append(body);
    line.append(link);
    section.querySelector("ul").append(line);
  }
  section.hidden = rows.length === 0;
})();
