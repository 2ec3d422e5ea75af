/* The question as a sentence whose changing words are its controls:
     Which clear over [Hedge Bottom] [and another] at cone [6] in [oxidation]?
     Which colours suit [Ferry Glass] at cone [6] in [oxidation]? */
(function () {
  "use strict";
  const clearover = (window.clearover = window.clearover || {});
  const { h, choice } = clearover;

  class Sentence {
    constructor(finder) {
      this.finder = finder;
    }

    cone(state) {
      const { data, coneWords } = this.finder;
      const cones = data.asked_cones.map((label) => [label, coneWords.get(label)]);
      return choice("cone", "Cone", cones, state.cone, (cone) => this.finder.go({ ...state, cone }));
    }

    /* Only where tiles of more than one atmosphere are known. */
    air(state) {
      const airs = this.finder.data.asked_atmospheres.map((air) => [air, air]);
      if (airs.length < 2) return [];
      const change = (air) => this.finder.go({ ...state, air });
      return [" in ", choice("air", "Atmosphere", airs, state.air, change, true)];
    }

    colour(state, n) {
      const { finder } = this;
      const place = finder.place.get(state.over[n]);
      return h(
        "button",
        {
          type: "button",
          class: "say",
          "data-key": `colour-${n}`,
          "aria-haspopup": "listbox",
          onclick: () => finder.pick(n),
        },
        finder.crops.swatch(place),
        finder.names.underglazes[place][1],
      );
    }

    another(state) {
      const first = !state.over.length;
      return h(
        "button",
        {
          type: "button",
          class: first ? "say open" : "say add",
          "data-key": "add",
          "aria-haspopup": "listbox",
          onclick: () => this.finder.pick(state.over.length),
        },
        first ? "a colour" : "and another",
      );
    }

    over(state) {
      const parts = ["Which clear over "];
      state.over.forEach((_, n) => {
        if (n) parts.push(n === state.over.length - 1 ? " and " : ", ");
        parts.push(this.colour(state, n));
      });
      if (state.over.length) parts.push(" ");
      return [...parts, this.another(state), " at cone ", this.cone(state), ...this.air(state), "?"];
    }

    under(state) {
      const { data, names } = this.finder;
      const rows = (used) =>
        names.clears
          .filter((_, n) => Boolean(data.clears.in_use[n]) === used)
          .map(([id, name]) => [id, name]);
      const unused = rows(false);
      const options = [
        ...(state.under ? [] : [["", "a clear"]]),
        ...rows(true),
        ...(unused.length ? [["not in use here", unused]] : []),
      ];
      const change = (under) => this.finder.go({ ...state, under });
      return [
        "Which colours suit ",
        choice("under", "Clear", options, state.under || "", change),
        " at cone ",
        this.cone(state),
        ...this.air(state),
        "?",
      ];
    }
  }

  clearover.Sentence = Sentence;
})();
