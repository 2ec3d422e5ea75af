"""The factor tables of the additive models: a file and a model's name in, factors by oxide out."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from ...tables import rows


@cache
def quantities(file: str, model: str) -> dict[tuple[str, str], float]:
    """Every number of a model by (oxide, quantity): (`SiO2`, `factor`), (`SiO2`, `slope`) …"""
    return {
        (row["oxide"], row["quantity"]): float(row["value"])
        for row in rows(file)
        if row["model"] == model
    }


@cache
def factors(file: str, model: str) -> dict[str, float]:
    """The plain factors of a model by oxide."""
    return {o: value for (o, what), value in quantities(file, model).items() if what == "factor"}


def added_up(shares: Mapping[str, float], by_oxide: Mapping[str, float]) -> float:
    """The sum of share times factor over the oxides of a glass, each of which has a factor."""
    return sum(share * by_oxide[name] for name, share in shares.items())
