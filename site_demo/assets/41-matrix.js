// Moves about the matrix by keys and says the sentence of a cell in the bar below. Without it the matrix still reads:
// every cell holds its sentence.
(function () {
  "use strict";

  function begin(table) {
    var box = table.parentElement;
    var bar = box.querySelector(".matrix-say");
    var rows = Array.prototype.filter.call(table.tBodies, Boolean).flatMap(function (body) {
      return Array.prototype.filter.call(body.rows, function (row) { return row.classList.contains("cause"); });
    }).map(function (row) { return Array.prototype.filter.call(row.cells, function (cell) { return cell.tagName === "TD"; }); });
    var heads = Array.prototype.slice.call(table.tHead.rows[0].cells, 1);
    if (!rows.length || !heads.length) { return; }
    var marked = [];

    function place(cell) {
      for (var r = 0; r < rows.length; r++) {
        var c = rows[r].indexOf(cell);
        if (c >= 0) { return [r, c]; }
      }
      return null;
    }

    function show(cell) {
      marked.forEach(function (one) { one.classList.remove("here-row", "here-column"); });
      marked = [];
      var at = place(cell);
      if (!at) { return; }
      marked.push(cell.parentElement);
      cell.parentElement.classList.add("here-row");
      marked.push(heads[at[1]]);
      heads[at[1]].classList.add("here-column");
      rows.forEach(function (row) { row[at[1]].classList.add("here-column"); marked.push(row[at[1]]); });
      var sentence = cell.querySelector(".vh");
      bar.textContent = sentence ? sentence.textContent : "Nothing: this cause does not move this effect.";
    }

    function go(cell) {
      var now = table.querySelector(".cell[tabindex='0']");
      if (now) { now.tabIndex = -1; }
      cell.tabIndex = 0;
      cell.focus();
      cell.scrollIntoView({ block: "nearest", inline: "nearest" });
    }

    bar.hidden = false;
    var out = heads.filter(function (head) { return head.offsetLeft + head.offsetWidth > box.clientWidth + 1; }).length;
    bar.textContent = "Point at a cell, or press Tab and use the arrow keys: its sentence stands here." +
      (out ? " " + out + (out === 1 ? " column lies" : " columns lie") + " further to the right." : "");
    rows.forEach(function (row) { row.forEach(function (cell) { cell.tabIndex = -1; cell.removeAttribute("title"); }); });
    rows[0][0].tabIndex = 0;
    table.addEventListener("mouseover", function (event) {
      var cell = event.target.closest("td.cell");
      if (cell) { show(cell); }
    });
    table.addEventListener("focusin", function (event) {
      var cell = event.target.closest("td.cell");
      if (cell) { show(cell); }
    });
    table.addEventListener("click", function (event) {
      var cell = event.target.closest("td.cell");
      if (cell && place(cell)) { go(cell); }
    });
    table.addEventListener("keydown", function (event) {
      var at = place(event.target);
      if (!at || event.altKey || event.metaKey) { return; }
      var r = at[0], c = at[1], last = heads.length - 1;
      switch (event.key) {
        case "ArrowUp": r = Math.max(0, r - 1); break;
        case "ArrowDown": r = Math.min(rows.length - 1, r + 1); break;
        case "ArrowLeft": c = Math.max(0, c - 1); break;
        case "ArrowRight": c = Math.min(last, c + 1); break;
        case "Home": c = 0; if (event.ctrlKey) { r = 0; } break;
        case "End": c = last; if (event.ctrlKey) { r = rows.length - 1; } break;
        case "Enter":
          var link = event.target.parentElement.querySelector("th a");
          if (link) { link.click(); }
          return;
        default: return;
      }
      event.preventDefault();
      go(rows[r][c]);
    });
  }

  document.querySelectorAll("table[data-matrix]").forEach(begin);
})();
