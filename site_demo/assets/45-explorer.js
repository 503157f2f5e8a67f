/* The level explorer. Every state was worked out by the generator; this only looks it up and shows it. */
(function () {
  "use strict";
  Array.from(document.querySelectorAll(".explorer")).forEach(function (box) {
    var data = JSON.parse(box.querySelector("script").textContent);
    var slide = box.querySelector("input[type=range]"), pick = box.querySelector("select");
    var ways = Array.from(box.querySelectorAll("input[type=radio]"));
    var nobody = box.querySelector("input[type=checkbox]");
    var liquid = box.querySelector(".gauge-level"), gauge = box.querySelector(".gauge");
    var upper = Number(gauge.dataset.upper), lower = Number(gauge.dataset.lower);
    var figures = Array.from(box.querySelectorAll("[data-figure]"));
    var lines = Array.from(box.querySelectorAll("li[data-place]"));
    var says = box.querySelector(".explorer-says");
    var before = null;

    function falls() { return ways[1].checked; }
    function way() { return (falls() ? 1 : 0) + (nobody.checked ? 2 : 0); }
    function row(fault, place) { return data.rows[data.table[fault][way()][data.positions[place][0]]]; }

    function show() {
      var place = Number(slide.value), here = data.positions[place], fault = Number(pick.value);
      var now = row(fault, place), sound = row(0, place), changed = [];
      figures.forEach(function (figure) { figure.textContent = here[2 + Number(figure.dataset.figure)]; });
      slide.setAttribute("aria-valuetext", here[2]);
      var y = lower - (lower - upper) * (here[1] - data.bottom) / (data.top - data.bottom);
      liquid.setAttribute("y", y);
      liquid.setAttribute("height", Math.max(0, lower - y));
      lines.forEach(function (line) {
        var at = Number(line.dataset.place), told = data.shown[at][now[at]];
        line.querySelector("use").setAttribute("href", "#mk-" + told[0]);
        line.querySelector(".explorer-word").textContent = told[1];
        line.dataset.state = data.states[now[at]];
        line.className = told[2] ? "is-" + told[2] : "";
        var isNew = before !== null && before[at] !== now[at];
        if (isNew) { line.classList.add("just-changed"); changed.push(data.items[at] + " " + told[1]); }
        line.querySelector("small").textContent = now[at] === sound[at] ? "" :
          "without the fault: " + data.shown[at][sound[at]][1];
      });
      says.textContent = changed.length ? "Changed here: " + changed.join("; ") + "." : "Nothing changed.";
      before = now;
    }

    function next() {
      var step = falls() ? -1 : 1, fault = Number(pick.value), place = Number(slide.value);
      var text = row(fault, place).join();
      while (place + step >= 0 && place + step < data.positions.length) {
        place += step;
        if (row(fault, place).join() !== text) { slide.value = place; show(); return; }
      }
      says.textContent = falls() ? "Nothing changes any more down to the bottom." : "Nothing changes any more up to the top.";
    }

    slide.addEventListener("input", show);
    pick.addEventListener("change", show);
    ways.concat(nobody).forEach(function (one) { one.addEventListener("change", show); });
    box.querySelector("button").addEventListener("click", next);
    box.hidden = false;
    show();
    says.textContent = "";
  });
})();
