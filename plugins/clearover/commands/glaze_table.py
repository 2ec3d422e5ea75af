"""`clearover glaze --table`: a spreadsheet of analyses in, every row computed out.

In: a CSV file or standard input. Out: a table for people or one JSON value; what is wrong with the
file goes to standard error as `file:line:column`, and the command then ends with 1.
"""

from __future__ import annotations

import codecs
import json
import sys
import textwrap
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import __version__
from ..firing.cone import Cone
from ..pages.words import count
from .console import one_line, say, tell
from .group import DONE, RECORDS_AT_FAULT, Refused

if TYPE_CHECKING:
    from ..chemistry.table import Table

LARGEST_FILE = 64_000_000
"""Bytes of a table at the most; our own limit."""

MOST_TOLD = 50
"""How many problems or remarks reach a terminal; all of them stand in the JSON."""

_COLUMNS = (
    ("expansion", "1e-6/K", "expansion_1e6_per_k", 2),
    ("viscosity", "log10 Pa·s", "viscosity_log10_pa_s", 2),
    ("at log10 3", "°C", "temperature_c_at_log10_3_pa_s", 0),
    ("surface t.", "mN/m", "surface_tension_mn_per_m", 0),
)
_WIDTH = 14


@dataclass(frozen=True, slots=True)
class Heat:
    """What the melts are looked at: a cone at a rate (°C/h), or a temperature (°C)."""

    cone: Cone | None
    rate_c_per_h: float
    temperature_c: float | None


def run_table(
    file: str,
    basis: str,
    heat: Heat,
    *,
    as_json: bool,
) -> int:
    """Read, compute and print; the exit code."""
    from ..chemistry.table import read_table
    from ..chemistry.table_report import table_report

    name = "standard input" if file == "-" else one_line(file)
    table = read_table(_decoded(_bytes(file), name), basis)
    _tell_problems(name, table)
    rows = table_report(
        table.rows,
        basis,
        cone=heat.cone,
        rate_c_per_h=heat.rate_c_per_h,
        temperature_c=heat.temperature_c,
    )
    if as_json:
        _say_json(rows, table)
    else:
        _say_rows(name, basis, rows)
    return RECORDS_AT_FAULT if table.faults else DONE


def _bytes(file: str) -> bytes:
    if file == "-":
        data = sys.stdin.buffer.read(LARGEST_FILE + 1)
    else:
        try:
            with Path(file).open("rb") as opened:
                data = opened.read(LARGEST_FILE + 1)
        except OSError as error:
            why = error.strerror or "it cannot be opened"
            raise Refused(f"the table {one_line(file)} cannot be read: {why}") from None
    if len(data) > LARGEST_FILE:
        raise Refused(f"the table is larger than {LARGEST_FILE // 1_000_000} MB; split it")
    return data


def _decoded(data: bytes, name: str) -> str:
    """The text of a table as spreadsheets save it: UTF-8, UTF-16, else the old western set."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        tell(f"{name}: not saved as UTF-8; letters outside English may be misread")
        return data.decode("cp1252", errors="replace")


def _tell_problems(name: str, table: Table) -> None:
    for fault in table.faults[:MOST_TOLD]:
        says, fix = one_line(fault.says), one_line(fault.fix)
        tell(f"{name}:{fault.line}:{fault.column}: {fault.rule} {says}\n    fix: {fix}")
    for remark in table.remarks[:MOST_TOLD]:
        tell(f"{name}: {one_line(remark)}")
    for what, listed in (("problems", table.faults), ("remarks", table.remarks)):
        if (more := len(listed) - MOST_TOLD) > 0:
            tell(f"{name}: and {more} more {what}; --json lists them all")


def _say_json(rows: list[dict[str, Any]], table: Table) -> None:
    """One JSON value, a row a line: a table of thousands stays readable and quick."""
    problems = [
        {
            "rule": fault.rule,
            "line": fault.line,
            "column": fault.column,
            "message": fault.says,
            "remedy": fault.fix,
        }
        for fault in table.faults
    ]
    encode = json.JSONEncoder(allow_nan=False).encode
    lines = ",\n".join(encode(row) for row in rows)
    sys.stdout.write(
        f'{{"clearover": {encode(__version__)},\n"problems": {encode(problems)},\n'
        f'"remarks": {encode(table.remarks)},\n"rows": [\n{lines}\n]}}\n'
    )


def _say_rows(name: str, basis: str, rows: list[dict[str, Any]]) -> None:
    if not rows:
        return
    heat = rows[0]["temperature_c"]
    at = f", melt at {heat:.0f} °C" if heat is not None else ""
    say(f"{name}: {count(len(rows), 'row')} in {basis} %{at}")
    say("± holds 90 % of measured glasses.")
    say()
    say(f"  {'':<16}" + "".join(f"{head:>{_WIDTH}}" for head, *_ in _COLUMNS).rstrip())
    say(f"  {'id':<16}" + "".join(f"{unit:>{_WIDTH}}" for _, unit, *_ in _COLUMNS).rstrip())
    reasons: dict[str, int] = {}
    for row in rows:
        cells = [_cell(row[key], digits, row, reasons) for *_, key, digits in _COLUMNS]
        shown = one_line(row["id"])
        shown = shown if len(shown) <= 16 else f"{shown[:15]}…"
        say(f"  {shown:<16}" + "".join(f"{cell:>{_WIDTH}}" for cell in cells).rstrip())
    if reasons:
        say()
    for reason, number in reasons.items():
        say(f"  [{number}] {one_line(reason)}")
    _say_sources(rows)


def _say_sources(rows: list[dict[str, Any]]) -> None:
    used = {
        f"{row[key]['model']}: {row[key]['source']}"
        for row in rows
        for *_, key, _ in _COLUMNS
        if row[key]["value"] is not None
    }
    say()
    for source in sorted(used):
        say(textwrap.fill(one_line(source), 80, initial_indent="  ", subsequent_indent="    "))


def _cell(found: dict[str, Any], digits: int, row: dict[str, Any], reasons: dict[str, int]) -> str:
    """`6.92 ±0.55`, or the number of the reason why there is none."""
    if found["value"] is None:
        reason = str(row["reason"] or found["reason"])
        return f"[{reasons.setdefault(reason, len(reasons) + 1)}]"
    half = (found["high"] - found["low"]) / 2
    return f"{found['value']:.{digits}f} ±{half:.{digits}f}"
