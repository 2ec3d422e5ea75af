/* The find box in the header of every page. Without script it is a link to the finder; with it,
   a box: Enter goes to the finder with what was typed. The list of names is loaded only once
   somebody touches the box, so no page pays for it. */
(function () {
  "use strict";
  const script = document.currentScript;
  const link = document.querySelector("a[data-find]");
  if (!link || document.getElementById("finder")) return;
  const home = link.getAttribute("href").replace(/#.*$/, "");

  const input = document.createElement("input");
  input.type = "search";
  input.className = "find-box";
  input.placeholder = "Find a colour, clear or tile";
  input.setAttribute("aria-label", "Find a colour, clear, tile mark or guide page");
  input.setAttribute("autocomplete", "off");

  const names = document.createElement("datalist");
  names.id = "find-names";
  input.setAttribute("list", names.id);

  const offer = () => {
    const found = window.clearoverNames;
    if (!found || names.children.length) return;
    const words = [...found.underglazes, ...found.clears, ...found.bodies, ...found.guide];
    for (const row of words) names.append(new Option(row[1], row[1]));
  };
  input.addEventListener(
    "focus",
    () => {
      const loader = document.createElement("script");
      loader.src = new URL("../data/names.js", script.src).href;
      loader.addEventListener("load", offer);
      document.head.append(loader);
    },
    { once: true },
  );
  input.addEventListener("keydown", (event) => {
    const text = input.value.trim();
    if (event.key !== "Enter" || !text) return;
    event.preventDefault();
    window.location.href = `${home}#find=${encodeURIComponent(text)}`;
  });
  link.replaceWith(input, names);
})();
