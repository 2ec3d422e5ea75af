"""What each measured cell looks like: a colour for a page, a word, and its L*a*b* for D50.

In: measurements. Out: a `Look` for each cell that has a colour. Many cells at once: one by one
they would cost a large catalogue seconds.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from ..colour.srgb import hexes_of, to_d50
from ..colour.words import names_of
from .results import TileMeasurement

Spot = tuple[int, int]
T = TypeVar("T")
_AT_ONCE = 256
"""Cells reckoned at once: more are no quicker, and a cell is held against hundreds of colours."""


@dataclass(frozen=True, slots=True)
class Look:
    """`fill` is the nearest colour a page can show (`#rrggbb`), `word` the basic colour word,
    `lab_d50` the colour for the white D50."""

    fill: str
    word: str
    lab_d50: tuple[float, float, float]


def looks_of(measured: TileMeasurement) -> dict[Spot, Look]:
    """By row and column."""
    return looks_of_each({measured.tile: measured})[measured.tile]


def looks_of_each(measured: Mapping[str, TileMeasurement]) -> dict[str, dict[Spot, Look]]:
    """The same for many tiles, by id; all at once it is many times quicker."""
    found: dict[str, dict[Spot, Look]] = {id_: {} for id_ in measured}
    cells = [
        (found[id_], (cell.row, cell.column), cell.lab)
        for id_, one in measured.items()
        for cell in one.cells
        if cell.lab is not None
    ]
    for some in batches(cells):
        labs = [lab for *_, lab in some]
        rows = zip(some, hexes_of(labs), names_of(labs), to_d50(labs).tolist(), strict=True)
        for (tile, spot, _), fill, name, d50 in rows:
            tile[spot] = Look(fill, name.word, (d50[0], d50[1], d50[2]))
    return found


def batches(many: Sequence[T]) -> Iterator[Sequence[T]]:
    """What is to be reckoned in arrays, a part at a time: each needs some megabytes."""
    for start in range(0, len(many), _AT_ONCE):
        yield many[start : start + _AT_ONCE]
