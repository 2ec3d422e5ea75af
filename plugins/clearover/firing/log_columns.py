"""Which column of a log is time and which are temperatures.

In: rows of cells. Out: `Columns` and the row where the readings begin. Goes by the headings; where
there are none, by figures that can be nothing else. Converts no figure.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from itertools import pairwise

from .log_limits import words
from .log_text import Table, Unreadable, number, unit_of
from .log_times import is_stamp

FIRST_ROWS = 60
"""Within so many rows the heading, or the first reading, must come."""
_TOKEN = re.compile(r"[^\W\d_]+|°[a-z]|°")
_PER_TIME = re.compile(r"/\s*(h|hr|hour|min|minute)\b|\bper (hour|minute)", re.IGNORECASE)
_UNITS = ("seconds", "minutes", "hours", "days", "milliseconds")


@dataclass(frozen=True, slots=True)
class Reading:
    """A column of readings: its place, its heading, and the unit named there (`C`, `F`, None)."""

    at: int
    called: str
    unit: str | None


@dataclass(frozen=True, slots=True)
class Columns:
    """Where time and temperatures stand. `each` is the unit of time named, `date` the column of
    dates beside the clock; `first` the row of the first reading."""

    time: int
    each: str | None
    date: int | None
    readings: tuple[Reading, ...]
    first: int
    notes: tuple[str, ...] = ()


def columns_of(table: Table) -> Columns:
    """The columns of a log. Raises `Unreadable` where they cannot be told."""
    only_set = False
    for index, row in enumerate(table.rows[:FIRST_ROWS]):
        found = _named(row, index + 1)
        if found is None:
            continue
        if _followed(table, found):
            return found if found.readings else _only_set()
        only_set = only_set or not found.readings
    if only_set:
        _only_set()
    return _unnamed(table)


def _only_set() -> Columns:
    raise Unreadable("the log holds what the kiln was set to, and no reading")


def _named(header: list[str], first: int) -> Columns | None:
    """The columns a heading names; None where it names no time, or no temperature at all."""
    time = date = each = None
    readings: list[Reading] = []
    set_to = 0
    for index, title in enumerate(header):
        said = _tokens(title)
        unit = "F" if said & words("F") else "C" if said & words("C") else None
        heat = unit is not None or bool(said & words("temperature"))
        if len(title) > 60 or said & words("other") or _PER_TIME.search(title):
            continue
        if said & words("set"):
            set_to += 1
        elif heat and not said & words("time"):
            readings.append(Reading(index, " ".join(title.split()), unit))
        elif said & words("date") and not said & words("time"):
            date = index if date is None else date
        elif time is None:
            named = next((name for name in _UNITS if said & words(name)), None)
            if named or said & words("time"):
                time, each = index, named
    if time is None and date is not None:
        time, date = date, None
    if time is None or not (readings or set_to):
        return None
    in_c = tuple(one for one in readings if one.unit == "C")
    if in_c and any(one.unit == "F" for one in readings):
        readings = list(in_c)
    notes = ("the set-point was not taken for a reading",) if set_to else ()
    return Columns(time, each, date, tuple(readings), first, notes)


def _tokens(title: str) -> set[str]:
    plain = unicodedata.normalize("NFKC", title.replace("º", "°")).lower()
    return set(_TOKEN.findall(plain))


def _followed(table: Table, found: Columns) -> bool:
    """Whether readings stand below a heading, or nothing does: then it is one all the same."""
    below = table.rows[found.first : found.first + 12]
    at = [found.time, *(one.at for one in found.readings)]
    told = [row for row in below if any(_figure(_cell(row, i), table.mark) for i in at)]
    return not below or len(told) * 2 >= len(below) or found.first <= 1


def _unnamed(table: Table) -> Columns:
    """Two columns that can be nothing else: a time that only rises, and a temperature."""
    first = next(
        (i for i, row in enumerate(table.rows[:FIRST_ROWS]) if _figures(row, table.mark) >= 2), None
    )
    fault = "the first line must name the columns, for example `minutes,temperature_c`"
    if first is None:
        raise Unreadable(fault)
    body = table.rows[first:]
    width = min(len(table.rows[first]), 12)
    stamps = [i for i in range(width) if _share(body, i, is_stamp) > 0.9]
    figures = [
        i
        for i in range(width)
        if i not in stamps
        and _share(body, i, lambda cell: number(cell, table.mark) is not None) > 0.9
    ]
    rising = [i for i in figures if _rises(body, i, table.mark)]
    time = stamps[:1] or rising[:1]
    heat = [i for i in figures if i not in time and _hot(body, i, table.mark)]
    if len(body) < 10 or not time or len(heat) != 1 or len(stamps) > 1:
        raise Unreadable(fault)
    note = (
        f"no heading: column {time[0] + 1} was taken for the time, column {heat[0] + 1} for the "
        "temperature"
    )
    return Columns(time[0], None, None, (Reading(heat[0], "", None),), first, (note,))


def _rises(body: list[list[str]], at: int, mark: str) -> bool:
    told = [number(_cell(row, at), mark) for row in body]
    sound = [one for one in told if one is not None]
    return all(b > a for a, b in pairwise(sound))


def _hot(body: list[list[str]], at: int, mark: str) -> bool:
    """Whether a column climbs to where pots are fired, and does not stand there all along."""
    sound = [one for row in body if (one := number(_cell(row, at), mark)) is not None]
    return max(sound) > 550 and min(sound) < 0.7 * max(sound)


def _share(body: list[list[str]], at: int, test: object) -> float:
    assert callable(test)
    sample = body[:: max(1, len(body) // 200)]
    return sum(bool(test(_cell(row, at))) for row in sample) / len(sample)


def _figures(row: list[str], mark: str) -> int:
    return sum(_figure(cell, mark) for cell in row)


def _figure(cell: str, mark: str) -> bool:
    return is_stamp(cell) or number(cell, mark) is not None or unit_of(cell) is not None


def _cell(row: list[str], at: int) -> str:
    return row[at] if at < len(row) else ""
