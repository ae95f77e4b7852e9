/* Three conveniences: search, a switch between light and dark, and all details open in print.
   Every page reads the same without them. Nothing is asked of any other host. */
(function () {
  "use strict";
  var root = document.documentElement;
  var base = new URL("../", document.currentScript.src);
  var night = window.matchMedia("(prefers-color-scheme: dark)");

  /* ---- light and dark; before the page is painted ---- */
  function kept(value) {
    try {
      if (value !== undefined) { localStorage.setItem("scheme", value); }
      return localStorage.getItem("scheme");
    } catch (refused) {
      return null;
    }
  }
  function isDark() {
    return root.dataset.scheme ? root.dataset.scheme === "dark" : night.matches;
  }
  if (kept() === "dark" || kept() === "light") { root.dataset.scheme = kept(); }

  function offerSchemes() {
    var button = document.getElementById("scheme");
    function name() { button.textContent = isDark() ? "Light" : "Dark"; button.title = "Show these pages " + (isDark() ? "light" : "dark"); }
    button.addEventListener("click", function () {
      root.dataset.scheme = isDark() ? "light" : "dark";
      kept(root.dataset.scheme);
      name();
    });
    night.addEventListener("change", name);
    name();
    button.hidden = false;
  }

  /* ---- search: titles, summaries and claims ---- */
  function fold(text) {
    return text.normalize("NFD").replace(/[\u0300-\u036f]/g, "").replace(/[\u2018\u2019]/g, "'").replace(/\s/g, " ").toLowerCase();
  }
  function plain(html) {
    return new DOMParser().parseFromString(html, "text/html").body.textContent.replace(/\s+/g, " ").trim();
  }
  function readIndex() {
    if (location.protocol !== "file:") {
      return fetch(new URL("search/search_index.json", base)).then(function (answer) { return answer.json(); });
    }
    return new Promise(function (resolve, reject) { /* a page opened as a file may not fetch, but may run its scripts */
      var script = document.createElement("script");
      script.src = new URL("search/search_index.js", base);
      script.onload = function () { resolve(window.voucheredIndex); };
      script.onerror = reject;
      document.head.append(script);
    });
  }
  function prepare(index) {
    var titles = {};
    index.docs.forEach(function (entry) {
      if (entry.location.indexOf("#") < 0) { titles[entry.location] = plain(entry.title); }
    });
    return index.docs.map(function (entry) {
      return {
        entry: entry,
        page: titles[entry.location.split("#")[0]] || "",
        title: " " + fold(entry.title.replace(/<[^>]*>/g, " ")),
        text: " " + fold(entry.text.replace(/<[^>]*>/g, " "))
      };
    });
  }
  function weight(doc, words) {
    var sum = 0;
    for (var i = 0; i < words.length; i += 1) {
      var start = " " + words[i];
      var here = doc.title.includes(start) ? 8 : doc.text.includes(start) ? 3 : doc.title.includes(words[i]) ? 2 : doc.text.includes(words[i]) ? 1 : 0;
      if (!here) { return 0; }
      sum += here;
    }
    return sum + (doc.entry.location.includes("#") ? 0 : 1);
  }
  function offerSearch() {
    var form = document.getElementById("search");
    var field = document.getElementById("sought");
    var found = document.getElementById("found");
    var status = found.querySelector("[role=status]");
    var list = found.querySelector("ol");
    var docs = null;

    function show() {
      var words = fold(field.value).split(/[^\p{L}\p{N}'.-]+/u).filter(Boolean);
      found.hidden = !words.length;
      if (!words.length) { return; }
      if (!docs) {
        docs = readIndex().then(prepare);
        docs.catch(function () { status.textContent = "The list of pages could not be read."; });
      }
      docs.then(function (all) {
        var hits = all.map(function (doc) { return { doc: doc, weight: weight(doc, words) }; })
          .filter(function (hit) { return hit.weight; })
          .sort(function (a, b) { return b.weight - a.weight; });
        var shown = hits.slice(0, 12);
        status.textContent = hits.length ? hits.length + (hits.length === 1 ? " place" : " places") + " found" + (hits.length > 12 ? ", the nearest 12 are:" : ":") : "Nothing found in titles, summaries and claims.";
        list.replaceChildren.apply(list, shown.map(function (hit) {
          var item = document.createElement("li");
          var link = document.createElement("a");
          var under = document.createElement("small");
          var text = plain(hit.doc.entry.text);
          link.href = new URL(hit.doc.entry.location, base);
          link.textContent = plain(hit.doc.entry.title);
          under.textContent = hit.doc.page && hit.doc.page !== link.textContent ? hit.doc.page : text.slice(0, 120) + (text.length > 120 ? "…" : "");
          item.append(link, " ", under);
          return item;
        }));
      });
    }
    function close() { found.hidden = true; }
    field.addEventListener("input", show);
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      var first = list.querySelector("a");
      if (first && !found.hidden) { first.focus(); }
    });
    document.addEventListener("keydown", function (event) {
      if (event.key === "Escape" && !found.hidden) { close(); field.focus(); }
    });
    found.addEventListener("click", function (event) { if (event.target.closest("a")) { close(); } });
    form.hidden = false;
  }

  /* ---- a table wider than the page scrolls; it must be reachable by keyboard too ---- */
  function openTables() {
    document.querySelectorAll("table").forEach(function (table) {
      if (table.scrollWidth > table.clientWidth) { table.tabIndex = 0; } else { table.removeAttribute("tabindex"); }
    });
  }

  document.addEventListener("DOMContentLoaded", function () {
    offerSchemes();
    offerSearch();
    openTables();
  });
  document.addEventListener("toggle", openTables, true);
  window.addEventListener("resize", openTables);

  /* ---- print: what is folded away belongs on the paper too ---- */
  var folded = [];
  window.addEventListener("beforeprint", function () {
    folded = Array.from(document.querySelectorAll("details:not([open])"));
    folded.forEach(function (details) { details.open = true; });
  });
  window.addEventListener("afterprint", function () {
    folded.forEach(function (details) { details.open = false; });
  });
})();
