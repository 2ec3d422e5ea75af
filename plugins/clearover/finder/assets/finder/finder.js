/* The home page: a sentence whose changing words are the controls, and the answer below it.
   The address holds the state; every change writes the address, and every change of the address
   draws the page. */
(function () {
  "use strict";
  const clearover = (window.clearover = window.clearover || {});
  const { h, toggle, count, joined } = clearover;
  const PAGE = 60;
  class Finder {
    constructor(root, data, names) {
      Object.assign(this, { root, data, names });
      this.parts = Object.fromEntries(
        [...root.querySelectorAll("[data-part]")].map((part) => [part.dataset.part, part]),
      );
      this.lasting = [...this.parts.note.children]; /* what the page itself says: no tile yet */
      this.place = new Map(names.underglazes.map(([id], n) => [id, n]));
      this.clearPlace = new Map(names.clears.map(([id], n) => [id, n]));
      this.wishPlace = new Map(data.wishes.map((wish, n) => [wish.id, n]));
      this.known = {
        underglazes: this.place,
        clears: this.clearPlace,
        wishes: this.wishPlace,
        cones: new Set(data.asked_cones),
        atmospheres: new Set(data.asked_atmospheres),
        usualCone: data.studio.usual_cone,
        usualAtmosphere: data.studio.atmosphere,
      };
      this.coneWords = new Map(data.cones);
      this.colours = names.underglazes.map(([id, name, more], n) => ({
        kind: "colour",
        id,
        n,
        name,
        more,
        colour: data.colours[data.underglazes.colour[n]],
        status: data.underglazes.status[n],
      }));
      this.search = new clearover.Search(this.searched(), this.marks());
      this.answers = new clearover.Answers(data, names);
      this.tests = new clearover.Tests(data, names);
      this.crops = new clearover.Crops(data, this.tests);
      this.cards = new clearover.Cards(this);
      this.browse = new clearover.Browse(this);
      this.sentence = new clearover.Sentence(this);
    }

    searched() {
      const { names } = this;
      const rows = [...this.colours];
      for (const [id, name, more] of names.clears) {
        rows.push({ kind: "clear", id, name, more, href: `#under=${id}` });
      }
      for (const [id, name, more] of names.bodies) {
        rows.push({ kind: "body", id, name, more, href: `bodies/${id}.html` });
      }
      for (const [href, name] of names.guide) rows.push({ kind: "page", name, more: "", href });
      return rows;
    }

    marks() {
      return this.names.tiles
        .map(([id, mark], n) => ({ kind: "tile", id, n, mark, name: `tile ${mark}`, href: `tiles/${id}.html` }))
        .filter((row) => row.mark);
    }

    start() {
      window.addEventListener("hashchange", () => {
        if (window.location.hash !== this.drawnFor) this.draw();
      });
      this.draw();
      performance.mark("finder ready");
    }

    go(state) {
      const hash = clearover.state.write(state, this.known);
      window.location.hash = hash;
      this.draw(); /* at once, not when the browser tells: the focus has to find its control */
    }

    /* Says how many, to eyes and to screen readers alike. */
    tell(text) {
      if (this.parts.tally.textContent !== text) this.parts.tally.textContent = text;
    }

    draw() {
      this.drawnFor = window.location.hash;
      const state = clearover.state.read(window.location.hash, this.known);
      this.state = state;
      clearover.redraw(this.parts.note, ...this.lasting);
      this.root.dataset.view = state.view;
      if (state.find !== null) return this.pick(state.over.length, state.find);
      if (state.view === "tests") this.browse.draw(state);
      else if (state.view === "under") this.drawUnder(state);
      else this.drawOver(state);
      this.drawMore(state);
      this.title(state);
    }

    title(state) {
      const said =
        state.view === "over" && state.over.length
          ? `${joined(state.over.map((id) => this.names.underglazes[this.place.get(id)][1]))} at cone ${this.coneWords.get(state.cone)}`
          : state.view === "under" && state.under
            ? `Under ${this.names.clears[this.clearPlace.get(state.under)][1]}`
            : null;
      const home = (this.home = this.home || document.title);
      document.title = said ? `${said} · ${home}` : home;
    }

    drawWishes(state) {
      this.parts.wishes.hidden = false;
      this.parts.wishes.setAttribute("aria-label", "What matters");
      clearover.redraw(
        this.parts.wishes,
        ...this.data.wishes.map((wish) =>
          toggle(`wish-${wish.id}`, wish.name, state.wishes.includes(wish.id), () => {
            const wishes = state.wishes.includes(wish.id)
              ? state.wishes.filter((id) => id !== wish.id)
              : this.data.wishes.map(({ id }) => id).filter((id) => id === wish.id || state.wishes.includes(id));
            this.go({ ...state, wishes });
          }),
        ),
      );
    }

    /* ---- the answers ---- */

    drawOver(state) {
      clearover.redraw(this.parts.ask, ...this.sentence.over(state));
      if (!state.over.length) {
        this.showPicker(0, { open: true });
        return this.tell("Touch a colour, or type its name.");
      }
      this.drawWishes(state);
      const places = state.over.map((id) => this.place.get(id));
      const ask = (all) =>
        this.answers.over(places, state.cone, state.air, this.wishes(state), all);
      this.drawAnswers(state, ask, "clear");
    }

    drawUnder(state) {
      clearover.redraw(this.parts.ask, ...this.sentence.under(state));
      if (!state.under) {
        this.parts.wishes.hidden = true;
        this.tell("Choose a clear: every colour follows, best first.");
        return clearover.redraw(this.parts.results);
      }
      this.drawWishes(state);
      const clear = this.clearPlace.get(state.under);
      const ask = (all) => this.answers.under(clear, state.cone, state.air, this.wishes(state), all);
      this.drawAnswers(state, ask, "colour");
    }

    wishes(state) {
      return state.wishes.map((id) => this.wishPlace.get(id));
    }

    drawAnswers(state, ask, what) {
      const found = ask(state.all);
      const all = state.all ? found.length : ask(true).length;
      this.tell(this.tally(found, what, state));
      const rest = all - found.length;
      const why = what === "clear" ? "not in use here, or not made for this cone" : "not in use here";
      const extra =
        state.all || rest
          ? h(
              "button",
              {
                type: "button",
                class: "quiet",
                "data-key": "all",
                onclick: () => this.go({ ...state, all: !state.all }),
              },
              state.all ? "only what comes into question" : `show ${count(rest, `other ${what}`)}: ${why}`,
            )
          : null;
      this.page(found, (item) => this.cards.answer(item, state), PAGE, extra);
    }

    /* `8 clears, 2 tested good.` One line: the cards say the rest. */
    tally(found, what, state) {
      if (!found.length) return `No ${what} in use here for cone ${this.coneWords.get(state.cone)}.`;
      const number = (standing) =>
        found.filter((item) => this.answers.entry(item.worst.n).standing === standing).length;
      const tested = number("tested");
      const expected = number("expected");
      const said = [count(found.length, what), `${tested || "none"} tested good`];
      if (!tested && expected) said.push(`${expected} expected`);
      return `${said.join(", ")}.`;
    }

    /* Cards a page at a time: ten thousand at once would stop a phone. */
    page(found, card, size, extra) {
      const list = h("ol", { class: "finds" });
      const more = h("button", { type: "button", class: "quiet more" });
      const next = () => {
        const from = list.children.length;
        list.append(...found.slice(from, from + size).map(card));
        const left = found.length - list.children.length;
        more.hidden = !left;
        more.textContent = `show ${Math.min(left, size)} more of ${left}`;
        if (from) list.children[from]?.querySelector("a")?.focus();
      };
      more.addEventListener("click", next);
      next();
      clearover.redraw(this.parts.results, list, more, extra);
    }

    /* ---- choosing a colour ---- */

    /* Opens the list of colours for the n-th word of the sentence, in place of the answers. */
    pick(n, text) {
      const state = { ...this.state, view: "over", find: null };
      this.root.dataset.view = "over";
      clearover.redraw(this.parts.ask, ...this.sentence.over(state));
      this.state = state;
      const picker = this.showPicker(n, { text });
      picker.focus();
      this.parts.ask.scrollIntoView({ block: "nearest" });
    }

    showPicker(n, { text, open } = {}) {
      const { state } = this;
      const id = state.over[n];
      const close = () => {
        this.go(state);
        this.parts.ask.querySelector(`[data-key="${id ? `colour-${n}` : "add"}"]`)?.focus();
      };
      const over = (list) => this.go({ ...state, over: [...new Set(list)] });
      this.parts.wishes.hidden = true;
      const picker = new clearover.Picker(this, {
        text,
        replaces: id && this.colours[this.place.get(id)].name,
        take: (taken) => {
          const list = [...state.over];
          list[n] = taken;
          over(list);
          window.scrollTo(0, 0);
          this.parts.ask.querySelector(`[data-key="colour-${Math.min(n, list.length - 1)}"]`)?.focus();
        },
        leave: open || (!state.over.length && !text) ? null : close,
        remove: id && (() => over(state.over.filter((_, place) => place !== n))),
      });
      clearover.redraw(this.parts.results, picker.element);
      this.parts.more.hidden = !open;
      return picker;
    }

    /* ---- other ways to ask ---- */

    drawMore(state) {
      const link = (view, href, text) => (state.view === view ? null : h("a", { href }, text));
      const asked = state.view !== "over" || state.over.length;
      this.parts.results[asked ? "after" : "before"](this.parts.more);
      this.parts.more.hidden = this.parts.more.open = false;
      clearover.redraw(
        this.parts.more,
        h("summary", {}, "More ways to ask"),
        h(
          "p",
          {},
          link("over", `#cone=${state.cone || this.known.usualCone}`, "Which clear over a colour?"),
          link("under", `#under=&cone=${state.cone || this.known.usualCone}`, "Which colours suit one clear?"),
          link("tests", "#tests", "What went wrong? All tests, by what was seen"),
        ),
      );
    }
  }

  const root = document.getElementById("finder");
  if (root && window.clearoverData && window.clearoverNames) {
    const finder = new Finder(root, window.clearoverData, window.clearoverNames);
    finder.start();
    clearover.finder = finder;
  }
})();
