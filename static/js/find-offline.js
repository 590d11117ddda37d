// Finding without signal: the same rules as inventory/finding/calc, held to the same table of cases.
// What changes in one changes in the other.
(function () {
  "use strict";
  const FIELDS = ["code", "name", "numbers", "others", "notes", "place", "donor"];
  const WHOLE = 0, START = 1, ALIKE = 2, INSIDE = 3, SLIP = 4, SHORTEST_INSIDE = 3, SHORTEST = 4, LONGEST = 12;
  const PLAIN = { "ø": "o", "æ": "ae", "œ": "oe", "ß": "ss", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i", "ħ": "h", "ς": "σ" };
  const SIGNS = { "×": "x", "✕": "x", "″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "‘": "'", "–": "-", "—": "-", "−": "-" };
  const UNITS = {
    mm: "mm millimetre millimetres millimeter millimeters", cm: "cm centimetre centimetres centimeter centimeters",
    m: "m metre metres meter meters mtr", in: "in inch inches", ft: "ft foot feet",
    kg: "kg kgs kilo kilos kilogram kilograms", g: "g gram grams gr", l: "l litre litres liter liters ltr",
    ml: "ml millilitre millilitres milliliter milliliters", a: "a amp amps ampere amperes", v: "v volt volts",
    w: "w watt watts", nm: "nm", bar: "bar", psi: "psi", swg: "swg", awg: "awg", gauge: "gauge ga", pin: "pin",
  };
  const UNIT = {};
  for (const [unit, spellings] of Object.entries(UNITS)) for (const one of spellings.split(" ")) UNIT[one] = unit;
  const spelled = Object.keys(UNIT).sort((a, b) => b.length - a.length).join("|");
  const AFTER_FIGURE = new RegExp(`(\\p{Nd})\\s*(${spelled})(?![\\p{L}\\p{N}_])`, "gu");
  const WORD = /\p{Nd}+(?:\.\p{Nd}+)+[\p{L}\p{N}]*|[\p{L}\p{N}]+(?:\.\p{Nd}+[\p{L}\p{N}]*)*/gu;
  const DIMENSION = /^[a-z]{0,2}\d[\d.]*[a-z]{0,2}(?:x\d[\d.]*[a-z]{0,2})+$/;
  const JOINED = /[\p{L}\p{N}][-/·\\_][\p{L}\p{N}]|\..*\./u;
  const LETTERS = /^\p{L}+$/u;
  const ASCII = /^[\x00-\x7f]*$/;
  const IRREGULAR = {
    lens: "lens", lenses: "lens", gas: "gas", gases: "gas", knives: "knife", halves: "half", shelves: "shelf", feet: "foot",
    teeth: "tooth", leaves: "leaf", axes: "axe", dies: "die", chassis: "chassis", series: "series", pliers: "plier",
    buses: "bus", bias: "bias", shoes: "shoe", hoes: "hoe", toes: "toe", torches: "torch", caches: "cache", axles: "axle",
  };

  function fold(text) {
    text = text.replace(/[×✕″”“′’‘–—−]/g, (c) => SIGNS[c]);
    const ascii = ASCII.test(text);
    if (!ascii) text = text.normalize("NFKD").replace(/\p{M}/gu, "");
    text = text.toLowerCase();
    if (!ascii) text = text.replace(/[øæœßłđðþıħς]/g, (c) => PLAIN[c]);
    text = text.replace(/(\p{Nd}),(?=\p{Nd})/gu, "$1.");
    text = text.replace(/(\p{Nd})\s*(?:"|'')/gu, "$1in ");
    text = text.replace(AFTER_FIGURE, (all, figure, unit) => figure + UNIT[unit]);
    return text.replace(/(\p{Nd})(mm|cm|m|in|ft)?\s*[x*]\s*(?=\p{Nd})/gu, (all, figure, unit) => `${figure}${unit || ""}x`);
  }
  const words = (text) => (fold(text).match(WORD) || []).map(singular);
  const bare = (text) => text.replace(/[^\p{L}\p{N}]/gu, "");
  const squeeze = (text) => bare(fold(bare(fold(text))));
  const pieces = (found) => found.filter((word) => DIMENSION.test(word)).flatMap((word) => word.split("x").filter(Boolean));
  function singular(word) {
    if (Object.prototype.hasOwnProperty.call(IRREGULAR, word)) return IRREGULAR[word];
    if (word.length < 4 || !word.endsWith("s") || !LETTERS.test(word)) return word;
    if (word.endsWith("ies") && word.length > 4) return word.slice(0, -3) + "y";
    if (/(?:ss|sh|ch|x|z)es$/.test(word)) return word.slice(0, -2);
    return /(?:ss|us|is)$/.test(word) ? word : word.slice(0, -1);
  }

  // ---- documents
  const GAP = " | ";
  function fieldText(texts) {
    const lines = [];
    for (const text of texts) {
      const found = words(text);
      if (found.length) lines.push(found.join(" "), ...pieces(found));
    }
    return lines.length ? ` ${lines.join(GAP)} ` : " ";
  }
  function codeText(texts) {
    const lines = [];
    for (const text of texts) {
      const found = words(text).join(" "), tight = squeeze(text);
      if (tight) lines.push(tight);
      if (found && found !== tight) lines.push(found);
    }
    return lines.length ? ` ${lines.join(GAP)} ` : " ";
  }
  function joined(fields) {
    const some = fields.map((text) => text.trim()).filter(Boolean);
    return some.length ? ` ${some.join(GAP)} ` : " ";
  }

  // ---- words alike
  function alike(lines) {
    const groups = new Map();
    for (const line of lines) {
      const phrases = [...new Set(line.split(",").map((piece) => words(piece).join(" ")).filter(Boolean))];
      for (const phrase of phrases) {
        if (!groups.has(phrase)) groups.set(phrase, new Set());
        for (const other of phrases) groups.get(phrase).add(other);
      }
    }
    const others = (phrase) => [...(groups.get(phrase) || [])].filter((other) => other !== phrase);
    return {
      groups, others,
      longest: Math.max(1, ...[...groups.keys()].map((phrase) => phrase.split(" ").length)),
      begun: (start) => [...new Set([...groups.keys()].filter((one) => one.startsWith(start) && one !== start).flatMap(others))],
    };
  }

  // ---- what was typed
  function parse(text, table) {
    const chunks = fold(text).split(/\s+/).filter(Boolean), plain = chunks.map(words), found = [];
    for (let i = 0; i < chunks.length && found.length < LONGEST;) {
      const [size, phrase] = phraseAt(plain, i, table);
      if (size) {
        found.push({ forms: [phrase], alike: table.others(phrase), slips: [] });
        i += size;
      } else {
        found.push(...chunk(chunks[i], plain[i], i === chunks.length - 1, table));
        i += 1;
      }
    }
    let whole = squeeze(text);
    if (found.length < 2 || !/\p{N}/u.test(whole) || whole.length < 3) whole = "";
    return { words: found, whole };
  }
  function phraseAt(plain, start, table) {
    for (let size = Math.min(table.longest, plain.length - start); size > 1; size -= 1) {
      const phrase = plain.slice(start, start + size).flat().join(" ");
      if (table.groups.has(phrase)) return [size, phrase];
    }
    return [0, ""];
  }
  function chunk(text, plain, last, table) {
    if (!plain.length) return [];
    if (plain.length > 1 || JOINED.test(text)) {
      const phrase = plain.join(" ");
      return [{ forms: [...new Set([squeeze(text), phrase])], alike: table.others(phrase), slips: [] }];
    }
    const typed = text.replace(/[^\p{L}\p{N}.]/gu, "").replace(/^\.+|\.+$/g, ""), word = singular(typed);
    let others = table.others(word);
    if (last && !others.length && typed.length >= 4 && LETTERS.test(typed)) others = table.begun(typed);
    return [{ forms: typed.startsWith(word) ? [word] : [word, typed], alike: others, slips: [] }];
  }

  // ---- rank: smaller first, null where a word is not met at all
  function rank(row, query) {
    let met = [];
    for (const word of query.words) {
      const best = meet(word, row);
      if (!best) { met = []; break; }
      met.push(best);
    }
    if (query.whole) {
      const tight = wholeIn(query.whole, row);
      if (tight && (!met.length || before(tight, met.reduce((a, b) => (before(a, b) ? b : a))))) met = [tight];
    }
    if (!met.length) return null;
    const first = query.words.length ? query.words[0].forms[0] : "";
    const starts = row.name.startsWith(` ${first}`) || row.code.startsWith(` ${first} `) || row.code.startsWith(` ${query.whole} `);
    return [
      Math.max(...met.map((one) => one[0])), Math.max(...met.map((one) => one[1])), starts ? 0 : 1,
      met.reduce((sum, one) => sum + one[0], 0), met.reduce((sum, one) => sum + one[1], 0),
      row.code.split(" ").length, row.name.split("|")[0].split(" ").length, row.kind, row.name, row.ref,
    ];
  }
  const before = (a, b) => a[0] < b[0] || (a[0] === b[0] && a[1] < b[1]);
  function meet(word, row) {
    for (let field = 0; field < FIELDS.length; field += 1) {
      const text = row[FIELDS[field]];
      if (text.length > 1) {
        const how = howMet(word, text, field > 0);
        if (how !== null) return [field, how];
      }
    }
    return null;
  }
  function howMet(word, text, inside) {
    if (word.forms.some((form) => text.includes(` ${form} `))) return WHOLE;
    if (word.forms.some((form) => text.includes(` ${form}`))) return START;
    if (word.alike.some((other) => text.includes(` ${other} `))) return ALIKE;
    if (inside && word.forms.some((form) => form.length >= SHORTEST_INSIDE && text.includes(form))) return INSIDE;
    return word.slips.some((slip) => text.includes(` ${slip} `)) ? SLIP : null;
  }
  function wholeIn(whole, row) {
    for (const field of [0, 2]) {
      if (row[FIELDS[field]].includes(` ${whole} `)) return [field, WHOLE];
      if (row[FIELDS[field]].includes(` ${whole}`)) return [field, START];
    }
    return null;
  }
  function order(a, b) {
    for (let i = 0; i < a.length; i += 1) if (a[i] !== b[i]) return a[i] < b[i] ? -1 : 1;
    return 0;
  }

  // ---- one slip: a letter too many, too few, wrong, or two neighbours swapped (F. J. Damerau, 1964)
  function distance(a, b) {
    let prior = [], above = Array.from({ length: b.length + 1 }, (_, j) => j);
    for (let i = 1; i <= a.length; i += 1) {
      const row = [i];
      for (let j = 1; j <= b.length; j += 1) {
        let cost = Math.min(above[j] + 1, row[j - 1] + 1, above[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
        if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) cost = Math.min(cost, prior[j - 2] + 1);
        row.push(cost);
      }
      prior = above;
      above = row;
    }
    return above[b.length];
  }

  // ---- all documents in one long text: a word is looked for once, not twenty thousand times
  class Store {
    constructor(rows, table) {
      this.rows = rows;
      this.table = table;
      this.starts = new Uint32Array(rows.length + 1);
      const texts = [];
      let at = 0;
      rows.forEach((row, i) => {
        this.starts[i] = at;
        const text = FIELDS.map((field) => row[field]).join("\n") + "\n";
        texts.push(text);
        at += text.length;
      });
      this.starts[rows.length] = at;
      this.text = texts.join("");
    }
    holding(needle, into) {
      let at = this.text.indexOf(needle), row = 0;
      while (at !== -1) {
        let low = row, high = this.rows.length;
        while (high - low > 1) { const middle = (low + high) >> 1; if (this.starts[middle] <= at) low = middle; else high = middle; }
        into.add(low);
        row = low + 1;
        at = this.text.indexOf(needle, this.starts[row]);
      }
      return into;
    }
    meeting(word) {
      const found = new Set();
      for (const form of word.forms) this.holding(form.length >= SHORTEST_INSIDE ? form : ` ${form}`, found);
      for (const other of [...word.alike, ...word.slips]) this.holding(` ${other} `, found);
      return found;
    }
    // A letter by itself could begin any word: what has it as a word, or whose code or name begins with it.
    letter(one) {
      const found = this.holding(` ${one} `, new Set());
      this.rows.forEach((row, i) => { if (row.code.startsWith(` ${one}`) || row.name.startsWith(` ${one}`)) found.add(i); });
      return found;
    }
    candidates(query) {
      if (query.words.length === 1 && query.words[0].forms.every((form) => form.length < 2)) return this.letter(query.words[0].forms[0]);
      let all = null;
      for (const word of query.words) {
        const found = this.meeting(word);
        all = all ? new Set([...all].filter((row) => found.has(row))) : found;
        if (!all.size) break;
      }
      all = all || new Set();
      return query.whole ? this.holding(` ${query.whole}`, new Set(all)) : all;
    }
    ranked(query) {
      const keyed = [];
      for (const i of this.candidates(query)) {
        const key = rank(this.rows[i], query);
        if (key) keyed.push([key, this.rows[i]]);
      }
      return keyed.sort((a, b) => order(a[0], b[0])).map((pair) => pair[1]);
    }
    // The words of letters alone: only such a one is a slip away from another.
    known() {
      if (!this.vocabulary) this.vocabulary = new Set((this.text.match(/ \p{L}{3,60}(?= )/gu) || []).map((word) => word.slice(1)));
      return this.vocabulary;
    }
    slips(query) {
      const readAs = {}, last = query.words.length - 1;
      const others = query.words.map((word, i) => {
        const typed = word.forms[0];
        if (typed.length < SHORTEST || !LETTERS.test(typed) || this.meeting(word).size) return word;
        let near = [], begin = [];
        for (const one of this.known()) {
          if (Math.abs(one.length - typed.length) < 2 && distance(one, typed) === 1) near.push(one);
          else if (i === last && one.length > typed.length) {
            for (const size of [typed.length - 1, typed.length, typed.length + 1]) {
              if (size >= SHORTEST && one.length > size && distance(one.slice(0, size), typed) === 1) { begin.push(one); break; }
            }
          }
        }
        near = near.length ? near : begin;
        if (near.length) readAs[typed] = near.slice(0, 8);
        return near.length ? { ...word, slips: near } : word;
      });
      return [{ words: others, whole: query.whole }, readAs];
    }
    // {rows, near, readAs}, as inventory/finding/queries.py answers.
    find(text) {
      const query = parse(text, this.table);
      if (!query.words.length) return { rows: [], near: false, readAs: {} };
      let rows = this.ranked(query), readAs = {}, read = query;
      if (!rows.length) {
        [read, readAs] = this.slips(query);
        if (Object.keys(readAs).length) rows = this.ranked(read);
      }
      if (rows.length || query.words.length < 2 || query.words.length > 4) return { rows, near: false, readAs };
      const near = new Set();
      read.words.forEach((_, i) => this.ranked({ words: read.words.filter((__, j) => j !== i), whole: "" }).slice(0, 8).forEach((row) => near.add(row)));
      rows = [...near].slice(0, 8);
      return { rows, near: rows.length > 0, readAs: {} };
    }
  }

  // ---- the rows of buildlog/offline/index.py as documents, worded as inventory/finding/things.py words them
  function index(packs, names, lines) {
    const parts = new Map(), places = new Map(), ways = new Map(), documents = [];
    names.forEach((name, i) => packs[i].forEach((row) => (name[0] === "p" ? parts : places).set(row[0], row)));
    const above = (place) => {
      const found = [];
      for (let one = places.get(place[1]); one && found.length < 20; one = places.get(one[1])) found.unshift(one);
      return found;
    };
    const way = (place) => {
      if (!ways.has(place[0])) {
        ways.set(place[0], joined([fieldText([...above(place), place].map((one) => one[3])), codeText([place[4]])]));
      }
      return ways.get(place[0]);
    };
    for (const row of parts.values()) {
      const donor = places.get(row[9]), held = row[11].map(([place]) => places.get(place)).filter(Boolean);
      documents.push({
        kind: "part", ref: row[0], code: codeText(row[10]), name: fieldText([row[1]]), numbers: codeText(row[2]), others: fieldText(row[3]),
        notes: fieldText([row[4]]), place: joined(held.map(way)), donor: donor ? joined([fieldText([donor[3]]), codeText([donor[4]])]) : " ",
      });
    }
    for (const row of places.values()) {
      documents.push({
        kind: "place", ref: row[0], code: codeText([row[4], ...row[6]]), name: fieldText([row[3]]), numbers: " ",
        others: joined([fieldText([row[2]]), codeText(row[7])]), notes: fieldText([row[8]]),
        place: fieldText(above(row).map((one) => one[3])), donor: " ",
      });
    }
    const shown = (place) => {
      const named = above(place).filter((one) => one[5]).map((one) => one[3]);
      return (named.length > 1 ? named.slice(1) : named).join(" ▸ ");
    };
    const store = new Store(documents, alike(lines));
    return { parts, places, documents, shown, find: (text) => store.find(text) };
  }

  window.GussetFind = { FIELDS, fold, words, squeeze, singular, fieldText, codeText, joined, alike, parse, rank, order, distance, Store, index };
})();
