"""A kiln log as a file: a CSV in, points of (hours, °C) out, or a reason why not.

Reads what controllers and people write: minutes, hours, seconds or clock times, °C or °F, commas,
semicolons or tabs. Never raises for a bad log and never guesses a unit of time. Knows no cone.
"""

from __future__ import annotations

import csv
import datetime as dt
import itertools
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

MOST_BYTES = 8_000_000
HOTTEST_C = 1450.0
"""No kiln of a pottery goes above this; a higher figure is °F or a broken thermocouple."""
_CLOCK = re.compile(r"(?:(\d{4}-\d{2}-\d{2})[T ])?(\d{1,2}):(\d{2})(?::(\d{2})(?:\.\d+)?)?")
_NUMBER = re.compile(r"[+-]?\d{1,9}(\.\d{1,9})?")
_WORDS = re.compile(r"[^a-z°]+")
_HOURS_EACH = {
    "s": 1 / 3600, "sec": 1 / 3600, "secs": 1 / 3600, "second": 1 / 3600, "seconds": 1 / 3600,
    "m": 1 / 60, "min": 1 / 60, "mins": 1 / 60, "minute": 1 / 60, "minutes": 1 / 60,
    "h": 1.0, "hr": 1.0, "hrs": 1.0, "hour": 1.0, "hours": 1.0,
}  # fmt: skip
_TIME_WORDS = {"time", "clock", "elapsed", "date", "datetime", "timestamp"}
_TEMPERATURE_WORDS = {"temperature", "temp", "reading", "measured", "actual", "kiln"}
_CELSIUS = {"c", "°c", "celsius", "degc"}
_FAHRENHEIT = {"f", "°f", "fahrenheit", "degf"}


@dataclass(frozen=True, slots=True)
class KilnLog:
    """A log. `points` are (hours since its start, °C) in order of time; empty with a `reason`.

    `notes` say what was taken for granted or left out.
    """

    points: tuple[tuple[float, float], ...] = ()
    reason: str | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Columns:
    time: int
    hours_each: float | None
    temperature: int
    fahrenheit: bool | None


class _Unreadable(Exception):
    """Why a log cannot be read, as a sentence."""


def read_log(path: Path) -> KilnLog:
    """Read a log file. What is wrong with it is its `reason`; nothing is raised."""
    try:
        if path.stat().st_size > MOST_BYTES:
            return KilnLog(reason=f"the log is larger than {MOST_BYTES // 1_000_000} MB")
        data = path.read_bytes()
    except OSError:
        return KilnLog(reason="the log cannot be opened")
    return parse_log(data)


def parse_log(data: bytes) -> KilnLog:
    """The same for a log already in memory."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # Old controllers write ° in a one-byte alphabet; every byte is something there.
        text = data.decode("latin-1")
    try:
        return _parse(text)
    except _Unreadable as fault:
        return KilnLog(reason=str(fault))
    except csv.Error:
        return KilnLog(reason="the log is no table of text")


def _parse(text: str) -> KilnLog:
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    if not lines:
        raise _Unreadable("the log is empty")
    delimiter = max(";\t,", key=lines[0].count)
    table = list(csv.reader(lines, delimiter=delimiter))
    columns = _columns(table[0])
    found: list[tuple[float, float]] = []
    clock = _Clock()
    to_hours = clock.hours if columns.hours_each is None else _scaled(columns.hours_each)
    bad = 0
    for row in table[1:]:
        point = _point(row, columns, to_hours, delimiter)
        if point is None:
            bad += 1
        else:
            found.append(point)
    if not found and columns.hours_each is None:
        raise _Unreadable("the times are neither clock times nor named minutes or hours")
    if len(found) < 2 or bad > len(found):
        raise _Unreadable(f"only {len(found)} of {len(table) - 1} lines can be read")
    return _in_celsius(found, columns.fahrenheit, bad)


def _columns(header: list[str]) -> _Columns:
    time = temperature = None
    each: float | None = None
    fahrenheit: bool | None = None
    for index, title in enumerate(header):
        said = set(_WORDS.sub(" ", title.strip().lower()).split())
        unit = next((_HOURS_EACH[word] for word in said if word in _HOURS_EACH), None)
        in_f, in_c = bool(said & _FAHRENHEIT), bool(said & _CELSIUS)
        if said & _TEMPERATURE_WORDS or in_f or in_c:
            if temperature is None:
                temperature, fahrenheit = index, True if in_f else False if in_c else None
        elif time is None and (unit is not None or said & _TIME_WORDS):
            time, each = index, unit
    if time is None or temperature is None:
        raise _Unreadable(
            "the first line must name the columns, for example `minutes,temperature_c`"
        )
    return _Columns(time, each, temperature, fahrenheit)


def _scaled(each: float) -> Callable[[str], float | None]:
    def hours(text: str) -> float | None:
        number = _number(text)
        if number is None and ":" in text:
            return _elapsed(text)
        return None if number is None else number * each

    return hours


def _elapsed(text: str) -> float | None:
    """`9:05` or `9:05:30` under a heading of hours or minutes: time since the start."""
    written = _CLOCK.fullmatch(text.strip())
    if written is None or written[1]:
        return None
    return int(written[2]) + int(written[3]) / 60 + int(written[4] or 0) / 3600


class _Clock:
    """Clock times to hours; a clock that goes back has passed midnight."""

    def __init__(self) -> None:
        self.days = 0
        self.last = -1.0

    def hours(self, text: str) -> float | None:
        written = _CLOCK.fullmatch(text.strip())
        if written is None:
            return None
        hour, minute, second = int(written[2]), int(written[3]), int(written[4] or 0)
        now = hour + minute / 60 + second / 3600
        if written[1]:
            try:
                return dt.date.fromisoformat(written[1]).toordinal() * 24 + now
            except ValueError:
                return None
        if now < self.last - 12:
            self.days += 1
        self.last = now
        return self.days * 24 + now


def _number(text: str, delimiter: str = ",") -> float | None:
    text = text.strip()
    if delimiter != ",":
        text = text.replace(",", ".")
    return float(text) if _NUMBER.fullmatch(text) else None


def _point(
    row: list[str],
    columns: _Columns,
    to_hours: Callable[[str], float | None],
    delimiter: str,
) -> tuple[float, float] | None:
    if len(row) <= max(columns.time, columns.temperature):
        return None
    time = row[columns.time] if delimiter == "," else row[columns.time].replace(",", ".")
    hours = to_hours(time)
    temperature = _number(row[columns.temperature], delimiter)
    return None if hours is None or temperature is None else (hours, temperature)


def _in_celsius(found: list[tuple[float, float]], fahrenheit: bool | None, bad: int) -> KilnLog:
    notes = [f"{bad} lines could not be read and were left out"] if bad else []
    hottest = max(temperature for _, temperature in found)
    if fahrenheit is None:
        if hottest > HOTTEST_C:
            raise _Unreadable("the heading must say whether the temperature is °C or °F")
        notes.append("the heading names no unit; taken as °C")
    if fahrenheit:
        found = [(hours, (temperature - 32) / 1.8) for hours, temperature in found]
    sound = [(h, t) for h, t in found if math.isfinite(h) and -40 <= t <= HOTTEST_C]
    if len(sound) < len(found):
        notes.append(f"{len(found) - len(sound)} impossible temperatures were left out")
    if any(later[0] < earlier[0] for earlier, later in itertools.pairwise(sound)):
        raise _Unreadable("the times run backwards")
    if len(sound) < 2:
        raise _Unreadable("the log holds no possible temperatures")
    start = sound[0][0]
    return KilnLog(tuple((hours - start, t) for hours, t in sound), None, tuple(notes))
