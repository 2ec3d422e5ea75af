/* Slide between two views of a tile: balanced left of the knob, as photographed right of it. Without
   this script a box to tick switches; the slider takes its place, in a row of the same height. */
(function () {
  "use strict";
  document.querySelectorAll(".compare").forEach(function (figure) {
    var slide = figure.querySelector(".by-slide"), range = slide.querySelector("input");
    function show() { document.documentElement.style.setProperty("--even", range.value + "%"); }
    figure.querySelector("#as-taken").hidden = true;
    figure.querySelector(".by-hand").hidden = true;
    slide.hidden = false;
    figure.classList.add("slides");
    range.addEventListener("input", show);
    show();
  });
})();
