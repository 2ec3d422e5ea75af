"""The times of a log: cells in, hours out, with what was taken for granted.

Minutes, hours, seconds, clock times of 24 or 12 hours, dates in the usual orders, time since the
start as `9:05`. An unnamed unit is taken only where one alone makes a firing of sensible length.
Knows no temperature.
"""

from __future__ import annotations

import datetime as dt
import re
from functools import lru_cache
from itertools import pairwise

from .log_limits import limit
from .log_text import Unreadable, numbers

HOURS_EACH = {
    "seconds": 1 / 3600, "minutes": 1 / 60, "hours": 1.0, "days": 24.0, "milliseconds": 1 / 3.6e6,
}  # fmt: skip
_STAMP = re.compile(
    r"(?:(?P<date>\S.*?)[T ,]+)?(?P<h>\d{1,4}):(?P<m>\d{2})(?::(?P<s>\d{2}(?:[.,]\d{1,9})?))?"
    r"\s*(?P<half>[ap]\.?m\.?)?\s*(?P<zone>Z|[+-]\d{2}:?\d{2})?",
    re.IGNORECASE,
)
_SPELLED = re.compile(
    r"(?:(\d{1,4})\s*h(?:ours?|rs?)?)?\s*(?:(\d{1,5})\s*m(?:in)?)?", re.IGNORECASE
)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
SERIAL = (20_000.0, 80_000.0)
"""Days since 1900 as spreadsheets count them: from 1954 to 2119."""
EPOCH = (1e9, 4e9)
"""Seconds since 1970: from 2001 to 2096."""
Hours = list[float | None]


def is_stamp(cell: str) -> bool:
    """Whether a cell holds a clock time, or a date and one."""
    return ":" in cell and len(cell) < 40 and _STAMP.fullmatch(cell) is not None


def hours_of(cells: list[str], each: str | None, mark: str) -> tuple[Hours, tuple[str, ...]]:
    """Hours for each cell, None where it holds no time; and notes. Raises `Unreadable`."""
    sample = cells[:: max(1, len(cells) // 100)]
    if sum(map(is_stamp, sample)) * 2 > len(sample):
        return _stamped(cells, each)
    figures = numbers(cells, mark)
    if not any(one is not None for one in figures):
        spelled = [_spelled(cell) for cell in cells]
        if each or any(one is not None for one in spelled):
            return spelled, ()
        raise Unreadable("the times are neither clock times nor named minutes or hours")
    unit, notes = (each, ()) if each else _unit_of(figures)
    factor = HOURS_EACH[unit]
    return [None if one is None else one * factor for one in figures], notes


def _spelled(cell: str) -> float | None:
    """`1 h 05 min`, `40 min`, `9h`."""
    written = _SPELLED.fullmatch(cell.strip()) if 0 < len(cell) < 30 else None
    if written is None or not (written[1] or written[2]):
        return None
    return int(written[1] or 0) + int(written[2] or 0) / 60


def _unit_of(figures: list[float | None]) -> tuple[str, tuple[str, ...]]:
    """The one unit in which these figures last as long as a firing."""
    sound = [one for one in figures if one is not None and abs(one) < 1e15]
    if not sound:
        raise Unreadable("the times are no numbers")
    span, first = max(sound) - min(sound), sound[0]
    candidates: tuple[str, ...] = ("hours", "minutes", "seconds")
    if EPOCH[0] <= first <= EPOCH[1]:
        candidates = ("seconds",)
    elif EPOCH[0] * 1000 <= first <= EPOCH[1] * 1000:
        candidates = ("milliseconds",)
    elif SERIAL[0] <= first <= SERIAL[1] and span < 10:
        candidates = ("days",)
    for unit in candidates:
        if limit("shortest_firing") <= span * HOURS_EACH[unit] <= limit("longest_firing"):
            return unit, (f"the heading names no unit of time; {unit} alone make a firing",)
    raise Unreadable("the times are neither clock times nor named minutes or hours")


def _stamped(cells: list[str], each: str | None) -> tuple[Hours, tuple[str, ...]]:
    found = [_STAMP.fullmatch(cell) if len(cell) < 60 else None for cell in cells]
    sound = [one for one in found if one is not None]
    notes: tuple[str, ...] = ()
    dated = any(one["date"] for one in sound)
    elapsed = not dated and (each is not None or any(int(one["h"]) > 23 for one in sound))
    order = _date_order(sound) if dated else ""
    hours = [None if one is None else _hours(one, order, elapsed) for one in found]
    if elapsed:
        return _elapsed(hours, sound)
    if not dated:
        twelve = not any(one["half"] for one in sound) and all(
            1 <= int(one["h"]) <= 12 for one in sound
        )
        hours, turns = _turned(hours, 12 if twelve else 24)
        if turns and twelve:
            notes = ("the clock shows twelve hours without am or pm; it was let run on",)
    return hours, notes


def _hours(found: re.Match[str], order: str, elapsed: bool) -> float | None:
    hour, minute = int(found["h"]), int(found["m"])
    half = (found["half"] or "").lower()[:1]
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "p" else 0)
    if minute > 59 or (hour > 23 and not elapsed and hour != 24):
        return None
    now = hour + minute / 60 + float((found["s"] or "0").replace(",", ".")) / 3600
    zone = found["zone"]
    if zone and zone[0] in "+-":
        digits = zone[1:].replace(":", "")
        now -= (1 if zone[0] == "+" else -1) * (int(digits[:2]) + int(digits[2:]) / 60)
    if not order:
        return now
    day = _day(found["date"] or "", order)
    return None if day is None else day * 24 + now


def _elapsed(hours: Hours, sound: list[re.Match[str]]) -> tuple[Hours, tuple[str, ...]]:
    """`h:mm` and `mm:ss` look alike: the one that makes a firing is meant."""
    if any(one["s"] for one in sound):
        return hours, ()
    told = [one for one in hours if one is not None]
    span = max(told) - min(told) if told else 0
    if span > limit("longest_firing") and span / 60 >= limit("shortest_firing"):
        note = "times like 90:30 were read as minutes and seconds"
        return [None if one is None else one / 60 for one in hours], (note,)
    return hours, ()


def _turned(hours: Hours, round_: int) -> tuple[Hours, int]:
    """Clock times run on past midnight (or noon); a small step back is left for others to judge."""
    turned: Hours = []
    days = turns = 0
    last: float | None = None
    for now in hours:
        if now is None:
            turned.append(None)
            continue
        if last is not None:
            step = now + days * round_ - last
            if step < -round_ / 2:
                days, turns = days + 1, turns + 1
            elif step > round_ - 1 and days:
                days -= 1  # two lines swapped over midnight
        last = now + days * round_
        turned.append(last)
    return turned, turns


def _date_order(sound: list[re.Match[str]]) -> str:
    """The order of day and month in which the firing is no longer than firings are."""
    dates = list(dict.fromkeys(one["date"] or "" for one in sound))
    best = ("ymd", -1, float("inf"))
    for order in ("ymd", "dmy", "mdy"):
        days = [day for date in dates if (day := _day(date, order)) is not None]
        if days:
            span = sum(abs(b - a) for a, b in pairwise(days))
            if (len(days), -span) > (best[1], -best[2]):
                best = (order, len(days), span)
    return best[0]


@lru_cache(maxsize=4096)
def _day(text: str, order: str) -> int | None:
    """The number of a day, whatever stands between its parts; None for no date."""
    parts = re.findall(r"\d+|[a-z]{3,}", text.lower())
    parts = [
        part for part in parts if part[:3] not in ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    ]
    named = [i for i, part in enumerate(parts) if part[:3] in _MONTHS]
    if len(parts) != 3 or len(named) > 1:
        return None
    if named:
        month = _MONTHS.index(parts.pop(named[0])[:3]) + 1
        day, year = parts if len(parts[0]) < 4 else parts[::-1]
        return _ordinal(year, str(month), day)
    if order == "ymd":
        return _ordinal(*parts) if len(parts[0]) == 4 else None
    if len(parts[0]) == 4:
        return None
    day, month_, year = parts if order == "dmy" else (parts[1], parts[0], parts[2])
    return _ordinal(year, month_, day)


def _ordinal(year: str, month: str, day: str) -> int | None:
    try:
        number_ = int(year)
        return dt.date(
            number_ + 2000 if number_ < 100 else number_, int(month), int(day)
        ).toordinal()
    except ValueError:
        return None
