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

    /* Whether all have the same number of coats of clear, so that it need be said but once. */
    alike(cells) {
      const { coats } = this.tests.cells;
      return cells.every((cell) => coats[cell] === coats[cells[0]]);
    }

    /* The cone a cell was fired to, where it is not the one asked about. */
    elsewhere(cell, cone) {
      const own = this.tests.coneOf(cell);
      return cone && own && own[0] !== cone ? `cone ${own[1]}` : null;
    }

    /* What stands under all cells of a strip. */
    common(cells, cone, named) {
      const { coats, tile } = this.tests.cells;
      const [first] = cells;
      const said = [];
      if (!named && !this.alike(cells)) said.push("coats");
      else if (!named && coats[first]) said.push(clearover.count(coats[first], "coat"));
      if (!named && this.elsewhere(first, cone)) said.push(`at ${this.elsewhere(first, cone)}`);
      if (cells.some((cell) => this.data.tiles.drawn[tile[cell]])) said.push("drawn");
      return said.join(", ");
    }

    /* What stands under one cell: the name given, else its coats where they differ. */
    under(cell, n, cells, cone, names) {
      if (names) {
        const from = cell === null ? null : this.elsewhere(cell, cone);
        return from ? `${names[n]}, ${from}` : names[n];
      }
      const coats = this.tests.cells.coats[cell];
      return this.alike(cells) || !coats ? null : String(coats);
    }

    /* Cells side by side, as on the tile. With `names` (of colours) a missing cell, null, keeps
       its place. */
    strip(cells, { cone, names, empty } = {}) {
      const there = (cell) => cell !== null && this.has(cell);
      const shown = names ? cells : cells.filter(there).slice(0, MOST);
      const pictured = shown.filter(there);
      if (!pictured.length) {
        return h("span", { class: "cut cut-empty" }, empty || "no picture");
      }
      const one = (cell, n) =>
        h(
          "span",
          { class: "cut-cell" },
          there(cell) ? this.cell(cell) : h("span", { class: "crop no-crop" }, "no tile yet"),
          h("span", { class: "cut-words" }, this.under(cell, n, shown, cone, names)),
        );
      const said = this.common(pictured, cone, names);
      return h(
        "span",
        { class: "cut-all" },
        h("span", { class: "cut" }, shown.map(one)),
        said && h("span", { class: "cut-words" }, said),
      );
    }
  }

  clearover.Crops = Crops;
})();
