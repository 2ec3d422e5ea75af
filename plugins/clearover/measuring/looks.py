"""What each measured cell looks like: a colour for a page, a word, and its L*a*b* for D50.

In: a measurement. Out: a `Look` for each cell that has a colour. All cells at once: one by one they
would cost a large catalogue seconds.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..colour.srgb import hexes_of, to_d50
from ..colour.words import names_of
from .results import TileMeasurement

Spot = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Look:
    """`fill` is the nearest colour a page can show (`#rrggbb`), `word` the basic colour word,
    `lab_d50` the colour for the white D50."""

    fill: str
    word: str
    lab_d50: tuple[float, float, float]


def looks_of(measured: TileMeasurement) -> dict[Spot, Look]:
    """By row and column."""
    cells = [(cell.row, cell.column, cell.lab) for cell in measured.cells if cell.lab is not None]
    if not cells:
        return {}
    labs = [lab for *_, lab in cells]
    rows = zip(cells, hexes_of(labs), names_of(labs), to_d50(labs).tolist(), strict=True)
    return {
        (row, column): Look(fill, name.word, (d50[0], d50[1], d50[2]))
        for (row, column, _), fill, name, d50 in rows
    }
