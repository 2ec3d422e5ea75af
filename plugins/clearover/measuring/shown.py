"""A picture of what a measurement used: the straight, balanced tile with its pixels marked.

In: the view that was measured, the request, the measurement. Out: a picture with a legend. Marks
are patterns and outlines, never colour alone: what was not looked at is faded, a cell's sample has
an outline, glare is striped, what is clipped is chequered, a line's contour is drawn, and a cell
that was not measured is crossed out.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from ..photos.balanced import balanced
from .inner import inner_of
from .limits import limit
from .request import Request
from .results import MEASURED, TileMeasurement
from .strokes import Stroke, stroke_of
from .view import View

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]
Window = tuple[slice, slice]
LINE_CONTOUR = 0.6
"""Share of the way from ground to core at which a line's edge lies (ISO/IEC 24790:2017)."""
LEGEND = (
    ("sample", "sampled"),
    ("glare", "left out: glare and its halo"),
    ("clipped", "left out: clipped, too bright to read"),
    ("faded", "not looked at: edges, gaps"),
    ("crossed", "cell not measured"),
)
_LINE_HEIGHT = 30


def shown(view: View, request: Request, measured: TileMeasurement) -> Image.Image:
    """The picture, as wide as the view, its legend below."""
    pixels = np.asarray(balanced(view.light)).copy()
    looked = np.zeros(view.keep.shape, dtype=bool)
    outlines: list[Window] = []
    for cell in request.cells:
        if cell.line:
            window, good = _line(view, cell.row, cell.column, request, pixels)
        else:
            inner = inner_of(view, cell.row, cell.column)
            window, good = inner.window, inner.good
        looked[window] = True
        outlines.append(window)
        _mark(pixels[window], ~view.keep[window], ~good)
    pixels[~looked] = 255 - (255 - pixels[~looked]) // 3
    picture = Image.fromarray(pixels)
    _draw(picture, outlines, _crossed(view, measured))
    return _with_legend(picture)


def _line(
    view: View, row: int, column: int, request: Request, pixels: Pixels
) -> tuple[Window, Mask]:
    """A line's window and its good pixels; its contour is drawn into the picture."""
    window = view.window(row, column)
    good = np.asarray(view.keep[window]).copy()
    stroke = stroke_of(view, row, column, request.lower)
    if isinstance(stroke, str) or request.lower is None:
        return window, good
    inner = np.asarray(_as_seen(stroke.good, request.lower))
    core = np.asarray(_as_seen(_core(stroke), request.lower))
    at = _middle(window, inner.shape, view, stroke)
    good[at] &= _enlarged(inner, good[at].shape)
    part = pixels[window][at]
    edge = _edge(_enlarged(core, part.shape[:2]))
    part[edge[0]], part[edge[1]] = 255, 0
    return window, good


def _core(stroke: Stroke) -> Mask:
    return np.asarray((stroke.share > LINE_CONTOUR) & stroke.sound)


def _as_seen(mask: Mask, lower: str) -> Mask:
    """A stroke lies level, downhill down; back to how it lies in the view."""
    if lower in ("top", "left"):
        mask = mask[::-1]
    return mask.T if lower in ("left", "right") else mask


def _middle(window: Window, shape: tuple[int, ...], view: View, stroke: Stroke) -> Window:
    """Where in its cell's window the stroke was read: the rim left out on all sides alike."""
    by = max(1, round((view.px_per_mm or stroke.px_per_mm) / stroke.px_per_mm))
    found = []
    for part, size in zip(window, shape, strict=True):
        side, used = part.stop - part.start, min(size * by, part.stop - part.start)
        start = (side - used) // 2
        found.append(slice(start, start + used))
    return found[0], found[1]


def _enlarged(mask: Mask, shape: tuple[int, ...]) -> Mask:
    rows = np.arange(shape[0]) * mask.shape[0] // max(shape[0], 1)
    columns = np.arange(shape[1]) * mask.shape[1] // max(shape[1], 1)
    return np.asarray(mask[rows[:, None], columns[None, :]])


def _edge(mask: Mask) -> tuple[Mask, Mask]:
    """The pixels just outside and just inside a contour."""
    near = np.zeros_like(mask)
    for axis in (0, 1):
        for step in (-1, 1):
            near |= np.roll(mask, step, axis) != mask
    return near & ~mask, near & mask


def _mark(pixels: Pixels, clipped: Mask, left_out: Mask) -> None:
    """Stripes over glare, chequers over what is clipped."""
    y, x = np.mgrid[0 : pixels.shape[0], 0 : pixels.shape[1]]
    glare = left_out & ~clipped
    stripe = (x + y) // 3 % 3
    pixels[glare & (stripe == 0)], pixels[glare & (stripe == 1)] = 255, 0
    chequer = (x // 3 + y // 3) % 2 == 0
    pixels[clipped & chequer], pixels[clipped & ~chequer] = 0, 255


def _crossed(view: View, measured: TileMeasurement) -> list[Window]:
    missing = [(one.row, one.column) for one in measured.cells if one.status != MEASURED]
    missing += [(one.row, one.column) for one in measured.lines if one.width_mm is None]
    return [view.window(row, column, limit("inset")) for row, column in missing]


def _draw(picture: Image.Image, outlines: Iterable[Window], crossed: Iterable[Window]) -> None:
    pen = ImageDraw.Draw(picture)
    for rows, columns in outlines:
        box = (columns.start, rows.start, columns.stop - 1, rows.stop - 1)
        if box[2] - box[0] > 2 and box[3] - box[1] > 2:
            pen.rectangle(box, outline="white", width=1)
            pen.rectangle((box[0] + 1, box[1] + 1, box[2] - 1, box[3] - 1), outline="black")
    for rows, columns in crossed:
        for ends in ((columns.start, columns.stop), (columns.stop, columns.start)):
            line = (ends[0], rows.start, ends[1], rows.stop)
            pen.line(line, fill="white", width=7)
            pen.line(line, fill="black", width=3)


def _with_legend(picture: Image.Image) -> Image.Image:
    height = _LINE_HEIGHT * len(LEGEND) + 10
    whole = Image.new("RGB", (max(picture.width, 420), picture.height + height), "white")
    whole.paste(picture, (0, 0))
    pen, font = ImageDraw.Draw(whole), ImageFont.load_default(18)
    for number, (kind, words) in enumerate(LEGEND):
        top = picture.height + 8 + number * _LINE_HEIGHT
        whole.paste(_swatch(kind), (8, top))
        pen.text((64, top + 1), words, fill="black", font=font)
    return whole


def _swatch(kind: str) -> Image.Image:
    pixels = np.full((22, 44, 3), 120, dtype=np.uint8)
    all_, none = np.ones((22, 44), dtype=bool), np.zeros((22, 44), dtype=bool)
    if kind in ("glare", "clipped"):
        _mark(pixels, all_ if kind == "clipped" else none, all_)
    if kind == "faded":
        pixels[:] = 255 - (255 - pixels) // 3
    picture = Image.fromarray(pixels)
    window = (slice(0, 22), slice(0, 44))
    _draw(picture, [] if kind == "faded" else [window], [window] if kind == "crossed" else [])
    return picture
