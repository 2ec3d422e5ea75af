/* Mark a photo: the corners of the grid and of the grey card, touched, dragged or moved by keys.
   In: a photo the visitor picks. Out: text to copy, made by mark-lines.js. Nothing is sent, stored
   or fetched.
   Points are px of the photo at full size, after its own orientation: the browser turns it upright. */
(function () {
  "use strict";

  var root = document.getElementById("mark-photo"), work = window.clearoverMark;
  if (!root || !work) return;
  var part = {};
  root.querySelectorAll("[data-part]").forEach(function (el) { part[el.dataset.part] = el; });
  var EDGE_MIN = Number(root.dataset.edgeMin);
  var CORNERS = ["top left", "top right", "bottom right", "bottom left"];
  var PAD = 22, TOUCH = 44, LOUPE = 132, ZOOM = 4, RING = 12;   // px on the screen; PAD and TOUCH as in the style
  var distance = work.distance;

  var photo = null;                 // {image, name, width, height, scale}: scale is px on screen per px of photo
  var marks = { grid: [], card: [] };
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
    var low = target === "grid" ? 0.12 : 0.4, high = 1 - low, w = photo.width, h = photo.height;
    remember();
    marks[target] = [[low, low], [high, low], [high, high], [low, high]].map(function (p) { return [p[0] * w, p[1] * h]; });
    chosen = { set: target, index: 0 };
    show();
    focusChosen();
  }

  var actions = {
    undo: function () {
      if (!history.length) return;
      var old = JSON.parse(history.pop());
      marks = old.marks; target = old.target; chosen = null; series = "";
      show();
    },
    lay: layOn,
    card: function () { remember(); target = "card"; if (marks.card.length === 4) marks.card = []; chosen = null; show(); },
    clear: function () { remember(); marks = { grid: [], card: [] }; target = "grid"; chosen = null; show(); },
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
    return marks.card.length === 4 ? "Grid and grey card are marked." : "The grid is marked. Is a grey card in the photo? Mark it too.";
  }

  function show() {
    if (!photo) return;
    var asked = question();
    if (part.ask.textContent !== asked) part.ask.textContent = asked;
    part.stage.classList.toggle("mp-placing", marks[target].length < 4);
    showHandles();
    showOutline();
    var warnings = [
      work.outlineFault("The grid", marks.grid, EDGE_MIN),
      work.outlineFault("The grey card", marks.card, EDGE_MIN),
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
    root.querySelector('[data-do="card"]').disabled = marks.grid.length < 4;
    root.querySelector('[data-do="lay"]').disabled = marks[target].length === 4;
    part.lines.value = work.lines({
      file: photo.name, grid: marks.grid, card: marks.card, sizes: sizes(),
      reflectance: number("reflectance"), plain: part.plain.checked
    });
    part.lines.rows = part.lines.value.split("\n").length;
    part.copied.textContent = "";
  }

  function nameOf(set, index) {
    var point = marks[set][index];
    var name = set === "grid" ? "Grid, " + CORNERS[index] : "Grey card, corner " + (index + 1);
    return name + ": " + Math.round(point[0]) + ", " + Math.round(point[1]);
  }

  function showHandles() {
    var wanted = [];
    ["grid", "card"].forEach(function (set) { marks[set].forEach(function (_, index) { wanted.push([set, index]); }); });
    while (part.handles.children.length > wanted.length) part.handles.lastChild.remove();
    while (part.handles.children.length < wanted.length) {
      var made = document.createElement("button");
      made.type = "button";
      made.append(document.createElement("span"));
      part.handles.append(made);
    }
    wanted.forEach(function (pair, at) {
      var el = part.handles.children[at], point = marks[pair[0]][pair[1]];
      var isChosen = chosen && chosen.set === pair[0] && chosen.index === pair[1];
      el.className = "mp-handle mp-" + pair[0] + (isChosen ? " mp-chosen-one" : "");
      el.dataset.set = pair[0];
      el.dataset.index = pair[1];
      el.firstChild.textContent = pair[1] + 1;
      el.setAttribute("aria-label", nameOf(pair[0], pair[1]));
      el.style.transform = "translate(" + (PAD - TOUCH / 2 + point[0] * photo.scale) + "px," + (PAD - TOUCH / 2 + point[1] * photo.scale) + "px)";
    });
  }

  function showOutline() {
    part.outline.replaceChildren();
    ["grid", "card"].forEach(function (set) {
      var points = marks[set].map(function (p) { return p[0] * photo.scale + "," + p[1] * photo.scale; });
      if (points.length === 4) points.push(points[0]);
      ["mp-under", "mp-over-line mp-" + set].forEach(function (name) {
        var line = document.createElementNS("http://www.w3.org/2000/svg", "polyline");
        line.setAttribute("points", points.join(" "));
        line.setAttribute("class", name);
        part.outline.append(line);
      });
    });
  }

  function focusChosen() {
    var at = chosen && (chosen.set === "grid" ? 0 : marks.grid.length) + chosen.index;
    if (chosen && part.handles.children[at]) part.handles.children[at].focus({ preventScroll: true });
  }

  /* A round glass over the spot, four times as large, above the finger or beside it. */
  function loupe(point) {
    part.loupe.hidden = !point;
    if (!point) return;
    var pen = part.loupe.getContext("2d"), size = part.loupe.width, reach = LOUPE / ZOOM / photo.scale / 2;
    pen.fillStyle = "#777";
    pen.fillRect(0, 0, size, size);
    var ratio = size / (2 * reach);
    pen.drawImage(photo.image, (reach - point[0]) * ratio, (reach - point[1]) * ratio, photo.width * ratio, photo.height * ratio);
    [["#fff", 4], ["#84361a", 2]].forEach(function (stroke) {
      pen.strokeStyle = stroke[0];
      pen.lineWidth = stroke[1];
      pen.beginPath();
      pen.moveTo(size / 2, size * 0.3); pen.lineTo(size / 2, size * 0.7);
      pen.moveTo(size * 0.3, size / 2); pen.lineTo(size * 0.7, size / 2);
      pen.stroke();
    });
    var x = PAD + point[0] * photo.scale, y = PAD + point[1] * photo.scale;
    var left = Math.min(Math.max(0, x - LOUPE / 2), part.stage.clientWidth - LOUPE), top = y - LOUPE - 48;
    if (top < 0) { top = Math.max(0, y - LOUPE / 2); left = x > part.stage.clientWidth / 2 ? x - LOUPE - 48 : x + 48; }
    part.loupe.style.transform = "translate(" + left + "px," + top + "px)";
  }

  function fit() {
    if (!photo) return;
    var room = part.work.clientWidth - 2 * PAD;
    photo.scale = Math.min(room / photo.width, Math.max(240, window.innerHeight * 0.72) / photo.height, 1);
    var width = photo.width * photo.scale, height = photo.height * photo.scale;
    var sharp = Math.min(window.devicePixelRatio || 1, 2);
    part.photo.width = Math.round(width * sharp);
    part.photo.height = Math.round(height * sharp);
    [part.photo, part.outline].forEach(function (el) { el.style.width = width + "px"; el.style.height = height + "px"; });
    var pen = part.photo.getContext("2d");
    pen.imageSmoothingQuality = "high";
    pen.drawImage(photo.image, 0, 0, part.photo.width, part.photo.height);
    show();
  }

  /* --- pointer and keys --- */
  function pointOf(event) {
    var box = part.photo.getBoundingClientRect();
    return [(event.clientX - box.left) / photo.scale, (event.clientY - box.top) / photo.scale];
  }

  /* While corners are still being set, a touch near one may mean the next: only its ring holds it. */
  function onRing(handle, at) {
    return distance(marks[handle.dataset.set][handle.dataset.index], at) * photo.scale < RING;
  }

  part.stage.addEventListener("pointerdown", function (event) {
    if (!photo || held || event.button !== 0) return;
    var at = pointOf(event), before = snapshot(), handle = event.target.closest(".mp-handle");
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
    var at = pointOf(event);
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
    focusChosen();
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

  /* --- taking a photo in --- */
  function trouble(text) {
    part.trouble.textContent = text;
    part.trouble.hidden = !text;
  }

  function whyNot(start) {
    var text = String.fromCharCode.apply(null, start);
    if (/^....ftyp.*(hei[cxms]|hevc|mif1)/s.test(text)) return "This is a HEIC photo, which browsers and the site cannot show. Set the phone’s camera to its most compatible format, or export the photo as JPEG.";
    return "This file cannot be shown as a photo. Use a JPEG, PNG or WebP, and check that the file is whole.";
  }

  function take(file) {
    var url = URL.createObjectURL(file), image = new Image();
    image.onload = function () {
      trouble("");
      URL.revokeObjectURL(url);
      photo = { image: image, name: file.name, width: image.naturalWidth, height: image.naturalHeight, scale: 1 };
      marks = { grid: [], card: [] }; target = "grid"; chosen = null; history = []; series = "";
      part.work.hidden = false;
      part.drop.classList.add("mp-small");
      part["drop-words"].textContent = file.name + " (" + photo.width + " × " + photo.height + " px): choose another";
      part.clean.textContent = "clearover clean-photo " + (/^[\w.\/-]+$/.test(file.name) ? file.name : "'" + file.name.replace(/'/g, "'\\''") + "'");
      fit();
      part.ask.scrollIntoView({ block: "start" });   // question and photo together on the screen
    };
    image.onerror = function () {
      URL.revokeObjectURL(url);
      file.slice(0, 64).arrayBuffer().then(function (data) { trouble(whyNot(new Uint8Array(data))); }, function () { trouble(whyNot([])); });
    };
    image.src = url;
  }

  part.file.addEventListener("change", function () {
    if (part.file.files.length) take(part.file.files[0]);
    part.file.value = "";
  });
  ["dragover", "drop"].forEach(function (name) {
    // Anywhere on the page: a photo dropped beside the field must not replace the page.
    document.addEventListener(name, function (event) {
      if (!event.dataTransfer || Array.prototype.indexOf.call(event.dataTransfer.types, "Files") < 0) return;
      event.preventDefault();
      part.drop.classList.toggle("mp-over", name === "dragover");
      if (name === "drop" && event.dataTransfer.files.length) take(event.dataTransfer.files[0]);
    });
  });
  document.addEventListener("dragleave", function () { part.drop.classList.remove("mp-over"); });
  part.drop.hidden = false;
}());
