"""The numbers photos are held to and made with, from `data/photo-limits.csv`.

In: the table. Out: one frozen `Limits`. Knows nothing of files or pictures.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache

from ..tables import read_text


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits and settings; the table says in which unit each is, and why."""

    bytes_max: int
    pixels_max: int
    side_max: int
    side_min: int
    corner_side_min: int
    segments_max: int
    metadata_bytes_max: int
    web_side_1: int
    web_side_2: int
    web_side_3: int
    web_quality: int
    straight_side_max: int
    straight_side_enough: int
    sprite_cell_width: int
    sprite_cell_height: int
    cell_inset: float
    pool_from: int
    clean_quality: int

    @property
    def web_sides(self) -> tuple[int, ...]:
        """The web sizes, px on the longer side, smallest first."""
        return (self.web_side_1, self.web_side_2, self.web_side_3)


@cache
def limits() -> Limits:
    """The table, read once."""
    text = read_text("photo-limits.csv")
    rows = {row["name"]: float(row["value"]) for row in csv.DictReader(text.splitlines())}
    inset = rows.pop("cell_inset")
    return Limits(cell_inset=inset, **{name: int(value) for name, value in rows.items()})
