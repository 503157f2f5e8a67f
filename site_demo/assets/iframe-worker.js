/* A browser starts no worker for a page opened from a folder. Where it refuses, the worker's script runs in a hidden frame
   instead and talks through the same messages, so that the search works without a server and without a network. */
(function () {
  "use strict";
  if (location.protocol !== "file:") return;

  function FrameWorker(url) {
    var worker = this, waiting = [], ready = false;
    var bus = document.createElement("i");
    var frame = document.createElement("iframe");
    frame.hidden = true;
    frame.title = "search";
    frame.setAttribute("aria-hidden", "true");
    (document.body || document.documentElement).appendChild(frame);
    var inner = frame.contentWindow;

    inner.postMessage = function (data) {
      setTimeout(function () {
        var event = new MessageEvent("message", { data: data });
        bus.dispatchEvent(event);
        if (typeof worker.onmessage === "function") worker.onmessage(event);
      });
    };
    inner.importScripts = function () {
      return Array.prototype.reduce.call(arguments, function (before, address) {
        return before.then(function () { return load(address); });
      }, Promise.resolve());
    };

    function load(address) {
      return new Promise(function (done, failed) {
        var script = frame.contentDocument.createElement("script");
        script.src = address;
        script.onload = done;
        script.onerror = function () { failed(new Error("cannot load " + address)); };
        frame.contentDocument.documentElement.appendChild(script);
      });
    }
    function deliver(data) {
      inner.dispatchEvent(new inner.MessageEvent("message", { data: data }));
    }

    worker.onmessage = null;
    worker.postMessage = function (data) { if (ready) deliver(data); else waiting.push(data); };
    worker.addEventListener = bus.addEventListener.bind(bus);
    worker.removeEventListener = bus.removeEventListener.bind(bus);
    worker.terminate = function () { frame.remove(); };
    load(new URL(url, location.href).href).then(function () {
      ready = true;
      waiting.splice(0).forEach(deliver);
    }, function (error) { bus.dispatchEvent(new ErrorEvent("error", { message: error.message })); });
  }
  window.Worker = FrameWorker;
})();
