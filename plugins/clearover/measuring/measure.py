"""One photo measured: an opened photo and a request in, a `TileMeasurement` out.

The order is the whole of it: light and balance, the grid square on, then each thing that is read
from it. Opens no file.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..photos.opening import Opened
from .balancing import balance_of
from .cells import cell_colours
from .cover import covers
from .doubts import doubts
from .lens import straightened
from .lines import line_measures
from .other_light import too_white
from .request import Request
from .results import MEASURED, Balance, CellColour, LineMeasure, Surface, TileMeasurement
from .rough import rough_of
from .shapes import CURVED, fitted
from .surface import DOUBT, surfaces
from .view import View, view_of


def measure(opened: Opened, request: Request) -> TileMeasurement:
    """Everything this photo says of the tile. Never raises for what a photo may show."""
    return measured_and_seen(opened, request)[0]


def measured_and_seen(opened: Opened, request: Request) -> tuple[TileMeasurement, View]:
    """The same, and the balanced view that it was read from."""
    rough = rough_of(opened, request)
    noted = doubts(opened, request, rough)
    bow = None
    if request.shape != CURVED:  # whose own bow is no lens's
        opened, request, bow = straightened(opened, request, rough)
    field, matrix, balance = balance_of(opened, request)
    view = view_of(opened, request, field, matrix)
    cells = cell_colours(view, [(c.row, c.column) for c in request.cells if not c.line])
    balance = _doubted(balance, cells)
    cover, surface = covers(view, request, cells), surfaces(view, request, cells)
    lines = line_measures(view, request)
    untrue = balance.doubt or balance.reason
    if untrue:
        surface = tuple(_without_haze(one, untrue) for one in surface)
        lines = tuple(_without_darkness(one) for one in lines)
    if balance.by is None:
        cells = tuple(_unbalanced(cell, balance.reason or "no balance") for cell in cells)
    found = TileMeasurement(
        tile=request.tile,
        photo=request.photo,
        px_per_mm=view.px_per_mm,
        balance=balance,
        noise_delta_e=_noise(view, cells),
        cells=cells,
        lines=lines,
        cover=cover,
        surface=surface,
        notes=(*opened.notes, *noted, *((bow,) if bow else ())),
    )
    return fitted(found, request.shape), view


def _unbalanced(cell: CellColour, why: str) -> CellColour:
    return CellColour(
        cell.row, cell.column, None, None, cell.pixels, cell.left_out, f"not measured: {why}"
    )


def _doubted(balance: Balance, cells: tuple[CellColour, ...]) -> Balance:
    """A doubt where a cell would be lighter than white."""
    lightest = max((cell.lab[0] for cell in cells if cell.lab is not None), default=0.0)
    if balance.by is None or balance.doubt:
        return balance
    by = "card" if balance.by == "grey card" else "chart"
    return replace(balance, doubt=too_white(lightest, by, "one of the cells"))


def _without_haze(one: Surface, why: str) -> Surface:
    """A veil is reckoned from how light a cell is in truth."""
    if one.haze is None:
        return one
    others = [part for part in one.status.split("; ") if part not in (MEASURED, DOUBT)]
    status = "; ".join([f"haze not measured: {why}", *others])
    return replace(one, haze=None, status=status)


def _without_darkness(one: LineMeasure) -> LineMeasure:
    return replace(one, darkness=None)


def _noise(view: View, cells: tuple[CellColour, ...]) -> float | None:
    """The median spread inside a cell: two cells nearer than that are not told apart here."""
    spreads = [cell.spread for cell in cells if cell.spread is not None]
    return float(np.median(spreads)) if spreads else None
