/* First script of every page, before anything is painted: light or dark, and for the theme's guide
   pages what its inline scripts would do. No request, no module, no dependency. */
(function () {
  "use strict";
  var root = document.documentElement, me = document.currentScript, KEY = "clearover.scheme";
  root.classList.add("js");

  function saved() { try { return localStorage.getItem(KEY); } catch (e) { return null; } }
  function keep(value) { try { localStorage.setItem(KEY, value); } catch (e) { /* private window */ } }
  function scheme() {
    return root.dataset.scheme ||
      (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
  }
  var chosen = saved();
  if (chosen === "dark" || chosen === "light") root.dataset.scheme = chosen;

  document.addEventListener("DOMContentLoaded", function () {
    var button = document.querySelector("[data-scheme-toggle]");
    if (button) {
      var name = function () { button.textContent = scheme() === "dark" ? "Light" : "Dark"; };
      name();
      button.hidden = false;
      button.addEventListener("click", function () {
        root.dataset.scheme = scheme() === "dark" ? "light" : "dark";
        keep(root.dataset.scheme);
        name();
      });
      matchMedia("(prefers-color-scheme: dark)").addEventListener("change", name);
    }
    [".top-row", ".guide-nav"].forEach(function (name) { // the lit entry in sight
      var row = document.querySelector(name), lit = row && row.querySelector("[aria-current]");
      if (!lit) return;
      var end = lit.getBoundingClientRect().right - row.getBoundingClientRect().left + 36;
      if (end > row.clientWidth) row.scrollLeft = end - row.clientWidth;
    });
  });

  if (!me || me.dataset.base === undefined) return;

  /* What follows is for the theme only. Its single-key shortcuts cannot be switched off in its
     settings and would act while someone types a name (WCAG 2.2, 2.1.4). */
  window.addEventListener("keydown", function (event) {
    var target = event.target, typing = /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName || "") ||
      target.isContentEditable;
    if (!event.ctrlKey && !event.metaKey && !event.altKey && event.key.length === 1 && !typing &&
        /^[fspn,./]$/i.test(event.key)) event.stopImmediatePropagation();
  }, true);

  window.__md_scope = new URL(me.dataset.base, location);
  window.__md_hash = function (text) {
    return Array.from(text).reduce(function (sum, c) { return (sum << 5) - sum + c.charCodeAt(0); }, 0);
  };
  window.__md_get = function (key, store, scope) {
    try {
      return JSON.parse((store || localStorage).getItem((scope || window.__md_scope).pathname + "." + key));
    } catch (e) { return null; }
  };
  window.__md_set = function (key, value, store, scope) {
    try {
      (store || localStorage).setItem((scope || window.__md_scope).pathname + "." + key, JSON.stringify(value));
    } catch (e) { /* private window */ }
  };
  document.addEventListener("DOMContentLoaded", function () {
    var target = document.getElementById(location.hash.slice(1));
    if (target && target.name) target.checked = target.name.indexOf("__tabbed_") === 0;
  });
})();
