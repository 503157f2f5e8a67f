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
             words: (names.concat(row[1]).join(" ") + " " + names.map(squeezed).join(" ")).toLowerCase() };
  });
  function squeezed(text) { return text.toLowerCase().replace(/[^a-z0-9]/g, ""); }

  /* 0: this very name, 1: a tag that begins so, 2: another name that begins so, 3: all words stand in it, 4: none of these. */
  function distance(row, whole, words) {
    if (row.names.includes(whole)) return 0;
    if (row.names[0].startsWith(whole)) return 1;
    if (row.names.some(function (name) { return name.startsWith(whole); })) return 2;
    return words.every(function (word) { return row.words.includes(word); }) ? 3 : 4;
  }
  function found(typed) {
    var whole = squeezed(typed), words = typed.toLowerCase().split(/\s+/).filter(Boolean);
    if (!whole) return [];
    return rows.map(function (row, place) { return { row: row, place: place, far: distance(row, whole, words) }; })
      .filter(function (one) { return one.far < 4; })
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
      rest.textContent = all.length ? all.length - MOST + " more: type on" : "No tag and no text of the screen holds this.";
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
    if (all.length && (all[0].far === 0 || all.length === 1)) location.href = all[0].row.path;
    else if (!all.length && field.value.trim()) ask();
  });
  if (field.value) show();
})();
