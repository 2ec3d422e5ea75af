/* Choosing a colour: by its name, or by looking. One text box over one list (the combobox pattern
   of the ARIA Authoring Practices Guide, W3C): typing narrows, arrows walk, Enter takes, Escape
   leaves. The box does not take the focus on a touch screen, where the keyboard would cover what
   is to be looked at. */
(function () {
  "use strict";
  const clearover = (window.clearover = window.clearover || {});
  const { h } = clearover;
  const KINDS = { clear: "clear", body: "clay body", tile: "tile", page: "guide" };

  class Picker {
    /* `take(id)` is called with the colour; `leave()` on Escape; `remove()` where one is set. */
    constructor(finder, { text, replaces, take, leave, remove }) {
      this.finder = finder;
      this.take = take;
      this.leave = leave;
      this.options = [];
      this.at = -1;
      this.list = h("div", { role: "listbox", id: "colours", class: "colours", "aria-label": "Colours", tabindex: -1 });
      this.none = h("p", { class: "nothing", hidden: true });
      this.input = h("input", {
        type: "text",
        class: "find",
        role: "combobox",
        "aria-label": "Colour, maker, clear, or mark on a tile",
        "aria-expanded": "true",
        "aria-controls": "colours",
        "aria-autocomplete": "list",
        autocomplete: "off",
        autocapitalize: "none",
        spellcheck: "false",
        placeholder: "name, maker, or a tile’s mark",
        value: text || null,
        oninput: () => this.fill(),
        onkeydown: (event) => this.key(event),
      });
      this.element = h(
        "section",
        { class: "picker", "aria-label": replaces ? `Instead of ${replaces}` : "Choose a colour" },
        h(
          "div",
          { class: "picker-bar" },
          this.input,
          remove && h("button", { type: "button", class: "quiet", onclick: remove }, `take ${replaces} out`),
          leave && h("button", { type: "button", class: "quiet", onclick: leave }, "back"),
        ),
        this.list,
        this.none,
      );
      this.fill();
    }

    focus() {
      const touch = window.matchMedia("(pointer: coarse)").matches;
      (touch && !this.input.value ? this.list : this.input).focus();
    }

    option(row, ...inside) {
      const element = h(
        "div",
        { role: "option", id: `option-${this.options.length}`, class: `option ${row.kind}`, "aria-selected": "false", onclick: () => this.choose(row) },
        ...inside,
      );
      this.options.push({ element, row });
      return element;
    }

    colour(row) {
      return this.option(
        row,
        this.finder.crops.swatch(row.n),
        h("span", { class: "option-name" }, row.name),
        row.status && h("span", { class: "option-more" }, row.status),
      );
    }

    /* All colours, by colour word: for whoever only knows the green in the small jar. */
    grid() {
      const { data, colours } = this.finder;
      const groups = data.colours.map((word) => [word, colours.filter((row) => row.colour === word && !row.status)]);
      groups.push(["not on the studio’s shelf", colours.filter((row) => row.status)]);
      return groups
        .filter(([, rows]) => rows.length)
        .map(([word, rows], n) =>
          h(
            "div",
            { role: "group", "aria-labelledby": `group-${n}`, class: "colour-group" },
            h("p", { id: `group-${n}`, class: "group-name", role: "presentation" }, word),
            h("div", { class: "swatch-row", role: "presentation" }, rows.map((row) => this.colour(row))),
          ),
        );
    }

    fill() {
      const text = this.input.value.trim();
      this.options = [];
      this.at = -1;
      if (!text) {
        this.list.replaceChildren(...this.grid());
        this.none.hidden = true;
      } else {
        const found = this.finder.search.find(text);
        const parts = found.map((row) =>
          row.kind === "colour"
            ? this.colour(row)
            : this.option(row, h("span", { class: "option-kind" }, KINDS[row.kind]), h("span", { class: "option-name" }, row.name)),
        );
        this.list.replaceChildren(h("div", { class: "swatch-row", role: "presentation" }, parts));
        this.none.hidden = found.length > 0;
        this.none.textContent = `Nothing here is called “${text}”. Clear the box to choose by looking.`;
        if (found.length) this.walk(0);
      }
      this.finder.tell(text ? `${clearover.count(this.options.length, "match", "matches")}` : "");
    }

    walk(to) {
      this.options[this.at]?.element.setAttribute("aria-selected", "false");
      this.at = to;
      const option = this.options[to]?.element;
      if (!option) return this.input.removeAttribute("aria-activedescendant");
      option.setAttribute("aria-selected", "true");
      this.input.setAttribute("aria-activedescendant", option.id);
      option.scrollIntoView({ block: "nearest" });
    }

    /* The option nearest below or above on screen: the list wraps, so order alone is not enough. */
    nextRow(down) {
      const boxes = this.options.map((option) => option.element.getBoundingClientRect());
      const here = boxes[this.at];
      if (!here) return down ? 0 : boxes.length - 1;
      let best = this.at;
      let least = Infinity;
      boxes.forEach((box, n) => {
        const rise = down ? box.top - here.top : here.top - box.top;
        if (rise < 4) return;
        const far = rise * 4 + Math.abs(box.left - here.left);
        if (far < least) [best, least] = [n, far];
      });
      return best;
    }

    key(event) {
      const last = this.options.length - 1;
      const sideways = !this.input.value || this.at >= 0;
      if (event.key === "ArrowDown") this.walk(this.nextRow(true));
      else if (event.key === "ArrowUp") this.walk(this.nextRow(false));
      else if (event.key === "ArrowRight" && !this.input.value && sideways) this.walk(Math.min(last, this.at + 1));
      else if (event.key === "ArrowLeft" && !this.input.value && this.at > 0) this.walk(this.at - 1);
      else if (event.key === "Enter" && this.options[this.at]) this.choose(this.options[this.at].row);
      else if (event.key === "Escape" && this.input.value) {
        this.input.value = "";
        this.fill();
      } else if (event.key === "Escape" && this.leave) this.leave();
      else return;
      event.preventDefault();
    }

    choose(row) {
      if (row.kind === "colour") this.take(row.id);
      else window.location.href = row.href;
    }
  }

  clearover.Picker = Picker;
})();
