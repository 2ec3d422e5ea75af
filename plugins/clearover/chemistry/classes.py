"""Zinc, lime and magnesia in words: a weight per cent in, a class out.

The limits stand in `data/classes.csv` with their sources and can be corrected there.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from ..records.words import GUESS, UNKNOWN
from ..tables import rows
from .results import Class

NOBODY = Class("unknown", None, "nobody")


@dataclass(frozen=True, slots=True)
class Limits:
    """From `high` weight per cent of the fired glass the word is high, under `low` it is low."""

    oxide: str
    high: float
    low: float
    source: str


@cache
def limits() -> dict[str, Limits]:
    """The limits by class: zinc, lime, magnesia, boron."""
    return {
        row["class"]: Limits(
            row["oxide"],
            float(row["high_from_weight_percent"]),
            float(row["low_below_weight_percent"]),
            row["source"],
        )
        for row in rows("classes.csv")
    }


def word_for(name: str, weight_percent: float) -> str:
    """`bearing`/`free` for zinc, `high`/`between`/`low` for the others; weight % of fired glass."""
    limit = limits()[name]
    if weight_percent >= limit.high:
        return "bearing" if name == "zinc" else "high"
    if weight_percent < limit.low:
        return "free" if name == "zinc" else "low"
    return "between"


def computed(name: str, weights: dict[str, float], known_from: str) -> Class:
    """The class from a fired glass in weight per cent."""
    share = weights.get(limits()[name].oxide, 0.0)
    return Class(word_for(name, share), share, known_from)


def declared(value: str | None, known_from: str | None) -> Class:
    """The class somebody wrote down; `unknown` is a value, and a guess counts as that."""
    if value is None or value == UNKNOWN:
        return NOBODY
    if known_from == GUESS:
        return Class(UNKNOWN, None, GUESS, value)
    return Class(value, None, f"declared ({known_from})" if known_from else "declared")
