"""Whether a colour hides its ground: the cells' colours in, contrast ratios and streaks out.

Contrast ratio: Y of a colour over a dark ground by Y of the same over a light one, both as linear
light; 0.98 is called hiding (ISO 2814:2006; ASTM D2805; the figure from memory). The two cells must
be alike in every factor of the record but `ground`. Knows nothing of underglazes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ..colour.srgb import luminance
from .hiding import Ratio, Shade, coats_with_range, ratio_of, shade_of
from .inner import inner_of
from .limits import limit
from .request import CellRequest, Request
from .results import MEASURED, CellColour, Cover
from .streaks import streaks_of
from .view import View

NO_PAIR = "not measured: needs the same colour over a light and a dark ground (factor `ground`)"
NO_STREAKS = "streaks not measured: too little of the cell shows"
COATS = "underglaze coats"
_GROUNDS = {"white slip": "light", "dark slip": "dark"}
_Where = tuple[tuple[str, str], ...]


def covers(view: View, request: Request, cells: Iterable[CellColour]) -> tuple[Cover, ...]:
    """Each painted cell that holds no line, in the request's order."""
    measured = [cell for cell in cells if cell.lab is not None]
    bright = {(cell.row, cell.column): _luminance(cell) for cell in measured}
    shades = {(cell.row, cell.column): _shade(view, cell) for cell in measured}
    grounds = _grounds(request, bright)
    pairs: dict[_Where, dict[str, list[Shade]]] = {}
    for cell in request.cells:
        spot, role = (cell.row, cell.column), grounds.get(_ground(cell))
        if _painted(cell) and role and spot in bright:
            pairs.setdefault(_without(cell, "ground"), {}).setdefault(role, []).append(shades[spot])
    ratios = {key: _ratio(both) for key, both in pairs.items()}
    series = _by_coats(request, ratios)
    return tuple(
        _cover(
            view,
            cell,
            ratios.get(_without(cell, "ground")),
            series.get(_without(cell, "ground", COATS), {}),
        )
        for cell in request.cells
        if _painted(cell)
    )


def _by_coats(
    request: Request, ratios: Mapping[_Where, Ratio | None]
) -> dict[_Where, dict[int, Ratio]]:
    """The contrast ratios of cells that differ in coats of the colour alone."""
    found: dict[_Where, dict[int, Ratio]] = {}
    for cell in request.cells:
        coats, ratio = dict(cell.where).get(COATS, ""), ratios.get(_without(cell, "ground"))
        if ratio is not None and coats.isdigit():
            found.setdefault(_without(cell, "ground", COATS), {})[int(coats)] = ratio
    return found


def _cover(
    view: View, cell: CellRequest, ratio: Ratio | None, series: Mapping[int, Ratio]
) -> Cover:
    streaks = streaks_of(view, cell.row, cell.column)
    lacks = [NO_PAIR] if ratio is None else []
    status = "; ".join([*lacks, *([NO_STREAKS] if streaks is None else [])]) or MEASURED
    if ratio is None:
        return Cover(cell.row, cell.column, None, streaks, status)
    coats = coats_with_range(series)
    return Cover(
        cell.row,
        cell.column,
        ratio.value,
        streaks,
        status,
        coats.value,
        coats.reason,
        ratio.low,
        ratio.high,
        ratio.word,
        coats.low,
        coats.high,
    )


def _ratio(both: Mapping[str, list[Shade]]) -> Ratio | None:
    if "light" not in both or "dark" not in both:
        return None
    return ratio_of(both["dark"], both["light"])


def _shade(view: View, cell: CellColour) -> Shade:
    inner = inner_of(view, cell.row, cell.column)
    return shade_of(_luminance(cell), cell.left_out, inner.tone, inner.good)


def _grounds(request: Request, bright: Mapping[tuple[int, int], float]) -> dict[str, str]:
    """Which grounds are light and which dark: slips by name, others by a cell that has no colour
    on them."""
    found = dict(_GROUNDS)
    for cell in request.cells:
        shown = bright.get((cell.row, cell.column))
        if _painted(cell) or cell.line or shown is None or _ground(cell) in _GROUNDS:
            continue
        if shown >= limit("cover_light_from"):
            found[_ground(cell)] = "light"
        elif shown <= limit("cover_dark_to"):
            found[_ground(cell)] = "dark"
    return found


def _painted(cell: CellRequest) -> bool:
    return not cell.line and dict(cell.where).get("underglaze", "none") not in ("none", "unknown")


def _ground(cell: CellRequest) -> str:
    where = dict(cell.where)
    slip = where.get("ground", "bare")
    return slip if slip != "bare" else f"bare {where.get('body', '')}".strip()


def _without(cell: CellRequest, *names: str) -> _Where:
    return tuple(pair for pair in cell.where if pair[0] not in names)


def _luminance(cell: CellColour) -> float:
    """Y of a measured cell, white = 1."""
    assert cell.lab is not None
    return luminance(cell.lab[0])
