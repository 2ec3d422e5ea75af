"""Pigment systems: a name as a label or data sheet gives it in, the pigment out.

The table is `data/pigments.csv`. A pigment system says what colours the grain and what holds it;
it names no maker and no product.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from ..tables import nearest, plain, rows


@dataclass(frozen=True, slots=True)
class Pigment:
    """One pigment system. `elements` are what colours or holds it, `colours` basic colour words,
    `cpma` its numbers in the trade's classification, where it has any. `reaches_neighbours` is what
    of it leaves as vapour or answers a vapour: chromium, copper and lead leave, tin answers."""

    name: str
    also: tuple[str, ...]
    elements: tuple[str, ...]
    colours: tuple[str, ...]
    cpma: str
    note: str
    source: str
    reaches_neighbours: tuple[str, ...] = ()


@cache
def pigments() -> dict[str, Pigment]:
    """Every pigment system by its name."""
    return {
        row["pigment"]: Pigment(
            name=row["pigment"],
            also=tuple(alias for alias in row["also"].split(";") if alias),
            elements=tuple(row["elements"].split()),
            colours=tuple(row["colours"].split()),
            cpma=row["cpma"],
            note=row["note"],
            source=row["source"],
            reaches_neighbours=tuple(row["reaches_neighbours"].split()),
        )
        for row in rows("pigments.csv")
    }


@cache
def _by_plain_name() -> dict[str, Pigment]:
    found: dict[str, Pigment] = {}
    for pigment in pigments().values():
        for alias in pigment.also:
            found.setdefault(plain(alias), pigment)
    found.update({plain(pigment.name): pigment for pigment in pigments().values()})
    return found


def find_pigment(text: str) -> Pigment | None:
    """The pigment of this name or alias (case and hyphens do not matter), or None."""
    return _by_plain_name().get(plain(text))


def suggest(text: str) -> str | None:
    """The known name most like an unknown one, or None: for “did you mean”."""
    return nearest(text, (name for p in pigments().values() for name in (*p.also, p.name)))
