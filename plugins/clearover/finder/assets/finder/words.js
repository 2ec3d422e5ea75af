/* The controls that stand inside a sentence: a word that opens a list, a word that is on or off.
   A native list is used for short choices: on a phone it opens the phone's own wheel. */
(function () {
  "use strict";
  const clearover = (window.clearover = window.clearover || {});
  const { h } = clearover;

  const option = ([value, text], chosen) =>
    h("option", { value, selected: value === chosen }, text);

  /* `options`: rows of [value, text], or [group name, [rows]]. */
  clearover.choice = (key, label, options, chosen, change, quiet) =>
    h(
      "span",
      { class: quiet ? "say choice quiet-word" : "say choice" },
      h(
        "select",
        {
          "aria-label": label,
          "data-key": key,
          onchange: (event) => change(event.target.value),
        },
        options.map((row) =>
          Array.isArray(row[1])
            ? h("optgroup", { label: row[0] }, row[1].map((one) => option(one, chosen)))
            : option(row, chosen),
        ),
      ),
    );

  clearover.toggle = (key, text, on, change) =>
    h(
      "button",
      {
        type: "button",
        class: "wish",
        "data-key": key,
        "aria-pressed": String(on),
        onclick: change,
      },
      text,
    );
})();
