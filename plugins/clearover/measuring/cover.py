"""Whether a colour hides its ground: the cells' colours in, contrast ratios and streaks out.

Contrast ratio: Y of a colour over a dark ground by Y of the same over a light one, both as linear
light; 0.98 is called hiding (ISO 2814:2006; ASTM D2805; the figure from memory). The two cells must
be alike in every factor of the record but `ground`. Knows nothing of underglazes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

import numpy as np

from ..colour.srgb import luminance
from .limits import limit
from .request import CellRequest, Request
from .results import MEASURED, CellColour, Cover
from .streaks import streaks_of
from .view import View

NO_PAIR = "not measured: needs the same colour over a light and a dark ground (factor `ground`)"
COATS = "underglaze coats"
_GROUNDS = {"white slip": "light", "dark slip": "dark"}
_Where = tuple[tuple[str, str], ...]


def covers(view: View, request: Request, cells: Iterable[CellColour]) -> tuple[Cover, ...]:
    """Each painted cell that holds no line, in the request's order."""
    bright = {(c.row, c.column): _luminance(c) for c in cells if c.lab is not None}
    grounds = _grounds(request, bright)
    pairs: dict[_Where, dict[str, list[float]]] = {}
    for cell in request.cells:
        spot, role = (cell.row, cell.column), grounds.get(_ground(cell))
        if _painted(cell) and role and spot in bright:
            pairs.setdefault(_without(cell, "ground"), {}).setdefault(role, []).append(bright[spot])
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
    request: Request, ratios: Mapping[_Where, float | None]
) -> dict[_Where, dict[int, float]]:
    """The contrast ratios of cells that differ in coats of the colour alone."""
    found: dict[_Where, dict[int, float]] = {}
    for cell in request.cells:
        coats, ratio = dict(cell.where).get(COATS, ""), ratios.get(_without(cell, "ground"))
        if ratio is not None and coats.isdigit():
            found.setdefault(_without(cell, "ground", COATS), {})[int(coats)] = ratio
    return found


def coats_to_hide(ratios: Mapping[int, float]) -> tuple[int | None, str]:
    """Coats after which the ground is hidden, from contrast ratios by coats, and how that is known.

    What shows through, 1 less the ratio, is taken to shrink by the same share with each coat, as
    light in a layer does; fitted to its logarithm. None with the reason where that cannot be said.
    """
    hides = 1 - limit("cover_hides")
    left = {coats: max(1 - ratio, 1e-3) for coats, ratio in ratios.items() if coats > 0}
    hidden = [coats for coats, shows in left.items() if shows <= hides]
    if hidden and min(hidden) == min(left):
        return min(hidden), "the fewest coats measured hide it"
    if len(left) < 2:
        return None, "not computed: needs contrast ratios of two or more coats"
    coats = np.array(sorted(left), dtype=float)
    logs = np.log([left[int(n)] for n in coats])
    slope, start = np.polyfit(coats, logs, 1)
    if slope > -limit("cover_least_gain"):
        return None, "not computed: more coats did not hide more"
    if hidden:
        return min(hidden), "measured"
    needed = math.ceil((math.log(hides) - start) / slope - 1e-9)
    if needed > 2 * coats[-1]:
        return None, f"not computed: more than {2 * int(coats[-1])}, beyond twice what was measured"
    return max(needed, int(coats[-1]) + 1), "computed from fewer coats"


def _cover(
    view: View, cell: CellRequest, ratio: float | None, series: Mapping[int, float]
) -> Cover:
    streaks = streaks_of(view, cell.row, cell.column)
    if ratio is None:
        return Cover(cell.row, cell.column, None, streaks, NO_PAIR)
    needed, reason = coats_to_hide(series)
    return Cover(cell.row, cell.column, ratio, streaks, MEASURED, needed, reason)


def _ratio(both: Mapping[str, list[float]]) -> float | None:
    if "light" not in both or "dark" not in both:
        return None
    return float(np.mean(both["dark"]) / max(float(np.mean(both["light"])), 1e-4))


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
