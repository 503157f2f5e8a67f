/* The field of the home page: tags and texts of the screen at once, below it; the text of all pages by the site's own search. */
(function () {
  "use strict";
  var field = document.getElementById("ask"), list = document.getElementById("answers");
  var known = document.getElementById("known");
  if (!field || !list || !known) return;
  var MOST = 8, everywhere = field.form.querySelector(".everywhere");
  var rows = JSON.parse(known.textContent).map(function (row) {
    var names = [row[0]].concat(row[3]);
    return { tag: row[0], what: row[1], path: row[2], names: names.map(squeezed),
             said: new Set(names.concat(row[1]).map(words).flat()),
             around: new Set(words(row[4])),
             text: (names.concat(row[1], names.map(squeezed)).join(" ")).toLowerCase() };
  });
  function squeezed(text) { return text.toLowerCase().replace(/[^a-z0-9]/g, ""); }
  /* Words as compared: a screen says LO-LO or LOW LOW or LL of the same thing, and TK of a tank. */
  function words(text) {
    return text.toLowerCase().replace(/\b(?:lo|low)[\s-]*(?:lo|low)\b|\bll\b/g, "lolo")
      .replace(/\b(?:hi|high)[\s-]*(?:hi|high)\b|\bhh\b/g, "hihi").replace(/\blow\b/g, "lo").replace(/\bhigh\b/g, "hi")
      .replace(/\btank\b/g, "tk")
      .split(/[\s,;:!?"()]+/).filter(Boolean);
  }
  /* Tags that may stand in a phrase: every one, two or three words in a row, as one piece, with a digit and a letter in it. */
  function pieces(typed) {
    var parts = typed.toLowerCase().split(/[^a-z0-9]+/).filter(Boolean), all = new Set();
    parts.forEach(function (_, from) {
      for (var to = from + 1; to <= from + 3; to++) all.add(parts.slice(from, to).join(""));
    });
    return Array.from(all).filter(function (piece) { return /\d/.test(piece) && /[a-z]/.test(piece); });
  }

  /* 0: this very tag, 1: another name of it, 2: a tag that begins so, 3: another name that begins so, 4: all words are its
     words, 5: all words stand in it or are its tank's, 6: its tag stands among the words, 7: none of these. */
  function distance(row, typed) {
    var name = row.names.indexOf(typed.whole);
    if (name >= 0) return Math.min(name, 1);
    if (row.names[0].startsWith(typed.whole)) return 2;
    if (row.names.some(function (name) { return name.startsWith(typed.whole); })) return 3;
    if (typed.words.every(function (word) { return row.said.has(word); })) return 4;
    if (typed.words.every(function (word) { return row.said.has(word) || row.around.has(word) || row.text.includes(word); })) return 5;
    return typed.pieces.some(function (piece) { return row.names.includes(piece); }) ? 6 : 7;
  }
  function found(text) {
    var typed = { whole: squeezed(text), words: words(text), pieces: pieces(text) };
    if (!typed.whole) return [];
    return rows.map(function (row, place) { return { row: row, place: place, far: distance(row, typed) }; })
      .filter(function (one) { return one.far < 7; })
      .sort(function (a, b) { return a.far - b.far || a.place - b.place; });
  }
  function show() {
    var all = found(field.value);
    list.hidden = everywhere.hidden = !field.value.trim();
    list.replaceChildren.apply(list, all.slice(0, MOST).map(function (one) {
      var item = document.createElement("li"), link = item.appendChild(document.createElement("a"));
      link.href = one.row.path;
      link.appendChild(document.createElement("b")).textContent = one.row.tag;
      link.appendChild(document.createElement("span")).textContent = one.row.what;
      return item;
    }));
    if (all.length > MOST || !all.length) {
      var rest = list.appendChild(document.createElement("li"));
      rest.className = "none";
      rest.textContent = all.length ? all.length - MOST + " more: type on" : "No tag and no text of the screen holds this. Enter searches the text of all pages.";
    }
    return all;
  }
  /* Hand what was typed to the search of the site, where there is one. */
  function ask() {
    var toggle = document.getElementById("__search"), query = document.querySelector("[data-md-component=search-query]");
    if (!toggle || !query) { location.href = field.form.action + "?find=" + encodeURIComponent(field.value); return; }
    query.value = field.value;
    if (!toggle.checked) toggle.click();
    query.focus();
    query.dispatchEvent(new Event("focus"));
    query.dispatchEvent(new KeyboardEvent("keyup", { bubbles: true }));
    query.dispatchEvent(new Event("input", { bubbles: true }));
  }
  field.addEventListener("input", show);
  everywhere.addEventListener("click", ask);
  field.form.addEventListener("submit", function (event) {
    event.preventDefault();
    var all = show();
    if (!all.length) { if (field.value.trim()) ask(); return; }
    /* One answer by its name, or one in all, is opened; of several the first is only pointed at. */
    if (all.length === 1 || all[0].far < 2 && all[1].far > all[0].far) location.href = all[0].row.path;
    else list.querySelector("a").focus();
  });
  if (field.value) show();
})();
