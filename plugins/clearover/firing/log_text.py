"""The bytes of a log in, its rows of cells out.

Finds the alphabet, the mark between cells and the decimal sign. Knows no column and no kiln.
"""

from __future__ import annotations

import csv
import math
import re
from collections import Counter
from dataclasses import dataclass

from .log_limits import limit

MARKS = ";\t,|"
ALWAYS_READ = 100
"""Lines from the top that are read whatever the length of the log: heading and preamble."""
LONGEST_CELL = 60
_UNIT = re.compile(r"(?:°|º|deg(?:rees)?\.?)?\s*(c|f|celsius|fahrenheit)\.?", re.IGNORECASE)
_THOUSANDS = re.compile(r"[+-]?\d{1,3}(,\d{3})+(\.\d+)?")
_NUMBER = re.compile(r"([+-]?\d+(?:[.,]\d+)?(?:e[+-]?\d+)?|[+-]?[.,]\d+)(.*)", re.IGNORECASE)


class Unreadable(Exception):
    """Why a log cannot be read, as a sentence."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells, blanks at the ends taken off; `notes` say what was left out."""

    rows: list[list[str]]
    mark: str
    notes: tuple[str, ...] = ()


def table_of(data: bytes) -> Table:
    """The rows of a log. Raises `Unreadable` for what is no text or empty."""
    text = _decoded(data)
    lines = text.splitlines()
    notes: tuple[str, ...] = ()
    most = int(limit("most_lines"))
    if len(lines) > most:
        step = -(-len(lines) // most)
        notes = (f"of {len(lines):,} lines every {_nth(step)} was read",)
        lines = lines[:ALWAYS_READ] + lines[ALWAYS_READ::step]
    lines = [line for line in lines if line.strip() and not line.startswith("#")]
    if not lines:
        raise Unreadable("the log is empty")
    mark = _mark(lines)
    try:
        rows = list(csv.reader(lines, delimiter=mark, skipinitialspace=True)) if mark else []
    except csv.Error as fault:
        raise Unreadable("the log is no table of text") from fault
    if not mark:
        rows = [re.split(r"\s{2,}|\s(?=[+-]?\d)", line.strip()) for line in lines]
    # Most logs have no blank below their heading; stripping cells is dear.
    spaced = len(rows) if any(" " in line for line in lines[ALWAYS_READ:]) else ALWAYS_READ
    return Table(
        [*(list(map(str.strip, row)) for row in rows[:spaced]), *rows[spaced:]], mark, notes
    )


def _decoded(data: bytes) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    if b"\x00" in data[:4096] and data[1:400:2].count(0) > len(data[1:400:2]) * 0.9:
        return data.decode("utf-16-le", "replace")
    if b"\x00" in data:
        # Loggers that lost their power leave blocks of nought in the file.
        data = data.replace(b"\x00", b"")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # Old controllers write ° in a one-byte alphabet; every byte is something there.
        return data.decode("latin-1")


def _mark(lines: list[str]) -> str:
    """The mark that most lines hold equally often; "" where cells are parted by blanks."""
    sample = lines[len(lines) // 2 :][:40] or lines
    best, most = "", 0
    for mark in MARKS:
        times, agree = Counter(line.count(mark) for line in sample).most_common(1)[0]
        if times and agree > most:
            best, most = mark, agree
    return best


def number(text: str, mark: str = ",") -> float | None:
    """A number as people and controllers write it, a unit behind it allowed; None for none.

    A comma is the decimal sign, but between groups of three digits where commas part the cells.
    """
    if len(text) > LONGEST_CELL:
        return None
    try:
        return float(text)
    except ValueError:
        pass
    if mark in (",", "") and (grouped := _THOUSANDS.match(text)):
        text = grouped[0].replace(",", "") + text[grouped.end() :]
    written = _NUMBER.fullmatch(text)
    if written is None or (written[2].strip() and unit_of(text) is None):
        return None
    return float(written[1].replace(",", "."))


def numbers(cells: list[str], mark: str) -> list[float | None]:
    """A whole column of numbers; None where there is none, or one without end."""
    try:
        plain = list(map(float, cells))
    except ValueError:
        found = [number(cell, mark) for cell in cells]
    else:
        if math.isfinite(sum(plain)):
            return list(plain)
        found = list(plain)
    return [one if one is not None and math.isfinite(one) else None for one in found]


def unit_of(text: str) -> str | None:
    """The unit of temperature behind a number in a cell: `C`, `F` or None."""
    written = _NUMBER.fullmatch(text) if len(text) <= LONGEST_CELL else None
    unit = _UNIT.fullmatch(written[2].strip()) if written else None
    return unit[1][0].upper() if unit else None


def _nth(number: int) -> str:
    """`second`, `third`, `42nd`: steps are never less than two."""
    if number < 4:
        return {2: "second", 3: "third"}[number]
    endings = {1: "st", 2: "nd", 3: "rd"} if number // 10 % 10 != 1 else {}
    return f"{number}{endings.get(number % 10, 'th')}"
