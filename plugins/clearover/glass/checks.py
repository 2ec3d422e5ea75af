"""Predicted against measured: a property in, its points and its errors out.

`data/glass-checks.csv` is written by `tests/bench/fit_glass_models.py` and holds at most 300 points
of each property. What is predicted there comes from fits that had not seen the publication the
glass is from. Columns: `property`, `glass` (id in the measured glasses, the publication's number
at its end), `measured`, `predicted`, and `low` and `high`, the predicted 90 % band; 1e-6/K for
`expansion`, log10 Pa·s for `viscosity at 1200 °C` and the like, °C for `temperature at log10 3`
and the like. `data/glass-errors.csv`, written likewise, says how far off all of them were.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from ..tables import rows

FILE = "glass-checks.csv"
ERRORS = "glass-errors.csv"


class Point(NamedTuple):
    """One measurement and what was predicted for it, with its 90 % band."""

    glass: str
    measured: float
    predicted: float
    low: float
    high: float


class Unseen(NamedTuple):
    """How far off the predictions of unseen glasses are, without sign, in the property's unit.

    `inside` of all `glasses` lay inside the domain; the rest speaks of those. `trimmed` is the mean
    without the largest 5 in 100, nine in ten stay under `ninetieth`; `held` is the share of
    measurements that lie inside their own predicted 90 % band.
    """

    glasses: int
    inside: int
    median: float
    trimmed: float
    ninetieth: float
    held: float


@cache
def unseen() -> dict[str, Unseen]:
    """The errors by property."""
    return {
        row["property"]: Unseen(
            int(row["glasses"]),
            int(row["inside"]),
            *(float(row[name]) for name in ("median", "trimmed", "ninetieth", "held")),
        )
        for row in rows(ERRORS)
    }


@cache
def points() -> dict[str, tuple[Point, ...]]:
    """The points by property, in the order of the file."""
    found: dict[str, list[Point]] = {}
    for row in rows(FILE):
        values = (float(row[name]) for name in ("measured", "predicted", "low", "high"))
        found.setdefault(row["property"], []).append(Point(row["glass"], *values))
    return {name: tuple(each) for name, each in found.items()}
