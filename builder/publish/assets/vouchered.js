/* Two small mends of the theme; the pages read the same without them. */
(function () {
  "use strict";
  var search = document.querySelector(".md-search[role=dialog]");
  if (search) {
    search.setAttribute("aria-label", "Search");
    /* the index of a site opened from a file share cannot be fetched */
    if (location.protocol === "file:") {
      search.hidden = true;
      var button = document.querySelector("label[for=__search].md-header__button");
      if (button) { button.hidden = true; button.style.display = "none"; }
      search.style.display = "none";
    }
  }
})();
