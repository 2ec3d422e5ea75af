/* All tests, narrowed by words in a sentence, or by what went wrong. Opened on request. */
(function () {
  "use strict";
  const clearover = (window.clearover = window.clearover || {});
  const { h, choice, toggle, count } = clearover;
  const PAGE = 60;
  const UNNAMED = ["layered or mixed", "no colour"];

  class Browse {
    constructor(finder) {
      this.finder = finder;
    }

    /* The choices of one facet, each with the number of pairings it would leave. */
    rows(facet, any, known, counts, chosen) {
      const rows = known
        .filter(([value]) => counts.get(value) || value === chosen)
        .map(([value, text]) => [value, `${text} (${counts.get(value) || 0})`]);
      return [["", any], ...rows];
    }

    /* Verdict words under the property they belong to. */
    verdicts(counts, chosen) {
      const groups = new Map(["colour", "line", "cover", "surface"].map((name) => [name, []]));
      const keys = new Set([...counts.keys(), ...(chosen ? [chosen] : [])]);
      for (const key of [...keys].sort((a, b) => (counts.get(b) || 0) - (counts.get(a) || 0))) {
        const at = key.indexOf(":");
        groups.get(key.slice(0, at))?.push([key, `${key.slice(at + 1)} (${counts.get(key) || 0})`]);
      }
      return [["", "anything seen"], ...[...groups].filter(([, rows]) => rows.length)];
    }

    sentence(state, counts) {
      const { data, names } = this.finder;
      const { facets } = state;
      const word = (facet, label, any, known) =>
        choice(
          facet,
          label,
          this.rows(facet, any, known, counts[facet], facets[facet]),
          facets[facet] || "",
          (value) => this.change(state, facet, value),
        );
      const plain = (list) => list.map((one) => [one, one]);
      const finishes = plain([...new Set(data.clears.finish)].sort());
      const zinc = [["bearing", "zinc-bearing"], ["free", "zinc-free"], ["unknown", "zinc unknown"]];
      const ids = (rows) => rows.map(([id, name]) => [id, name]);
      const airs = data.atmospheres.length > 1;
      return [
        "What became of ",
        word("colour", "Colour word", "any colour", plain([...data.colours, ...UNNAMED])),
        " under ",
        word("clear", "Clear", "any clear", [...ids(names.clears), ["none", "no clear"]]),
        " at cone ",
        word("cone", "Cone", "any", [...data.cones, ["unknown", "unknown"]]),
        "?",
        h(
          "span",
          { class: "further" },
          word("verdict", "What was seen", "anything seen", []),
          word("zinc", "Zinc in the clear", "zinc or none", zinc),
          word("finish", "Finish of the clear", "any finish", finishes),
          word("body", "Clay body", "any body", [...ids(names.bodies), ["unknown", "body unknown"]]),
          airs && word("air", "Atmosphere", "any atmosphere", plain(data.atmospheres)),
        ),
      ].map((part) => this.withVerdicts(part, state, counts));
    }

    /* The list of verdicts has groups, so it is put in place of the plain one. */
    withVerdicts(part, state, counts) {
      if (!part?.classList?.contains("further")) return part;
      part.firstChild.replaceWith(
        choice(
          "verdict",
          "What was seen",
          this.verdicts(counts.verdict, state.facets.verdict),
          state.facets.verdict || "",
          (value) => this.change(state, "verdict", value),
        ),
      );
      return part;
    }

    change(state, facet, value) {
      const facets = { ...state.facets };
      if (value) facets[facet] = value;
      else delete facets[facet];
      this.finder.go({ ...state, facets });
    }

    symptoms(state, counts) {
      return this.finder.data.symptoms
        .filter((one) => counts.symptom.get(one.id) || state.facets.symptom === one.id)
        .map((one) =>
          toggle(`symptom-${one.id}`, `${one.says} (${counts.symptom.get(one.id) || 0})`, state.facets.symptom === one.id, () =>
            this.change(state, "symptom", state.facets.symptom === one.id ? "" : one.id),
          ),
        );
    }

    /* What may be behind a symptom: one sentence, its source, and where to read on. */
    behind(state) {
      const one = this.finder.data.symptoms.find((row) => row.id === state.facets.symptom);
      if (!one) return null;
      return h(
        "p",
        { class: "behind" },
        one.behind,
        " ",
        h("a", { href: one.href }, one.link),
      );
    }

    name(facet, value) {
      const { names, data } = this.finder;
      const found = { clear: names.clears, body: names.bodies, cone: data.cones }[facet]?.find(
        ([id]) => id === value,
      );
      if (facet === "symptom") return data.symptoms.find((row) => row.id === value)?.says || value;
      if (facet === "cone") return `cone ${found ? found[1] : value}`;
      if (facet === "zinc") return value === "unknown" ? "zinc unknown" : `zinc-${value}`;
      if (facet === "verdict") return value.slice(value.indexOf(":") + 1);
      return found ? found[1] : value;
    }

    /* No pairing left: which word to let go, and how many come back. */
    loosen(state, without) {
      const given = Object.keys(state.facets);
      const helps = given
        .filter((facet) => without[facet])
        .sort((a, b) => without[b] - without[a])
        .map((facet) =>
          h(
            "button",
            { type: "button", class: "quiet", onclick: () => this.change(state, facet, "") },
            `without “${this.name(facet, state.facets[facet])}”: ${count(without[facet], "pairing")}`,
          ),
        );
      return h(
        "div",
        { class: "nothing" },
        h("p", {}, helps.length ? "No test has all of these. Let one go:" : "No test has these."),
        helps,
        h(
          "button",
          { type: "button", class: "quiet", onclick: () => this.finder.go({ ...state, facets: {} }) },
          "start again with all tests",
        ),
      );
    }

    /* What the address asks for and the catalogue knows; the rest is let go. */
    known(facets) {
      const { data, names, tests } = this.finder;
      const ids = (rows) => rows.map(([id]) => id);
      const lists = {
        colour: [...data.colours, ...UNNAMED],
        clear: [...ids(names.clears), "none"],
        zinc: ["bearing", "free", "unknown"],
        finish: data.clears.finish,
        body: [...ids(names.bodies), "unknown"],
        cone: [...ids(data.cones), "unknown"],
        air: data.atmospheres,
        verdict: tests.words.flat(),
        symptom: data.symptoms.map(({ id }) => id),
      };
      return Object.fromEntries(
        Object.entries(facets).filter(([facet, value]) => lists[facet].includes(value)),
      );
    }

    draw(asked) {
      const { tests, cards, parts } = this.finder;
      const state = { ...asked, facets: this.known(asked.facets) };
      const { found, counts, without } = tests.filter(state.facets);
      clearover.redraw(parts.ask, ...this.sentence(state, counts));
      parts.wishes.hidden = false;
      parts.wishes.setAttribute("aria-label", "What went wrong");
      clearover.redraw(parts.wishes, ...this.symptoms(state, counts));
      clearover.redraw(parts.note, ...this.finder.lasting, this.behind(state));
      const cells = found.reduce((sum, one) => sum + one.cells.length, 0);
      this.finder.tell(
        found.length
          ? `${count(found.length, "pairing")}, ${count(cells, "cell")}.`
          : "0 pairings.",
      );
      if (found.length) this.finder.page(found, (one) => cards.pairing(one.cells), PAGE);
      else clearover.redraw(parts.results, this.loosen(state, without));
    }
  }

  clearover.Browse = Browse;
})();
