/* Finds names: colours, clears, bodies, guide pages, and tiles by what is scratched into them.
   Exact starts of words come first; only when nothing begins like that are small typos allowed,
   so that a typed name never drowns in near misses. */
(function () {
  "use strict";
  const clearover = (window.clearover = window.clearover || {});
  const MOST = 60;

  /* é -> e, so that a name is found from a keyboard without accents. */
  const folded = (word) =>
    word
      .normalize("NFD")
      .replace(/\p{M}/gu, "")
      .toLowerCase();

  /* One edit in a word of four letters, two in a longer one (a swapped pair counts as two). */
  const typos = (word) => (word.length < 3 ? false : word.length < 5 ? 1 : 2);

  class Search {
    /* `names`: rows of {kind, name, more, href, …}; `marks`: rows of {mark, href, …}. */
    constructor(names, marks) {
      this.names = names;
      this.marks = marks.map((row) => ({ ...row, folded: folded(row.mark) }));
      this.index = new window.MiniSearch({
        idField: "n",
        fields: ["name", "more"],
        storeFields: [],
        processTerm: folded,
        searchOptions: { boost: { name: 3 }, prefix: true, combineWith: "AND" },
      });
      this.index.addAll(names.map((row, n) => ({ n, name: row.name, more: row.more })));
    }

    /* Rows in order: marks that are exactly this, then names, then marks that begin like it. */
    find(text) {
      const wanted = folded(text.trim());
      if (!wanted) return [];
      const mark = wanted.replace(/^(tile|mark|no\.?|#)\s*/, "");
      const exact = [];
      const begun = [];
      for (const row of this.marks) {
        if (row.folded === mark) exact.push(row);
        else if (begun.length < 6 && row.folded.startsWith(mark)) begun.push(row);
      }
      let found = this.index.search(wanted);
      if (!found.length) found = this.index.search(wanted, { fuzzy: typos });
      const named = found.slice(0, MOST).map((hit) => this.names[hit.id]);
      const here = named.filter((row) => !row.status);
      const elsewhere = named.filter((row) => row.status); /* retired, a member's own */
      return [...exact, ...here, ...elsewhere, ...begun];
    }
  }

  clearover.Search = Search;
  clearover.folded = folded;
})();
