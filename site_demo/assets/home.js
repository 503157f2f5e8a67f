/* The search field of the home page hands what is typed to the site's own search, where there is one. */
(function () {
  "use strict";
  var field = document.getElementById("ask");
  var toggle = document.getElementById("__search");
  var query = document.querySelector("[data-md-component=search-query]");
  if (!field || !toggle || !query) return;
  function hand() {
    query.value = field.value;
    if (!toggle.checked) toggle.click();
    query.focus();
    query.dispatchEvent(new Event("focus"));
    query.dispatchEvent(new KeyboardEvent("keyup", { bubbles: true }));
    query.dispatchEvent(new Event("input", { bubbles: true }));
  }
  field.addEventListener("input", hand);
  field.form.addEventListener("submit", function (event) { event.preventDefault(); hand(); });
})();
