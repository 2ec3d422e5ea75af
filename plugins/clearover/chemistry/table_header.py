"""The header of a table of analyses: column headings in, what each column holds out.

`SiO2`, `sio2`, `SiO₂`, `SiO2 mol%`, `SiO2 (wt.%)` name one oxide. A heading that looks like an
oxide and is none is told of: to pass over `Al203` in silence would spoil every row.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from ..suggest import nearest
from ..tables import plain
from .formula import FormulaFault, read_formula
from .materials import LOSS_NAMES
from .oxides import find_oxide, oxides
from .table_places import Fault, column_of

dashes = frozenset("-–—−")
"""A dash alone in a cell means none. Source: common practice of printed analyses."""

_UNIT = re.compile(
    r"(?P<mol>\bmol(?:e|es|ar|s)?\b\.?)|(?P<weight>\b(?:wt|weight|mass)\b\.?)"
    r"|%|\b(?:per ?cent|pct)\b",
    re.IGNORECASE,
)
_OXIDE = re.compile(r"[A-Z][a-z]?\d{0,2}[O0]\d{0,2}")
_NUMBERING = frozenset({"no", "nr", "n o"})


@dataclass(frozen=True, slots=True)
class Column:
    """One column. `kind`: oxide, loss, id, strange (looks like an oxide and is none known), other.
    `name` is the oxide's own, or the heading as written."""

    index: int
    kind: str
    name: str


def parting(header: str) -> str:
    """What parts the cells: a tab, a semicolon or a comma, by what the header holds."""
    return next((mark for mark in "\t;" if mark in header), ",")


def read_header(
    cells: Sequence[str],
    line: int,
    text: str,
    basis: str,
    faults: list[Fault],
    remarks: list[str],
) -> list[Column] | None:
    """What each column holds; None where no row below can be used. Faults and remarks are noted."""
    columns: list[Column] = []
    usable = True
    for index, cell in enumerate(cells):
        column, unit = _column(index, cell)
        columns.append(column)
        at = column_of(text, index, parting(text))
        if column.kind == "strange":
            faults.append(_strange(line, at, cell))
        if column.kind in ("oxide", "loss") and unit not in (None, basis):
            says = f"the column “{cell}” says {unit} %, --basis says {basis}"
            fix = f"run it with --basis {unit}, or correct the heading"
            faults.append(Fault(line, at, "basis-contradicts", says, fix))
            usable = False
        if column.kind in ("oxide", "id") and _again(column, columns):
            says = f"{column.name} has two columns"
            faults.append(Fault(line, at, "column-twice", says, "keep one of them"))
            usable = False
    others = [f"“{column.name}”" for column in columns if column.kind == "other" and column.name]
    if others:
        more = f" and {len(others) - 8} more" if len(others) > 8 else ""
        remarks.append(f"columns passed over, no oxides: {', '.join(others[:8])}{more}")
    if not any(column.kind == "oxide" for column in columns):
        says = "the first row names no oxide"
        fix = "name the columns by oxide, like SiO2, Al2O3, CaO"
        faults.append(Fault(line, 1, "no-oxide-column", says, fix))
        usable = False
    return columns if usable else None


def _again(column: Column, before: Sequence[Column]) -> bool:
    same = [each for each in before if (each.kind, each.name) == (column.kind, column.name)]
    return len(same) > 1


def _column(index: int, cell: str) -> tuple[Column, str | None]:
    """What a heading means, and the unit it names."""
    if plain(cell) == "id":
        return Column(index, "id", "id"), None
    spaced = cell.replace("_", " ")
    unit = next((match.lastgroup for match in _UNIT.finditer(spaced) if match.lastgroup), None)
    core = _UNIT.sub(" ", spaced).strip(" ()[].,:;/")
    oxide = find_oxide(core)
    if oxide is not None and oxide.role != "loss":
        return Column(index, "oxide", oxide.name), unit
    if oxide is not None or plain(core) in LOSS_NAMES:
        return Column(index, "loss", cell), unit
    return Column(index, "strange" if _looks_like_oxide(core) else "other", cell), unit


def _looks_like_oxide(core: str) -> bool:
    """Whether a heading is a formula, or nearly one: `Tl2O`, `CaCO3`, `Al203`, `SiO22`."""
    if plain(core) in _NUMBERING or not core or " " in core:
        return False
    if _OXIDE.fullmatch(core):
        return True
    if not any(char.isdigit() or char in "₀₁₂₃₄₅₆₇₈₉" for char in core):
        return False
    try:
        read_formula(core)
    except FormulaFault:
        return nearest(core, oxides(), likeness=0.7) is not None
    return True


def _strange(line: int, at: int, cell: str) -> Fault:
    meant = nearest(cell, oxides())
    hint = f"; did you mean {meant}?" if meant else ""
    return Fault(
        line,
        at,
        "unknown-oxide",
        f"“{cell[:40]}” is no oxide known here{hint}",
        "correct the heading; rows that hold some of it are not computed",
    )
