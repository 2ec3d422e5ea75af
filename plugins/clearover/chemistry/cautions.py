"""The usual cautions for what a clear or a colour holds: oxides or elements in, sentences out.

The sentences stand in `data/cautions.csv` with their sources. They say what is usual and never
that something is safe; whether a piece may touch food only a leach test of that piece can say.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from ..tables import rows

FIRST = (
    "These are the usual cautions. The supplier's safety data sheet, local codes and licensed "
    "practice come first."
)


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: of which element, in which oxides, from how many weight per cent of the fired
    glass, in one sentence, with its source."""

    element: str
    oxides: tuple[str, ...]
    least: float
    says: str
    source: str


@cache
def cautions() -> tuple[Caution, ...]:
    """Every caution, in the table's order."""
    return tuple(
        Caution(
            row["element"],
            tuple(row["oxides"].split()),
            float(row["least_weight_percent"]),
            row["caution"],
            row["source"],
        )
        for row in rows("cautions.csv")
    )


def cautions_for_glass(weights: Mapping[str, float]) -> tuple[Caution, ...]:
    """The cautions for a glass, its oxides in weight per cent of the fired whole."""
    return tuple(
        c for c in cautions() if sum(weights.get(oxide, 0.0) for oxide in c.oxides) >= c.least
    )


def cautions_for_elements(elements: Iterable[str]) -> tuple[Caution, ...]:
    """The cautions for a colour, by the names of its elements (`cadmium`)."""
    held = set(elements)
    return tuple(caution for caution in cautions() if caution.element in held)
