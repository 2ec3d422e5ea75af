"""A kiln log as a file: a CSV in, points of (hours, °C) out, or a reason why not.

Reads what controllers and people write. Never raises for a bad log, never guesses in silence: what
was taken for granted, repaired or left out is a note. The cone aimed at may be given as a hint for
a unit that the heading names wrongly. Knows no tile.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from statistics import fmean

from .cone import Cone
from .log_columns import Columns, Reading, columns_of
from .log_limits import limit
from .log_repair import repaired
from .log_text import Table, Unreadable, numbers, table_of, unit_of
from .log_times import hours_of, is_stamp
from .log_units import in_celsius, unit_of_log

WARM_C = 60.0
"""Once a kiln is this warm, a reading of nought or less is a broken thermocouple."""
DROPPED = 0.02
"""A thermocouple without a reading in more than this share of the lines is left out of a mean."""
COLD_ZONE = 0.6
"""A thermocouple that never gets to this share of the hottest one's peak is not in the kiln."""


@dataclass(frozen=True, slots=True)
class KilnLog:
    """A log. `points` are (hours since its start, °C) in order of time; empty with a `reason`.

    `notes` say what was taken for granted, repaired or left out. `gaps` are stretches without a
    reading, in hours; `lost_end` is True where the thermocouple failed before the log ended.
    """

    points: tuple[tuple[float, float], ...] = ()
    reason: str | None = None
    notes: tuple[str, ...] = ()
    gaps: tuple[tuple[float, float], ...] = ()
    lost_end: bool = False


def read_log(path: Path, aimed: Cone | None = None, unit: str | None = None) -> KilnLog:
    """Read a log file. What is wrong with it is its `reason`; nothing is raised.

    `aimed` is a hint where the unit is in doubt; `unit` (`C`, `F`) settles it.
    """
    most = int(limit("most_bytes"))
    try:
        if path.stat().st_size > most:
            return KilnLog(reason=f"the log is larger than {most // 1_000_000} MB")
        data = path.read_bytes()
    except (OSError, ValueError):
        return KilnLog(reason="the log cannot be opened")
    return parse_log(data, aimed, unit)


def parse_log(data: bytes, aimed: Cone | None = None, unit: str | None = None) -> KilnLog:
    """The same for a log already in memory."""
    try:
        return _parse(table_of(data), aimed, unit)
    except Unreadable as fault:
        return KilnLog(reason=str(fault))


def _parse(table: Table, aimed: Cone | None, told: str | None) -> KilnLog:
    columns = columns_of(table)
    body = table.rows[columns.first :]
    times = _time_cells(body, columns)
    hours, time_notes = hours_of(times, columns.each, table.mark) if body else ([], ())
    notes = [*table.notes, *columns.notes, *time_notes]
    readings, names = _readings(body, columns, table.mark)
    timed = [i for i, hour in enumerate(hours) if hour is not None]
    figures = [one for i in timed for column in readings if (one := column[i]) is not None]
    if len(figures) < 2 or len(timed) * 2 < len(body):
        sound = sum(readings[0][i] is not None for i in timed)
        raise Unreadable(f"only {sound} of {len(body)} lines can be read{_formulas(body, columns)}")
    _count_untimed(len(body) - len(timed), notes)
    unit, unit_notes = unit_of_log(figures, _named_unit(body, columns), told, aimed)
    notes += unit_notes
    celsius = [_sound(column, unit) for column in readings]
    merged = _merged(celsius, names, timed, notes)
    points = [(h, t) for i in timed if (t := merged[i]) is not None and (h := hours[i]) is not None]
    if len(points) < 2:
        raise Unreadable("the log holds no possible temperatures")
    clock = any(is_stamp(cell) for cell in times[:20]) and columns.each is None
    put_right = repaired(points, clock)
    start = put_right.points[0][0]
    return KilnLog(
        points=tuple((h - start, t) for h, t in put_right.points)
        if start
        else (*put_right.points,),
        notes=(*notes, *put_right.notes),
        gaps=tuple((a - start, b - start) for a, b in put_right.gaps),
        lost_end=put_right.lost_end,
    )


def _time_cells(body: list[list[str]], columns: Columns) -> list[str]:
    """The column of times, the date before the clock where it has one of its own."""
    times = _column(body, columns.time)
    if columns.date is None:
        return times
    dates = _column(body, columns.date)
    return [f"{date} {time}".strip() for date, time in zip(dates, times, strict=True)]


def _column(body: list[list[str]], at: int) -> list[str]:
    """One column's cells, line by line, empty where a line is too short."""
    return [row[at] if at < len(row) else "" for row in body]


def _readings(
    body: list[list[str]], columns: Columns, mark: str
) -> tuple[list[list[float | None]], list[str]]:
    """The figures of each column of readings, line by line; columns without any are dropped."""
    found = [numbers(_column(body, one.at), mark) for one in columns.readings]
    names = [one.called for one in columns.readings]
    kept = [i for i, column in enumerate(found) if any(v is not None for v in column)] or [0]
    return [found[i] for i in kept], [names[i] for i in kept]


def _named_unit(body: list[list[str]], columns: Columns) -> str | None:
    """The unit of the headings, else the one that stands behind the figures."""
    units = {one.unit for one in columns.readings if one.unit}
    if len(units) == 1:
        return units.pop()
    sample: list[Reading] = list(columns.readings[:1])
    behind = {unit_of(row[one.at]) for one in sample for row in body[:40] if one.at < len(row)}
    behind -= {None}
    return behind.pop() if len(behind) == 1 else None


def _formulas(body: list[list[str]], columns: Columns) -> str:
    at = [columns.time, *(one.at for one in columns.readings)]
    found = any(row[i].startswith("=") for row in body for i in at if i < len(row))
    return "; the others hold formulas: save the values" if found else ""


def _count_untimed(lost: int, notes: list[str]) -> None:
    if lost:
        lines = "one line has no time that" if lost == 1 else f"{lost:,} lines have no time that"
        notes.append(f"{lines} can be read, and {'was' if lost == 1 else 'were'} left out")


def _sound(column: list[float | None], unit: str) -> list[float | None]:
    """A column in °C; what stands for a broken thermocouple is None."""
    low, high, over = limit("coldest"), limit("hottest"), limit("overrange")
    plain = [one for one in column if one is not None]
    if len(plain) == len(column) and _plain(plain, unit, high):
        return list(plain) if unit == "C" else [in_celsius(one, unit) for one in plain]
    found: list[float | None] = []
    warm = False
    for figure in column:
        t = None if figure is None or figure >= over else in_celsius(figure, unit)
        if t is None or not low <= t <= high or (warm and (t <= 0 or figure == 0)):
            found.append(None)
            continue
        warm = warm or t > WARM_C
        found.append(t)
    return found


def _plain(figures: list[float], unit: str, high: float) -> bool:
    """Whether nothing in a column can stand for a broken thermocouple."""
    return (
        min(figures) > 0
        and in_celsius(min(figures), unit) > 0
        and (in_celsius(max(figures), unit) <= high)
    )


def _merged(
    columns: list[list[float | None]], names: list[str], timed: list[int], notes: list[str]
) -> list[float | None]:
    """One column of several thermocouples: the mean of those that measured the kiln all along."""
    if len(columns) > 1:
        columns = _in_the_kiln(columns, names, timed, notes)
    if len(columns) == 1:
        merged = columns[0]
    else:
        merged = [
            None if any(v is None for v in line) else fmean(v for v in line if v is not None)
            for line in zip(*columns, strict=True)
        ]
        tops = [max(v for v in column if v is not None) for column in columns]
        told = ", ".join(f"{top:.0f}" for top in tops)
        notes.append(f"the mean of {len(columns)} thermocouples was taken; their peaks: {told} °C")
        if max(tops) - min(tops) > limit("zones_apart"):
            raise Unreadable(f"the thermocouples do not agree on one kiln; their peaks: {told} °C")
    none = sum(merged[i] is None for i in timed)
    if none:
        lines = "one line without" if none == 1 else f"{none:,} lines without"
        notes.append(f"{lines} a possible temperature left out (thermocouple)")
    return merged


def _in_the_kiln(
    columns: list[list[float | None]], names: list[str], timed: list[int], notes: list[str]
) -> list[list[float | None]]:
    """Without thermocouples that lay outside, or often gave nothing."""
    tops = [max((v for v in column if v is not None), default=0.0) for column in columns]
    missing = [sum(column[i] is None for i in timed) for column in columns]
    few = min(missing)
    kept = []
    for column, name, top, gone in zip(columns, names, tops, missing, strict=True):
        if top < COLD_ZONE * max(tops):
            notes.append(f"“{name}” was left out: it never got above {top:.0f} °C")
        elif gone - few > max(2, DROPPED * len(timed)):
            notes.append(f"“{name}” was left out: it gave no reading in {gone:,} lines")
        else:
            kept.append(column)
    return kept or [columns[tops.index(max(tops))]]
