"""Predicted against measured, for plots: a property in, its points out.

`data/glass-checks.csv` is written by `tests/bench/fit_glass_models.py` and holds at most 300 points
of each property. What is predicted there comes from fits that had not seen the publication the
glass is from. Columns: `property`, `glass` (id in the measured glasses, the publication's number
at its end), `measured`, `predicted`, and `low` and `high`, the predicted 90 % band; 1e-6/K for
`expansion`, log10 Pa·s for `viscosity at 1200 °C` and the like, °C for `temperature at log10 3`
and the like.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from ..tables import rows

FILE = "glass-checks.csv"


class Point(NamedTuple):
    """One measurement and what was predicted for it, with its 90 % band."""

    glass: str
    measured: float
    predicted: float
    low: float
    high: float


@cache
def points() -> dict[str, tuple[Point, ...]]:
    """The points by property, in the order of the file."""
    found: dict[str, list[Point]] = {}
    for row in rows(FILE):
        values = (float(row[name]) for name in ("measured", "predicted", "low", "high"))
        found.setdefault(row["property"], []).append(Point(row["glass"], *values))
    return {name: tuple(each) for name, each in found.items()}
