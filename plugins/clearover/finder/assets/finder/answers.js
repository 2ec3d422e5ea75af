/* Answers a question from what was worked out when the site was built. Every standing, reason and
   rank below comes ready from the same function that `clearover answer` asks; this file only looks
   up one entry for each colour and wish and lets the one that suffers most decide. */
(function () {
  "use strict";
  const clearover = (window.clearover = window.clearover || {});

  class Answers {
    constructor(data, names) {
      this.data = data;
      this.ids = names.clears.map(([id]) => id);
      this.packed = data.answers;
      this.wide = 1 + data.wishes.length;
    }

    /* Clear -> its entries, one a wish, for one colour at a cone. The shared row comes first; what
       this colour's own tiles say overrules it. */
    row(underglaze, cone, air) {
      const { asked_cones: cones, asked_atmospheres: airs } = this.data;
      const slot = (underglaze * cones.length + cones.indexOf(cone)) * airs.length + airs.indexOf(air);
      const found = new Map();
      const lay = (flat) => {
        for (let at = 0; at < flat.length; at += this.wide) {
          found.set(flat[at], flat.slice(at + 1, at + this.wide));
        }
      };
      lay(this.packed.rows[this.packed.row_of[slot]]);
      lay(this.packed.own[slot] || []);
      return found;
    }

    /* One entry, spelled out. */
    entry(n) {
      const { entries, texts, cell_lists: lists } = this.packed;
      return {
        standing: this.data.standings[entries.standing[n]],
        says: texts[entries.says[n]],
        reason: texts[entries.reason[n]],
        good: entries.good[n],
        bad: entries.bad[n],
        unclear: entries.unclear[n],
        tiles: lists[entries.tiles[n]],
        cells: lists[entries.cells[n]],
      };
    }

    /* The entry that decides among several: the highest rank number, the first on a tie. */
    worst(entries) {
      const rank = this.packed.entries.rank;
      return entries.reduce((worst, entry) => (rank[entry.n] > rank[worst.n] ? entry : worst));
    }

    /* Whether a clear comes into question: in use here, and made for this cone or fired at it. */
    inQuestion(clear, underglazes, cone) {
      const { clears, asked_cones: cones } = this.data;
      const at = cones.indexOf(cone);
      if (!clears.in_use[clear]) return false;
      if (clears.made_for[clear][at]) return true;
      return underglazes.some((underglaze) =>
        this.packed.beyond[`${underglaze}.${at}`]?.includes(clear),
      );
    }

    /* The clears for these colours, best first: [{clear, worst: {n, underglaze, wish}, each}]. */
    over(underglazes, cone, air, wishes, all) {
      const rows = underglazes.map((underglaze) => this.row(underglaze, cone, air));
      const found = [];
      for (const clear of rows[0].keys()) {
        if (!all && !this.inQuestion(clear, underglazes, cone)) continue;
        const each = rows.map((row, n) => {
          const entries = row.get(clear);
          const underglaze = underglazes[n];
          return this.worst(wishes.map((wish) => ({ n: entries[wish], underglaze, wish })));
        });
        found.push({ clear, each, worst: this.worst(each) });
      }
      return this.inOrder(found, (a, b) => (this.ids[a.clear] < this.ids[b.clear] ? -1 : 1));
    }

    /* The other way round: the colours for one clear. */
    under(clear, cone, air, wishes, all) {
      const found = [];
      const { in_use: inUse } = this.data.underglazes;
      for (let underglaze = 0; underglaze < inUse.length; underglaze += 1) {
        if (!all && !inUse[underglaze]) continue;
        const entries = this.row(underglaze, cone, air).get(clear);
        const worst = this.worst(wishes.map((wish) => ({ n: entries[wish], underglaze, wish })));
        found.push({ clear, underglaze, each: [worst], worst });
      }
      return this.inOrder(found, (a, b) => a.underglaze - b.underglaze);
    }

    inOrder(found, tie) {
      const rank = this.packed.entries.rank;
      return found.sort((a, b) => rank[a.worst.n] - rank[b.worst.n] || tie(a, b));
    }
  }

  clearover.Answers = Answers;
})();
