/* Every fired cell, as columns of numbers, and the pairings that pass a set of facets.
   A pairing is a colour under a clear at a cone in an atmosphere; its cells lie together. */
(function () {
  "use strict";
  const clearover = (window.clearover = window.clearover || {});
  const FACETS = ["colour", "clear", "zinc", "finish", "cone", "air", "body", "verdict"];
  const VERDICT = FACETS.indexOf("verdict");
  const PROPERTIES = ["colour", "line", "cover", "surface"];

  class Tests {
    constructor(data, names) {
      this.data = data;
      this.names = names;
      this.cells = data.cells;
      this.words = data.seen.map((said) => this.keysOf(said));
      this.order = null; /* grouped when first asked: most visits never browse */
    }

    /* ["colour", "shifted brown", "surface", "hazy and bubbled"] -> one key a word. */
    keysOf(said) {
      const keys = [];
      for (let at = 0; at < said.length; at += 2) {
        for (const word of said[at + 1].split(" and ")) keys.push(`${said[at]}:${word}`);
      }
      return [...new Set(keys)];
    }

    coneOf(cell) {
      return this.data.cones[this.data.tiles.cone[this.cells.tile[cell]]] || null;
    }

    airOf(cell) {
      return this.data.atmospheres[this.data.tiles.atmosphere[this.cells.tile[cell]]];
    }

    colourName(underglaze) {
      const { underglazes } = this.names;
      return underglaze < underglazes.length
        ? underglazes[underglaze][1]
        : this.data.layered[underglaze - underglazes.length];
    }

    clearName(clear) {
      return clear < 0 ? "no clear" : this.names.clears[clear][1];
    }

    tileName(tile) {
      const [id, mark] = this.names.tiles[tile];
      return `tile ${mark || id.replaceAll("-", " ")}`;
    }

    /* A cell in words, for those who do not see its picture. */
    inWords(cell) {
      const { cells, data } = this;
      const cone = this.coneOf(cell);
      const parts = [
        `${this.colourName(cells.underglaze[cell])} under ${this.clearName(cells.clear[cell])}`,
      ];
      if (cells.coats[cell]) parts.push(clearover.count(cells.coats[cell], "coat"));
      if (cone) parts.push(`cone ${cone[1]}`);
      const said = data.seen[cells.seen[cell]];
      for (let at = 1; at < said.length; at += 2) parts.push(said[at]);
      return parts.join(", ");
    }

    /* Sorts the cells by pairing once, so that a pass over them meets each pairing's together. */
    group() {
      const { cells } = this;
      const total = cells.tile.length;
      const order = Array.from({ length: total }, (_, n) => n);
      const names = new Map();
      const place = (underglaze) => {
        if (!names.has(underglaze)) names.set(underglaze, this.colourName(underglaze));
        return names.get(underglaze);
      };
      const sorted = [...new Set(cells.underglaze)].sort((a, b) => place(a).localeCompare(place(b)));
      const rank = new Map(sorted.map((underglaze, n) => [underglaze, n]));
      const { cone, atmosphere } = this.data.tiles;
      const cones = this.data.cones.length + 1;
      const airs = this.data.atmospheres.length;
      const clears = this.names.clears.length + 1;
      const key = order.map((cell) => {
        const tile = cells.tile[cell];
        let code = rank.get(cells.underglaze[cell]);
        code = code * cones + cone[tile] + 1;
        code = code * clears + cells.clear[cell] + 1;
        return code * airs + atmosphere[tile];
      });
      order.sort((a, b) => key[a] - key[b] || a - b);
      this.order = order;
      this.pairing = new Int32Array(total);
      let last = -1;
      let pairing = -1;
      order.forEach((cell, n) => {
        if (key[cell] !== last) pairing += 1;
        last = key[cell];
        this.pairing[n] = pairing;
      });
      this.values = FACETS.map((facet) => order.map((cell) => this.value(facet, cell)));
    }

    /* The colour word of what is no underglaze: a bare body under a clear, layers, mixtures. */
    unnamed(underglaze) {
      return this.colourName(underglaze) === "no colour" ? "no colour" : "layered or mixed";
    }

    /* What one cell is, facet by facet: a value, or several for the verdicts. */
    value(facet, cell) {
      const { cells, data } = this;
      const underglaze = cells.underglaze[cell];
      const clear = cells.clear[cell];
      switch (facet) {
        case "colour":
          return data.colours[data.underglazes.colour[underglaze]] || this.unnamed(underglaze);
        case "clear":
          return clear < 0 ? "none" : this.names.clears[clear][0];
        case "zinc":
          return clear < 0 ? null : data.clears.zinc[clear];
        case "finish":
          return clear < 0 ? null : data.clears.finish[clear];
        case "cone":
          return (this.coneOf(cell) || ["unknown"])[0];
        case "air":
          return this.airOf(cell);
        case "body":
          return cells.body[cell] < 0 ? "unknown" : this.names.bodies[cells.body[cell]][0];
        default:
          return this.words[cells.seen[cell]];
      }
    }

    /* Pairings that pass every facet, and for each facet's values how many pairings there would
       be if only that facet were changed. One pass over the cells. */
    filter(wanted) {
      if (!this.order) this.group();
      const symptoms = new Map(this.data.symptoms.map((one) => [one.id, new Set(one.verdicts)]));
      const symptom = symptoms.get(wanted.symptom) || null;
      const wants = FACETS.map((name) => wanted[name] || null);
      const tallies = new Map([...FACETS, "symptom"].map((name) => [name, new Map()]));
      const without = {};
      const found = [];

      /* Cells of a pairing come together, so the last one counted tells a repeat. */
      const tally = (name, value, pairing) => {
        if (value === null) return;
        const table = tallies.get(name);
        const known = table.get(value);
        if (!known) table.set(value, { n: 1, pairing });
        else if (known.pairing !== pairing) {
          known.n += 1;
          known.pairing = pairing;
        }
      };

      this.order.forEach((cell, place) => {
        const pairing = this.pairing[place];
        const words = this.values[VERDICT][place];
        let failed = null;
        let failures = 0;
        for (let n = 0; n < FACETS.length; n += 1) {
          if (!wants[n]) continue;
          const value = this.values[n][place];
          if (n === VERDICT ? words.includes(wants[n]) : value === wants[n]) continue;
          failures += 1;
          failed = FACETS[n];
        }
        if (symptom && !words.some((word) => symptom.has(word))) {
          failures += 1;
          failed = "symptom";
        }
        if (failures > 1) return;
        for (let n = 0; n < VERDICT; n += 1) {
          if (!failures || FACETS[n] === failed) tally(FACETS[n], this.values[n][place], pairing);
        }
        if (!failures || failed === "verdict") {
          for (const word of words) tally("verdict", word, pairing);
        }
        if (!failures || failed === "symptom") {
          for (const [id, set] of symptoms) {
            if (words.some((word) => set.has(word))) tally("symptom", id, pairing);
          }
        }
        if (failures) {
          const known = (without[failed] = without[failed] || { n: 0, pairing: -1 });
          if (known.pairing !== pairing) known.n += 1;
          known.pairing = pairing;
          return;
        }
        const newest = found.at(-1);
        if (newest?.pairing === pairing) newest.cells.push(cell);
        else found.push({ pairing, cells: [cell] });
      });
      const numbers = (rows) => [...rows].map(([value, { n }]) => [value, n]);
      const counts = Object.fromEntries(
        [...tallies].map(([name, table]) => [name, new Map(numbers(table))]),
      );
      return { found, counts, without: Object.fromEntries(numbers(Object.entries(without))) };
    }

    /* What was seen on some cells: [["colour", [["true", 4], ["faded", 1]]], …]. */
    tally(cells) {
      const table = new Map();
      for (const cell of cells) {
        const said = this.data.seen[this.cells.seen[cell]];
        for (let at = 0; at < said.length; at += 2) {
          if (!table.has(said[at])) table.set(said[at], new Map());
          const words = table.get(said[at]);
          words.set(said[at + 1], (words.get(said[at + 1]) || 0) + 1);
        }
      }
      return PROPERTIES.filter((name) => table.has(name)).map((name) => [
        name,
        [...table.get(name)].sort((a, b) => b[1] - a[1]),
      ]);
    }
  }

  clearover.Tests = Tests;
})();
