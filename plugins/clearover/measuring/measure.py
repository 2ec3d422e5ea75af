"""One photo measured: an opened photo and a request in, a `TileMeasurement` out.

The order is the whole of it: light and balance, the grid square on, then each thing that is read
from it. Opens no file.
"""

from __future__ import annotations

import numpy as np

from ..photos.opening import Opened
from .balancing import balance_of
from .cells import cell_colours
from .cover import covers
from .doubts import doubts
from .lens import straightened
from .lines import line_measures
from .request import Request
from .results import CellColour, TileMeasurement
from .surface import surfaces
from .view import View, view_of


def measure(opened: Opened, request: Request) -> TileMeasurement:
    """Everything this photo says of the tile. Never raises for what a photo may show."""
    return measured_and_seen(opened, request)[0]


def measured_and_seen(opened: Opened, request: Request) -> tuple[TileMeasurement, View]:
    """The same, and the balanced view that it was read from."""
    noted = doubts(opened, request)
    opened, request, bow = straightened(opened, request)
    field, matrix, balance = balance_of(opened, request)
    view = view_of(opened, request, field, matrix)
    cells = cell_colours(view, [(c.row, c.column) for c in request.cells if not c.line])
    cover, surface = covers(view, request, cells), surfaces(view, request, cells)
    if balance.by is None:
        cells = tuple(_unbalanced(cell, balance.reason or "no balance") for cell in cells)
    found = TileMeasurement(
        tile=request.tile,
        photo=request.photo,
        px_per_mm=view.px_per_mm,
        balance=balance,
        noise_delta_e=_noise(view, cells),
        cells=cells,
        lines=line_measures(view, request),
        cover=cover,
        surface=surface,
        notes=(*opened.notes, *noted, *((bow,) if bow else ())),
    )
    return found, view


def _unbalanced(cell: CellColour, why: str) -> CellColour:
    return CellColour(
        cell.row, cell.column, None, None, cell.pixels, cell.left_out, f"not measured: {why}"
    )


def _noise(view: View, cells: tuple[CellColour, ...]) -> float | None:
    """The median spread inside a cell: two cells nearer than that are not told apart here."""
    spreads = [cell.spread for cell in cells if cell.spread is not None]
    return float(np.median(spreads)) if spreads else None
