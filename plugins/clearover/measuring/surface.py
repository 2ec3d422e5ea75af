"""What can honestly be said of each cell's surface: haze, pinholes, bubbles.

Haze is how much of a white veil (reflectance 0.55, our choice) lies over a colour, in linear light,
against the darkest cell of the same tile that is alike in every factor but the coats of clear. A
colour that fades or thins looks the same: the status says so. Spots are `spots`'
business. Knows nothing of underglazes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

from ..colour.srgb import lab_to_light
from .light import LUMA
from .limits import limit
from .request import CellRequest, Request
from .results import MEASURED, CellColour, Surface
from .spots import Spots, spots_of
from .view import View

CLEAR_COATS = "clear coats"
ALONE = "nothing to compare with: needs the same colour with other coats of the same clear"
DOUBT = "measured, but a paler or thinner colour would look as hazy"
_Key = tuple[tuple[str, str], ...]
_Floats = NDArray[np.float64]


def surfaces(view: View, request: Request, cells: Iterable[CellColour]) -> tuple[Surface, ...]:
    """Each cell that holds no line, in the request's order. Never raises."""
    light = {(c.row, c.column): lab_to_light(c.lab) for c in cells if c.lab is not None}
    groups: dict[_Key, list[_Floats]] = {}
    for cell in request.cells:
        if (cell.row, cell.column) in light and _glazed(cell):
            groups.setdefault(_key(cell), []).append(light[cell.row, cell.column])
    return tuple(_surface(view, cell, light, groups) for cell in request.cells if not cell.line)


def _surface(
    view: View,
    cell: CellRequest,
    light: Mapping[tuple[int, int], _Floats],
    groups: Mapping[_Key, list[_Floats]],
) -> Surface:
    haze = _haze(cell, light.get((cell.row, cell.column)), groups.get(_key(cell), []))
    spots = spots_of(view, cell.row, cell.column) if _painted(cell) else "it has no colour on it"
    notes = []
    if isinstance(haze, str):
        notes.append(f"haze not measured: {haze}")
    elif haze > limit("haze_seen"):
        notes.append(DOUBT)
    if isinstance(spots, str):
        notes.append(f"pinholes and bubbles not measured: {spots}")
    elif spots.bubbles is None:
        finest = limit("bubble_px_per_mm")
        coarse = (view.px_per_mm or 0) < finest
        why = f"need {finest:.0f} px/mm" if coarse else "their rims do not show on so pale a colour"
        notes.append(f"bubbles not measured: {why}")
    seen = spots if isinstance(spots, Spots) else None
    return Surface(
        cell.row,
        cell.column,
        None if isinstance(haze, str) else haze,
        None if seen is None else seen.pinholes,
        None if seen is None else seen.bubbles,
        None if seen is None else seen.size_mm,
        "; ".join(notes) or MEASURED,
    )


def _haze(cell: CellRequest, shown: _Floats | None, alike: list[_Floats]) -> float | str:
    """The veil over a cell, 0 to 1, or why it cannot be said."""
    if not _glazed(cell):
        return "it has no clear"
    if shown is None:
        return "its colour was not measured"
    if len(alike) < 2:
        return ALONE
    clean = min(alike, key=lambda one: float(one @ LUMA))
    if float(clean @ LUMA) > limit("haze_palest"):
        return "a veil does not show on so pale a colour"
    veil = np.full(3, limit("haze_white")) - clean
    off = shown - clean
    share = float(off @ veil) / float(veil @ veil)
    rest = float(np.linalg.norm(off - share * veil))
    if rest > max(limit("haze_off") * float(np.linalg.norm(off)), limit("haze_noise")):
        return "its colour changed in another way too"
    return float(np.clip(share, 0.0, 1.0))


def _glazed(cell: CellRequest) -> bool:
    return _painted(cell) and not cell.bare and not cell.line


def _painted(cell: CellRequest) -> bool:
    return dict(cell.where).get("underglaze", "none") not in ("none", "unknown")


def _key(cell: CellRequest) -> _Key:
    return tuple(pair for pair in cell.where if pair[0] != CLEAR_COATS)
