"""Each painted line of a tile in numbers: a view and a request in, `LineMeasure`s out.

Terms after ISO/IEC 24790:2017 and ISO/IEC 13660:2001 (definitions from memory): width between the
two contours at 60 % of the change from ground to line; blur, the 10 to 90 % distance of an edge;
raggedness, the contour's standard deviation from a smooth curve (the contour is sampled at every px
of the view, averaged over 0.3 mm); darkness, the optical density of the core. All in linear light.
"""

from __future__ import annotations

import math

from .drag import NINETY, Blur, camera_blur, drag_of, kind_of
from .edges import Edges, edges_of
from .light import LUMA
from .limits import limit
from .request import CellRequest, Request
from .results import MEASURED, LineMeasure
from .strokes import Stroke, stroke_of
from .view import View

NO_EDGE = "the record must say which edge was down (`lower edge`)"
FLAT = "a flat tile has no drag"
OUT = "its tail runs out of the cell"
SMUDGED = "the brush moved its colour"
UPHILL = "it drags uphill: the photo may be mirrored or `lower edge` wrong"


def line_measures(view: View, request: Request) -> tuple[LineMeasure, ...]:
    """Every line that the request names, in its order. Never raises for what a photo may show."""
    found = [(cell, _traced(view, cell, request.lower)) for cell in request.cells if cell.line]
    traced = [one[1] for _, one in found if not isinstance(one, str)]
    blur = camera_blur(traced)
    return tuple(
        _failed(cell, one) if isinstance(one, str) else _measured(cell, *one, blur, request)
        for cell, one in found
    )


def _traced(view: View, cell: CellRequest, lower: str | None) -> tuple[Stroke, Edges] | str:
    stroke = stroke_of(view, cell.row, cell.column, lower)
    if isinstance(stroke, str):
        return stroke
    edges = edges_of(stroke)
    return edges if isinstance(edges, str) else (stroke, edges)


def _failed(cell: CellRequest, why: str) -> LineMeasure:
    nothing = (None,) * 11
    return LineMeasure(cell.row, cell.column, *nothing, f"not measured: {why}")


def _measured(
    cell: CellRequest, stroke: Stroke, edges: Edges, blur: Blur, request: Request
) -> LineMeasure:
    scale = stroke.px_per_mm
    drag = drag_of(edges, blur, scale)
    kind = kind_of(edges, drag)
    half = NINETY * drag.deviation
    why = _no_drag(edges, kind, request) or _unsure(drag.drag, half)
    if kind == "dragged" and why in (FLAT, NO_EDGE):
        kind = "softened or bled"
    uphill = why is None and drag.drag < -max(half, drag.limit, limit("drag_word_mm"))
    kind = "dragged" if uphill else kind
    return LineMeasure(
        row=cell.row,
        column=cell.column,
        width_mm=edges.width / scale,
        blur_mm=(drag.upper + drag.lower) / 2,
        raggedness_mm=math.hypot(edges.upper.rough, edges.lower.rough) / math.sqrt(2) / scale,
        darkness=-math.log10(max(float(stroke.core @ LUMA), 1e-3)),
        upper_mm=drag.upper,
        lower_mm=drag.lower,
        drag_mm=None if why else drag.drag,
        drag_low_mm=None if why else drag.drag - half,
        drag_high_mm=None if why else drag.drag + half,
        limit_mm=None if why else drag.limit,
        kind=kind,
        status=f"measured, but no drag: {why}" if why else MEASURED,
        note=UPHILL if uphill else "",
        contrast=stroke.contrast,
    )


def _unsure(drag: float, half: float) -> str | None:
    """Why a drag is not told whose range would say nothing."""
    if half <= max(limit("drag_half_mm"), limit("drag_half_share") * abs(drag)):
        return None
    return f"it would be no surer than ± {half:.1f} mm"


def _no_drag(edges: Edges, kind: str, request: Request) -> str | None:
    if not request.upright:
        return FLAT
    if request.lower is None:
        return NO_EDGE
    if kind == "smudged":
        return SMUDGED
    return OUT if edges.lower.reaches_out or edges.upper.reaches_out else None
