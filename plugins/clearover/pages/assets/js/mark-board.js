/* The board: the photo with its marks on the screen, and the glass over the spot being marked.
   In: a photo and marks in its px. Out: what one sees; and where on the photo a pointer stands.
   Changes no mark. */
(function () {
  "use strict";

  var PAD = 22, TOUCH = 44, LOUPE = 132, ZOOM = 4;   // px on the screen; PAD and TOUCH as in the style
  var IRON = "#84361a";
  var SETS = ["grid", "card", "chart"];   // in the order of their buttons

  window.clearoverBoard = function (part) {
    /* Draws the photo as large as there is room; sets its `scale`, px on screen per px of photo. */
    function fit(photo) {
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
    }

    function pointOf(photo, event) {
      var box = part.photo.getBoundingClientRect();
      return [(event.clientX - box.left) / photo.scale, (event.clientY - box.top) / photo.scale];
    }

    /* One button for each mark, kept between calls so that the focus stays. */
    function handles(photo, marks, chosen, nameOf) {
      var wanted = [];
      SETS.forEach(function (set) { marks[set].forEach(function (_, index) { wanted.push([set, index]); }); });
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

    function outlines(photo, marks) {
      part.outline.replaceChildren();
      SETS.forEach(function (set) {
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

    function focus(marks, chosen) {
      if (!chosen) return;
      var before = SETS.slice(0, SETS.indexOf(chosen.set)).reduce(function (sum, set) { return sum + marks[set].length; }, 0);
      var handle = part.handles.children[before + chosen.index];
      if (handle) handle.focus({ preventScroll: true });
    }

    /* A round glass over the spot, four times as large, above the finger or beside it. */
    function loupe(photo, point) {
      part.loupe.hidden = !point;
      if (!point) return;
      var pen = part.loupe.getContext("2d"), size = part.loupe.width, reach = LOUPE / ZOOM / photo.scale / 2;
      pen.fillStyle = "#777";
      pen.fillRect(0, 0, size, size);
      var ratio = size / (2 * reach);
      pen.drawImage(photo.image, (reach - point[0]) * ratio, (reach - point[1]) * ratio, photo.width * ratio, photo.height * ratio);
      [["#fff", 4], [IRON, 2]].forEach(function (stroke) {
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

    return { fit: fit, pointOf: pointOf, handles: handles, outlines: outlines, focus: focus, loupe: loupe };
  };
}());
