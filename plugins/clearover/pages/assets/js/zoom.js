/* Look closer at a photo: its largest size over the page, drawn nearer by wheel, pinch, buttons or
   the + and - keys, moved by dragging or scrolling. Without this script the link opens the file. */
(function () {
  "use strict";
  if (!window.HTMLDialogElement) return;
  var MOST = 4, box, pane, picture, scale = 1, fit = 1, held = new Map(), apart = 0;

  function button(text, does) {
    var made = document.createElement("button");
    made.type = "button";
    made.textContent = text;
    made.addEventListener("click", does);
    return made;
  }
  function show(to, x, y) { // the point under x, y (px of the pane) stays where it is
    var next = Math.min(Math.max(to, fit), Math.max(MOST, fit)), by = next / scale;
    if (x === undefined) { x = pane.clientWidth / 2; y = pane.clientHeight / 2; }
    var left = (pane.scrollLeft + x) * by - x, top = (pane.scrollTop + y) * by - y;
    scale = next;
    picture.style.width = picture.naturalWidth * scale + "px";
    pane.scrollLeft = left;
    pane.scrollTop = top;
  }
  function begin() {
    fit = Math.min(pane.clientWidth / picture.naturalWidth, pane.clientHeight / picture.naturalHeight);
    scale = fit;
    show(fit);
  }
  function span() {
    var all = Array.from(held.values());
    return Math.hypot(all[0].clientX - all[1].clientX, all[0].clientY - all[1].clientY);
  }
  function inPane(x, y) { var at = pane.getBoundingClientRect(); return [x - at.left, y - at.top]; }

  function build() {
    box = document.createElement("dialog");
    box.className = "zoom";
    box.setAttribute("aria-label", "The photo, nearer");
    pane = document.createElement("div");
    pane.className = "pane";
    pane.tabIndex = 0;
    picture = new Image();
    picture.draggable = false;
    picture.addEventListener("load", begin);
    pane.append(picture);
    var row = document.createElement("div");
    row.className = "keys";
    row.append(button("Nearer", function () { show(scale * 1.5); }),
      button("Farther", function () { show(scale / 1.5); }),
      button("Close", function () { box.close(); }));
    box.append(row, pane);
    document.body.append(box);
    window.addEventListener("resize", function () { if (box.open) begin(); });
    box.addEventListener("keydown", function (event) {
      if (event.key === "+" || event.key === "=") show(scale * 1.5);
      if (event.key === "-") show(scale / 1.5);
    });
    pane.addEventListener("wheel", function (event) {
      event.preventDefault();
      var at = inPane(event.clientX, event.clientY);
      show(scale * Math.exp(-event.deltaY / 400), at[0], at[1]);
    }, { passive: false });
    pane.addEventListener("pointerdown", function (event) {
      held.set(event.pointerId, event);
      pane.setPointerCapture(event.pointerId);
      apart = held.size === 2 ? span() : 0;
    });
    pane.addEventListener("pointermove", function (event) {
      var last = held.get(event.pointerId);
      if (!last) return;
      held.set(event.pointerId, event);
      if (held.size === 1) {
        pane.scrollLeft -= event.clientX - last.clientX;
        pane.scrollTop -= event.clientY - last.clientY;
      } else if (held.size === 2 && apart) {
        var all = Array.from(held.values()), now = span();
        var at = inPane((all[0].clientX + all[1].clientX) / 2, (all[0].clientY + all[1].clientY) / 2);
        show(scale * now / apart, at[0], at[1]);
        apart = now;
      }
    });
    ["pointerup", "pointercancel"].forEach(function (name) {
      pane.addEventListener(name, function (event) { held.delete(event.pointerId); apart = 0; });
    });
  }
  document.querySelectorAll("a.picture, a.closer").forEach(function (link) {
    link.addEventListener("click", function (event) {
      if (event.button || event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      if (!box) build();
      var from = link.querySelector("img");
      picture.alt = from ? from.alt : link.getAttribute("data-alt") || "";
      held.clear();
      box.showModal();
      if (picture.getAttribute("src") === link.getAttribute("href")) begin();
      else picture.src = link.getAttribute("href");
      pane.focus();
    });
  });
})();
