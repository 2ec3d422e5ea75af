/* Builds elements. The one way the finder makes markup: text is set as text, never parsed, so a
   record can hold any characters. */
(function () {
  "use strict";
  const clearover = (window.clearover = window.clearover || {});
  const SVG = "http://www.w3.org/2000/svg";

  function fill(element, attributes, children) {
    for (const [name, value] of Object.entries(attributes || {})) {
      if (value === false || value === null || value === undefined) continue;
      if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
      else element.setAttribute(name, value === true ? "" : value);
    }
    for (const child of children.flat(Infinity)) {
      if (child !== null && child !== undefined && child !== false) element.append(child);
    }
    return element;
  }

  /* h("button", {class: "say", onclick: f}, "text", otherElement, [more]) */
  clearover.h = (tag, attributes, ...children) =>
    fill(document.createElement(tag), attributes, children);

  clearover.svg = (tag, attributes, ...children) =>
    fill(document.createElementNS(SVG, tag), attributes, children);

  /* Puts new children in place and gives the focus back to the control that had it: controls
     that outlive a redraw carry the same data-key before and after. */
  clearover.redraw = (element, ...children) => {
    const active = document.activeElement;
    const key = element.contains(active) ? active.dataset.key : null;
    element.replaceChildren(...children.flat(Infinity).filter(Boolean));
    if (key) element.querySelector(`[data-key="${CSS.escape(key)}"]`)?.focus();
  };

  clearover.count = (number, one, many) =>
    `${number.toLocaleString("en-GB")} ${number === 1 ? one : many || one + "s"}`;

  /* a; a and b; a, b and c */
  clearover.joined = (parts) =>
    parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}`;
})();
