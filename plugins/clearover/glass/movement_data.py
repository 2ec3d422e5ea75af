"""The two tables of the movement model as values: words and their limits, and the plain numbers.

Knows no model. Every row of `data/movement-words.csv` and `data/movement-values.csv` says how it is
known and where it comes from; correct them there.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from ..tables import rows


@dataclass(frozen=True, slots=True)
class Value:
    """One number of the table, with its 90 % range where it has one, in the row's own unit."""

    value: float
    low: float
    high: float
    source: str


@dataclass(frozen=True, slots=True)
class Word:
    """One word, and from which run or drag, mm, it is said."""

    word: str
    run_from_mm: float
    drag_from_mm: float
    means: str


@cache
def values(kind: str) -> dict[str, Value]:
    """All numbers of one kind, by name. A row without a range has value = low = high."""
    return {
        row["name"]: Value(
            float(row["value"]),
            float(row["low"] or row["value"]),
            float(row["high"] or row["value"]),
            row["source"],
        )
        for row in rows("movement-values.csv")
        if row["kind"] == kind
    }


def number(kind: str, name: str) -> float:
    """One number that has no range."""
    return values(kind)[name].value


@cache
def ladder() -> tuple[Word, ...]:
    """The words, from still to running."""
    return tuple(
        Word(r["word"], float(r["run_from_mm"]), float(r["drag_from_mm"]), r["means"])
        for r in rows("movement-words.csv")
    )


def step_of(run_mm: float, drag_mm: float) -> int:
    """The place on the ladder, 0 for still: the farther of what the run and the drag say."""
    return max(
        place
        for place, word in enumerate(ladder())
        if run_mm >= word.run_from_mm or drag_mm >= word.drag_from_mm
    )
