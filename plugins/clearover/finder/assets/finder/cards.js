/* One answer, one card: the tile's own cells at the left, the name, where it stands in words, why,
   and what that rests on. How sure it is, the edge says: solid, dashed, dotted. */
(function () {
  "use strict";
  const clearover = (window.clearover = window.clearover || {});
  const { h, count } = clearover;
  const EDGES = {
    tested: "tested",
    mixed: "tested",
    avoid: "tested",
    expected: "expected",
    doubtful: "expected",
    unknown: "unknown",
  };
  const MOST_TILES = 2;

  class Cards {
    constructor(finder) {
      this.finder = finder;
    }

    /* Links to the tiles: `2 tiles, 9 cells: tile 114, tile 87`. */
    rests(tiles, cells, more) {
      const { names, tests } = this.finder;
      if (!tiles.length) return null;
      const links = tiles
        .slice(0, MOST_TILES)
        .map((tile) =>
          h("a", { href: `tiles/${names.tiles[tile][0]}.html` }, tests.tileName(tile)),
        );
      if (tiles.length > MOST_TILES) {
        links.push(h("a", { href: more }, `${tiles.length - MOST_TILES} more`));
      }
      const said = [count(tiles.length, "tile")];
      if (cells) said.push(count(cells, "cell"));
      return h("p", { class: "rests" }, h("span", {}, said.join(", ")), links);
    }

    picture(item, state) {
      const { answers, crops, tests, names } = this.finder;
      const several = state.view === "over" && state.over.length > 1;
      if (several) {
        const cells = item.each.map((one) => answers.entry(one.n).cells[0] ?? null);
        const colours = item.each.map((one) => tests.colourName(one.underglaze));
        return crops.strip(cells, { cone: state.cone, names: colours, empty: "no tile yet" });
      }
      const entry = answers.entry(item.worst.n);
      const strip = crops.strip(entry.cells, { cone: state.cone, empty: "no tile yet" });
      if (!entry.cells.length) return strip;
      const tile = tests.cells.tile[entry.cells[0]];
      return h(
        "a",
        {
          class: "to-tile",
          href: `tiles/${names.tiles[tile][0]}.html`,
          "aria-label": `${tests.tileName(tile)}, its photo`,
        },
        strip,
      );
    }

    /* With several colours: which of them decides, and how the others fare. */
    others(item) {
      const { answers, tests } = this.finder;
      if (item.each.length < 2) return null;
      const rest = item.each.filter((one) => one !== item.worst);
      return h(
        "ul",
        { class: "others" },
        rest.map((one) =>
          h("li", {}, h("b", {}, tests.colourName(one.underglaze)), ` ${small(answers.entry(one.n).says)}`),
        ),
      );
    }

    answer(item, state) {
      const { answers, names, tests, data } = this.finder;
      const entry = answers.entry(item.worst.n);
      const reverse = state.view === "under";
      const [id, name] = reverse ? names.underglazes[item.underglaze] : names.clears[item.clear];
      const used = reverse ? data.underglazes.in_use[item.underglaze] : data.clears.in_use[item.clear];
      const href = reverse ? `underglazes/${id}.html` : `clears/${id}.html`;
      const whose = item.each.length > 1 ? `${tests.colourName(item.worst.underglaze)} ` : null;
      const says = whose ? small(entry.says) : entry.says;
      const cells = entry.good + entry.bad + entry.unclear;
      return h(
        "li",
        {
          class: `find-card sure-${EDGES[entry.standing]}${item.each.length > 1 ? " several" : ""}`,
          "data-standing": entry.standing,
          "data-id": id,
        },
        this.picture(item, state),
        h(
          "div",
          { class: "find-words" },
          h("h2", {}, h("a", { href }, name), used ? null : h("small", {}, " not in use here")),
          h("p", { class: "stands" }, whose, says),
          h("p", { class: "reason" }, entry.reason),
          this.others(item),
          this.rests(entry.tiles, cells, href),
        ),
      );
    }

    /* Of several tiles the one with most cells, its coats side by side. */
    shown(cells) {
      const { tests, crops } = this.finder;
      const tiles = new Map();
      for (const cell of cells.filter((one) => crops.has(one))) {
        const tile = tests.cells.tile[cell];
        if (!tiles.has(tile)) tiles.set(tile, new Map());
        const coats = tiles.get(tile);
        if (!coats.has(tests.cells.coats[cell])) coats.set(tests.cells.coats[cell], cell);
      }
      const [most] = [...tiles.values()].sort((a, b) => b.size - a.size);
      return most ? [...most].sort(([a], [b]) => a - b).map(([, cell]) => cell) : [];
    }

    /* A pairing among all tests: what was seen, without a question behind it. */
    pairing(cells) {
      const { tests, names, data, crops } = this.finder;
      const first = cells[0];
      const underglaze = tests.cells.underglaze[first];
      const clear = tests.cells.clear[first];
      const single = underglaze < names.underglazes.length;
      const colour = tests.colourName(underglaze);
      const cone = tests.coneOf(first);
      const tiles = [...new Set(cells.map((cell) => tests.cells.tile[cell]))];
      const aside = tiles.filter((tile) => data.tiles.aside[tile]).length;
      const where = [cone ? `cone ${cone[1]}` : "cone unknown", tests.airOf(first)];
      if (aside) where.push(aside === tiles.length ? "set aside" : `${count(aside, "tile")} set aside`);
      const more = single ? `underglazes/${names.underglazes[underglaze][0]}.html` : "tiles/index.html";
      return h(
        "li",
        { class: "find-card sure-tested" },
        crops.strip(this.shown(cells), {}),
        h(
          "div",
          { class: "find-words" },
          h(
            "h2",
            {},
            single ? h("a", { href: more }, colour) : colour,
            h("span", { class: "joint" }, clear < 0 ? " with " : " under "),
            clear < 0
              ? "no clear"
              : h("a", { href: `clears/${names.clears[clear][0]}.html` }, names.clears[clear][1]),
          ),
          h("p", { class: "stands" }, where.join(", ")),
          h("p", { class: "reason" }, tests.tally(cells).map(([, words]) => said(words)).join("; ")),
          this.rests(tiles, cells.length, more),
        ),
      );
    }
  }

  /* A standing after a name: `Hedge Bottom tested: stays true`. */
  const small = (text) => text[0].toLowerCase() + text.slice(1);

  /* `true`; where cells differ `true on 4, faded on 1`. */
  const said = (words) =>
    words.length === 1 ? words[0][0] : words.map(([word, n]) => `${word} on ${n}`).join(", ");

  clearover.Cards = Cards;
})();
