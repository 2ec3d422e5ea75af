/* What four marked corners say: what is wrong with them, and the lines for the record.
   In: points, px of the upright photo. Out: text. Knows nothing of the page.
   The rules are those of the check of records (photos/check.py); a test holds both together. */
(function () {
  "use strict";

  var ONE_DEGREE = 0.0175;
  var FROM = { grid: "the tile’s own top left", card: "its top left", chart: "the dark brown patch" };
  var NAMES = { grid: "The grid", card: "The grey card", chart: "The colour chart" };
  var CHART = { width: 6, height: 4 };   // patches: each row has six

  function distance(a, b) { return Math.hypot(a[0] - b[0], a[1] - b[1]); }

  function edges(points) {
    return points.map(function (point, at) { return distance(point, points[(at + 1) % 4]); });
  }

  function turns(points) {
    return points.map(function (b, at) {
      var a = points[(at + 3) % 4], c = points[(at + 1) % 4];
      var cross = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
      return Math.abs(cross) > ONE_DEGREE * distance(a, b) * distance(b, c) ? Math.sign(cross) : 0;
    });
  }

  /* One sentence on what is wrong with four corners, or "". `set` is grid, card or chart. */
  function outlineFault(set, points, edgeMin) {
    if (points.length < 4) return "";
    var what = NAMES[set], order = "clockwise, from " + FROM[set];
    var shortest = Math.min.apply(null, edges(points)), turned = turns(points);
    if (shortest < edgeMin) {
      return what + " is tiny: one edge is " + Math.round(shortest) + " px long and needs " + edgeMin + " px. Go closer, or mark all of it.";
    }
    if (turned.every(function (t) { return t < 0; })) return what + " runs anticlockwise. Mark it " + order + ".";
    if (turned.every(function (t) { return t > 0; })) return "";
    if (turned.indexOf(0) >= 0) return what + " has three corners in a line.";
    var right = turned.filter(function (t) { return t > 0; }).length;
    return what + (right === 2 ? " crosses itself" : " is dented inward") + ". Mark it " + order + ".";
  }

  function shape(points) {
    var edge = edges(points);
    return (edge[0] + edge[2]) / (edge[1] + edge[3]);
  }

  /* Whether a shape fits its sizes far better the other way round. */
  function fitsTurned(seen, sizes) {
    var said = sizes.width / sizes.height;
    var off = Math.abs(Math.log(seen / said)), swapped = Math.abs(Math.log(seen * said));
    return off > 0.35 && swapped < off / 2;
  }

  /* A doubt where the first side of a chart seems to be one of four patches, or "". */
  function chartFault(chart, edgeMin) {
    if (chart.length < 4 || outlineFault("chart", chart, edgeMin) || !fitsTurned(shape(chart), CHART)) return "";
    return "The first side of the colour chart should be the row of six patches that begins with the dark brown one: is the first corner the dark brown patch’s?";
  }

  /* A doubt where the sizes fit the outline far better the other way round, or "". */
  function sizeFault(grid, sizes, edgeMin) {
    if (grid.length < 4 || !sizes.width || !sizes.height || outlineFault("grid", grid, edgeMin)) return "";
    var seen = shape(grid);
    if (!fitsTurned(seen, sizes)) return "";
    return "In the photo the grid is " + (seen > 1 ? "wider than high" : "higher than wide") +
      ", the sizes say otherwise: are width and height swapped, or is the first corner not the tile’s own top left?";
  }

  function listed(points) {
    return "[" + points.map(function (p) { return "[" + Math.round(p[0]) + ", " + Math.round(p[1]) + "]"; }).join(", ") + "]";
  }

  function fileName(name) {
    return /^[\p{L}\p{N}_](?:[\p{L}\p{N}_.() -]*[\p{L}\p{N}_)])?$/u.test(name) ? name : JSON.stringify(name);
  }

  /* The photo's entry in a tile's record. */
  function lines(marked) {
    var out = ["photos:", "  - file: " + fileName(marked.file)];
    if (marked.grid.length === 4) out.push("    corners: " + listed(marked.grid));
    if (marked.card.length === 4) {
      out.push("    grey card: " + listed(marked.card));
      if (marked.reflectance) out.push("    grey card reflectance: " + marked.reflectance);
    }
    if (marked.chart.length === 4) out.push("    colour chart: " + listed(marked.chart));
    if (marked.sizes.width) out.push("    width mm: " + marked.sizes.width);
    if (marked.sizes.height) out.push("    height mm: " + marked.sizes.height);
    if (marked.plain) out.push("    backdrop: plain");
    return out.join("\n") + "\n";
  }

  window.clearoverMark = {
    distance: distance, outlineFault: outlineFault, sizeFault: sizeFault, chartFault: chartFault, lines: lines
  };
}());
