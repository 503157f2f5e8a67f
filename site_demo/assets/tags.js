/* The filter of a list (all tags, single failures): shows the rows that hold what is typed, hyphens or none. */
(function () {
  "use strict";
  var form = document.querySelector("form.filter");
  if (!form) return;
  var field = form.querySelector("input"), count = form.querySelector("output");
  var rows = Array.from(document.querySelectorAll("tr[data-find]"));
  var sections = Array.from(document.querySelectorAll("section.filtered"));
  function show() {
    var wanted = field.value.toLowerCase().split(/\s+/).filter(Boolean), shown = 0;
    rows.forEach(function (row) {
      var held = wanted.every(function (word) {
        return row.dataset.find.includes(word) || row.dataset.find.includes(word.replace(/[^a-z0-9]/g, "") || word);
      });
      row.hidden = !held;
      shown += held;
    });
    sections.forEach(function (section) { section.hidden = !section.querySelector("tr[data-find]:not([hidden])"); });
    count.textContent = wanted.length ? shown + " " + (form.dataset.word || "tag") + (shown === 1 ? "" : "s") : "";
  }
  form.hidden = false;
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  field.addEventListener("input", show);
  var asked = new URLSearchParams(location.search).get("find");
  if (asked) { field.value = asked; show(); }
})();
