/* Mark a photo: the corners of the grid, of the grey card and of the colour chart, touched, dragged
   or moved by keys.
   In: a photo from mark-take.js. Out: text to copy, made by mark-lines.js; what is on the screen is
   drawn by mark-board.js.
   Points are px of the photo at full size, after its own orientation: the browser turns it upright. */
(function () {
  "use strict";

  var root = document.getElementById("mark-photo"), work = window.clearoverMark;
  if (!root) return;
  var part = {};
  root.querySelectorAll("[data-part]").forEach(function (el) { part[el.dataset.part] = el; });
  var EDGE_MIN = Number(root.dataset.edgeMin);
  var CORNERS = ["top left", "top right", "bottom right", "bottom left"];
  var PATCHES = ["dark brown", "blue-green", "black", "white"];   // at the corners of a colour chart, clockwise
  var LAID = { grid: 0.12, card: 0.4, chart: 0.3 };   // where corners laid on begin, share of the photo
  var RING = 12;                    // px on the screen
  var distance = work.distance, board = window.clearoverBoard(part);

  var photo = null;                 // {image, name, width, height, scale}: scale is px on screen per px of photo
  var marks = unmarked();
  var target = "grid";              // what the next touch marks
  var chosen = null;                // {set, index}
  var history = [];
  var series = "";                  // a row of small moves is undone at once
  var held = null;                  // the pointer that is down: {id, set, index, dx, dy, before}

  function number(name) {
    var value = Number(part[name].value);
    return part[name].value.trim() && isFinite(value) && value > 0 ? value : null;
  }

  function sizes() { return { width: number("width"), height: number("height") }; }

  function unmarked() { return { grid: [], card: [], chart: [] }; }

  /* --- changing marks --- */
  function snapshot() { return JSON.stringify({ marks: marks, target: target }); }

  function remember(name) {
    if (name && series === name) return;
    history.push(snapshot());
    series = name || "";
  }

  function inside(point) {
    return [Math.min(photo.width, Math.max(0, point[0])), Math.min(photo.height, Math.max(0, point[1]))];
  }

  function place(point) {
    marks[target].push(inside(point));
    chosen = { set: target, index: marks[target].length - 1 };
  }

  function moveChosen(dx, dy, name) {
    if (!chosen) return;
    remember(name);
    var point = marks[chosen.set][chosen.index];
    marks[chosen.set][chosen.index] = inside([Math.round(point[0]) + dx, Math.round(point[1]) + dy]);
    show();
    loupe(marks[chosen.set][chosen.index]);
  }

  function layOn() {
    var low = LAID[target], high = 1 - low, w = photo.width, h = photo.height;
    remember();
    marks[target] = [[low, low], [high, low], [high, high], [low, high]].map(function (p) { return [p[0] * w, p[1] * h]; });
    chosen = { set: target, index: 0 };
    show();
    board.focus(marks, chosen);
  }

  /* The next touches mark a card or a chart; one that was marked is marked anew. */
  function begin(set) {
    remember();
    target = set;
    if (marks[set].length === 4) marks[set] = [];
    chosen = null;
    show();
  }

  var actions = {
    undo: function () {
      if (!history.length) return;
      var old = JSON.parse(history.pop());
      marks = old.marks; target = old.target; chosen = null; series = "";
      show();
    },
    lay: layOn,
    card: function () { begin("card"); },
    chart: function () { begin("chart"); },
    clear: function () { remember(); marks = unmarked(); target = "grid"; chosen = null; show(); },
    copy: copy
  };

  function copy() {
    function said(ok) { part.copied.textContent = ok ? "Copied." : "Select the lines and copy them by hand."; }
    function byHand() { part.lines.focus(); part.lines.select(); said(document.execCommand("copy")); }
    if (!navigator.clipboard) return byHand();
    navigator.clipboard.writeText(part.lines.value).then(function () { said(true); }, byHand);
  }

  /* --- showing --- */
  function question() {
    var count = marks[target].length;
    if (target === "grid" && count < 4) return "Corner " + (count + 1) + " of 4: touch the grid’s " + CORNERS[count] + (count ? "." : ". Where the tile lies turned, the tile’s own top left counts.");
    if (target === "card" && count < 4) return "Grey card, corner " + (count + 1) + " of 4: " + (count ? "go on clockwise." : "begin at its top left.");
    if (target === "chart" && count < 4) return "Colour chart, corner " + (count + 1) + " of 4: the outer corner of the " + PATCHES[count] + " patch" + (count ? "." : ". If it is not at the top left, the chart lies turned: it counts all the same.");
    var done = [marks.card.length === 4 && "grey card", marks.chart.length === 4 && "colour chart"].filter(Boolean);
    if (!done.length) return "The grid is marked. Is a grey card or a colour chart in the photo? Mark it too.";
    return ["Grid"].concat(done.slice(0, -1)).join(", ") + " and " + done[done.length - 1] + " are marked.";
  }

  function show() {
    if (!photo) return;
    var asked = question();
    if (part.ask.textContent !== asked) part.ask.textContent = asked;
    part.stage.classList.toggle("mp-placing", marks[target].length < 4);
    board.handles(photo, marks, chosen, nameOf);
    board.outlines(photo, marks);
    var warnings = [
      work.outlineFault("grid", marks.grid, EDGE_MIN),
      work.outlineFault("card", marks.card, EDGE_MIN),
      work.outlineFault("chart", marks.chart, EDGE_MIN),
      work.chartFault(marks.chart, EDGE_MIN),
      work.sizeFault(marks.grid, sizes(), EDGE_MIN)
    ].filter(Boolean);
    var told = Array.prototype.map.call(part.warnings.children, function (li) { return li.textContent; });
    if (told.join("|") !== warnings.join("|")) {
      part.warnings.replaceChildren.apply(part.warnings, warnings.map(function (text) {
        var li = document.createElement("li");
        li.textContent = text;
        return li;
      }));
    }
    part.grey.hidden = marks.card.length < 4;
    part.nudge.hidden = !chosen;
    part.chosen.textContent = chosen ? nameOf(chosen.set, chosen.index) : "";
    root.querySelector('[data-do="undo"]').disabled = !history.length;
    ["card", "chart"].forEach(function (set) { root.querySelector('[data-do="' + set + '"]').disabled = marks.grid.length < 4; });
    root.querySelector('[data-do="lay"]').disabled = marks[target].length === 4;
    part.lines.value = work.lines({
      file: photo.name, grid: marks.grid, card: marks.card, chart: marks.chart, sizes: sizes(),
      reflectance: number("reflectance"), plain: part.plain.checked
    });
    part.lines.rows = part.lines.value.split("\n").length;
    part.copied.textContent = "";
  }

  function nameOf(set, index) {
    var point = marks[set][index];
    var names = { grid: "Grid, " + CORNERS[index], card: "Grey card, corner " + (index + 1), chart: "Colour chart, " + PATCHES[index] };
    return names[set] + ": " + Math.round(point[0]) + ", " + Math.round(point[1]);
  }

  function loupe(point) { board.loupe(photo, point); }

  function fit() {
    if (!photo) return;
    board.fit(photo);
    show();
  }

  /* --- pointer and keys --- */
  /* While corners are still being set, a touch near one may mean the next: only its ring holds it. */
  function onRing(handle, at) {
    return distance(marks[handle.dataset.set][handle.dataset.index], at) * photo.scale < RING;
  }

  part.stage.addEventListener("pointerdown", function (event) {
    if (!photo || held || event.button !== 0) return;
    var at = board.pointOf(photo, event), before = snapshot(), handle = event.target.closest(".mp-handle");
    if (handle && marks[target].length < 4 && !onRing(handle, at)) handle = null;
    if (handle) {
      chosen = { set: handle.dataset.set, index: Number(handle.dataset.index) };
      var point = marks[chosen.set][chosen.index];
      held = { id: event.pointerId, dx: point[0] - at[0], dy: point[1] - at[1], before: before, moved: false };
    } else if (marks[target].length < 4) {
      place(at);
      held = { id: event.pointerId, dx: 0, dy: 0, before: before, moved: true };
    } else { return; }
    event.preventDefault();
    part.stage.setPointerCapture(event.pointerId);
    show();
    loupe(marks[chosen.set][chosen.index]);
  });

  part.stage.addEventListener("pointermove", function (event) {
    if (!held || event.pointerId !== held.id) return;
    var at = board.pointOf(photo, event);
    held.moved = true;
    marks[chosen.set][chosen.index] = inside([at[0] + held.dx, at[1] + held.dy]);
    show();
    loupe(marks[chosen.set][chosen.index]);
  });

  function letGo(event) {
    if (!held || event.pointerId !== held.id) return;
    if (event.type === "pointercancel") {
      marks = JSON.parse(held.before).marks;
      chosen = null;
    } else if (held.moved) {
      history.push(held.before);
      series = "";
    }
    held = null;
    loupe(null);
    show();
    board.focus(marks, chosen);
  }
  part.stage.addEventListener("pointerup", letGo);
  part.stage.addEventListener("pointercancel", letGo);

  part.handles.addEventListener("focusin", function (event) {
    var handle = event.target.closest(".mp-handle");
    if (!handle || held) return;
    var next = { set: handle.dataset.set, index: Number(handle.dataset.index) };
    if (!chosen || chosen.set !== next.set || chosen.index !== next.index) { chosen = next; series = ""; show(); }
  });
  part.handles.addEventListener("focusout", function () { if (!held) loupe(null); });

  var STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  part.handles.addEventListener("keydown", function (event) {
    var step = STEPS[event.key], far = event.shiftKey ? 10 : 1;
    if (!step || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    moveChosen(step[0] * far, step[1] * far, "keys " + chosen.set + chosen.index);
  });

  root.addEventListener("keydown", function (event) {
    var typing = event.target.matches("input:not([type=checkbox]), textarea");
    if (photo && !typing && (event.ctrlKey || event.metaKey) && !event.shiftKey && event.key.toLowerCase() === "z") {
      event.preventDefault();
      actions.undo();
    }
  });

  root.addEventListener("click", function (event) {
    var button = event.target.closest("button");
    if (!button || !photo) return;
    if (button.dataset.do) actions[button.dataset.do]();
    if (button.dataset.nudge && chosen) {
      var step = button.dataset.nudge.split(" ").map(Number);
      var far = Math.max(1, Math.round(Math.max(photo.width, photo.height) / 1000));
      moveChosen(step[0] * far, step[1] * far, "nudge " + chosen.set + chosen.index);
      window.clearTimeout(loupe.later);
      loupe.later = window.setTimeout(function () { if (!held) loupe(null); }, 1500);
    }
  });

  ["width", "height", "reflectance", "plain"].forEach(function (name) { part[name].addEventListener("input", show); });
  window.addEventListener("resize", fit);

  var save = window.clearoverSave(part, function (name) { photo.name = name; show(); });

  window.clearoverTake(part, function (taken, cleaned) {
    photo = taken;
    marks = unmarked(); target = "grid"; chosen = null; history = []; series = "";
    part.work.hidden = false;
    save.offer(cleaned, photo.name);
    fit();
    part.panel.scrollIntoView({ block: "start" });   // what it tells, question and photo together on the screen
  });
}());
