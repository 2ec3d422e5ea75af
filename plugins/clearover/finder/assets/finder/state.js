/* The address and what it means. The part after # holds the whole question, so that a search can
   be bookmarked, shared and gone back to, from a disk as from a server:
     #over=hedge-bottom,brick-dust&cone=6&wish=true_colour
     #under=ferry-glass&cone=6&wish=true_colour
     #tests&colour=green&verdict=colour:shifted brown
     #find=114
   Words the catalogue does not know are dropped, so an old bookmark never breaks the page. */
(function () {
  "use strict";
  const clearover = (window.clearover = window.clearover || {});
  const FACETS = ["colour", "clear", "zinc", "finish", "body", "verdict", "symptom"];

  function pairs(hash) {
    const found = new Map();
    for (const part of hash.replace(/^#/, "").split("&")) {
      const at = part.indexOf("=");
      const name = at < 0 ? part : part.slice(0, at);
      let value = at < 0 ? "" : part.slice(at + 1);
      try {
        value = decodeURIComponent(value.replace(/\+/g, " "));
      } catch {
        /* a stray % in a hand-written address: take it as it stands */
      }
      if (name) found.set(name, value);
    }
    return found;
  }

  const listed = (value, known) => [
    ...new Set((value || "").split(",").filter((word) => known.has(word))),
  ];

  /* `known`: underglazes, clears, cones, wishes, atmospheres as Maps; usual cone and atmosphere. */
  function read(hash, known) {
    const given = pairs(hash);
    const over = listed(given.get("over"), known.underglazes);
    const under = known.clears.has(given.get("under")) ? given.get("under") : null;
    const tests = given.has("tests");
    const cone = known.cones.has(given.get("cone")) ? given.get("cone") : null;
    const wishes = listed(given.get("wish"), known.wishes);
    const air = given.get("in");
    const state = {
      view: tests ? "tests" : given.has("under") ? "under" : "over",
      over,
      under,
      cone: cone || (tests ? null : known.usualCone),
      wishes: wishes.length ? wishes : [known.wishes.keys().next().value],
      air: known.atmospheres.has(air) ? air : tests ? null : known.usualAtmosphere,
      all: given.has("all"),
      find: given.has("find") ? given.get("find") : null,
      facets: {},
    };
    if (tests) {
      for (const name of FACETS) if (given.get(name)) state.facets[name] = given.get(name);
      if (given.get("cone")) state.facets.cone = given.get("cone");
      if (state.air) state.facets.air = state.air;
    }
    return state;
  }

  /* Kept readable: only what would break the address is escaped. */
  const plain = (text) => String(text).replace(/[%&#+]/g, encodeURIComponent).replace(/ /g, "+");

  function write(state, known) {
    const parts = [];
    const add = (name, value) => parts.push(`${name}=${plain(value)}`);
    if (state.view === "tests") {
      parts.push("tests");
      for (const name of ["cone", ...FACETS]) if (state.facets[name]) add(name, state.facets[name]);
      if (state.facets.air) add("in", state.facets.air);
      return `#${parts.join("&")}`;
    }
    if (state.view === "under") add("under", state.under || "");
    else if (state.over.length) add("over", state.over.join(","));
    add("cone", state.cone);
    add("wish", state.wishes.join(","));
    if (state.air !== known.usualAtmosphere) add("in", state.air);
    if (state.all) parts.push("all");
    return `#${parts.join("&")}`;
  }

  clearover.state = { read, write, FACETS };
})();
