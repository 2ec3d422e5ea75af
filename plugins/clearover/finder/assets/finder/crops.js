/* Shows cells of tiles. A crop is a window on the tile's one picture (SVG, because the page's
   policy allows no style attribute); a strip lays several cells side by side, as on the tile. */
(function () {
  "use strict";
  const clearover = (window.clearover = window.clearover || {});
  const { h, svg } = clearover;
  const FOLDER = "assets/photos/";
  const MOST = 3;

  /* Pictures are fetched when their card comes near, not sixty at once. */
  const waiting =
    "IntersectionObserver" in window
      ? new IntersectionObserver(
          (entries) => {
            for (const entry of entries) {
              if (!entry.isIntersecting) continue;
              waiting.unobserve(entry.target);
              show(entry.target);
            }
          },
          { rootMargin: "600px" },
        )
      : null;
  const show = (crop) => crop.firstChild.setAttribute("href", crop.dataset.from);

  /* `box`: [picture, x, y, w, h]; `pictures`: rows of [name, width, height]. */
  function crop(box, pictures, label) {
    const [n, x, y, w, high] = box;
    const [name, width, height] = pictures[n];
    const drawn = svg(
      "svg",
      {
        class: "crop",
        viewBox: `${x} ${y} ${w} ${high}`,
        /* slice, never meet: what lies beside the cell must not show */
        preserveAspectRatio: "xMidYMid slice",
        "data-from": FOLDER + name,
        ...(label ? { role: "img", "aria-label": label } : { "aria-hidden": "true" }),
      },
      svg("image", { width, height }),
    );
    if (waiting) waiting.observe(drawn);
    else show(drawn);
    return drawn;
  }

  class Crops {
    constructor(data, tests) {
      this.data = data;
      this.tests = tests;
    }

    /* The colour itself, small, as it looks fired. */
    swatch(underglaze) {
      const box = this.data.underglazes.swatch[underglaze];
      return box
        ? crop(box, this.data.pictures)
        : h("span", { class: "crop no-crop", "aria-hidden": "true" });
    }

    has(cell) {
      return this.data.tiles.picture[this.tests.cells.tile[cell]] >= 0;
    }

    cell(cell) {
      const { data, tests } = this;
      const picture = data.tiles.picture[tests.cells.tile[cell]];
      const [, , , wide, high] = data.pictures[picture];
      const x = (tests.cells.column[cell] - 1) * wide;
      const y = (tests.cells.row[cell] - 1) * high;
      return crop([picture, x, y, wide, high], data.pictures, tests.inWords(cell));
    }

    /* Cells side by side. Under each stands its coats of clear, or the words given (a colour's
       name); under all of them what they have in common: another cone, the same coats. */
    strip(cells, { cone, captions, empty } = {}) {
      const shown = captions ? cells : cells.filter((cell) => this.has(cell)).slice(0, MOST);
      if (!shown.some((cell) => cell !== null && this.has(cell))) {
        return h("span", { class: "cut cut-empty" }, empty || "no picture");
      }
      const { coats } = this.tests.cells;
      const same = !captions && shown.every((cell) => coats[cell] === coats[shown[0]]);
      const words = (cell, n) => {
        if (captions) return captions[n];
        return same || !coats[cell] ? null : String(coats[cell]);
      };
      const common = [];
      const own = captions ? null : this.tests.coneOf(shown[0]);
      if (!captions && !same) common.push("coats");
      else if (same && coats[shown[0]]) common.push(clearover.count(coats[shown[0]], "coat"));
      if (cone && own && own[0] !== cone) common.push(`at cone ${own[1]}`);
      return h(
        "span",
        { class: "cut-all" },
        h(
          "span",
          { class: "cut" },
          shown.map((cell, n) =>
            h(
              "span",
              { class: "cut-cell" },
              cell !== null && this.has(cell)
                ? this.cell(cell)
                : h("span", { class: "crop no-crop" }, "no tile yet"),
              h("span", { class: "cut-words" }, words(cell, n)),
            ),
          ),
        ),
        common.length ? h("span", { class: "cut-words" }, common.join(", ")) : null,
      );
    }
  }

  clearover.Crops = Crops;
})();
