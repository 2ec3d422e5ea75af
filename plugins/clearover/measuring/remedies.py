"""What would make measurable what was not: a reason in, one sentence on what to do out.

The sentences stand in `data/not-measured-help.csv`, in order: the first whose words are part of the
reason counts. Knows no photo and no tile.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache

from ..tables import rows
from .hiding import UNSURE
from .results import MEASURED, TileMeasurement

TABLE = "not-measured-help.csv"


@cache
def _table() -> tuple[tuple[str, str], ...]:
    return tuple((row["contains"], row["help"]) for row in rows(TABLE))


def help_for(reason: str) -> str:
    """What to do about one reason; empty where the table knows none."""
    return next((told for part, told in _table() if part in reason), "")


def remedies(measured: TileMeasurement, more: Iterable[str | None] = ()) -> dict[str, str]:
    """Each reason for which something of a tile was not measured, once, with what would help.

    `more` are reasons from elsewhere, such as why there is no difference from true.
    """
    told = [*reasons(measured), *(one for one in more if one)]
    return {reason: help_for(reason) for reason in dict.fromkeys(told) if help_for(reason)}


def reasons(measured: TileMeasurement) -> Iterator[str]:
    """Why something of a tile was not measured, or not surely, in the order of its parts."""
    yield from (told for told in (measured.balance.reason, measured.balance.doubt) if told)
    for part in (measured.cells, measured.lines, measured.cover, measured.surface):
        for one in part:
            told = one.status.removeprefix("not measured: ").removeprefix("measured, but ")
            yield from told.split("; ") if one.status != MEASURED else ()
    for one in measured.cover:
        if one.coats_reason:
            yield one.coats_reason
        if one.hides == UNSURE:
            yield f"whether it hides its ground: {UNSURE}"
