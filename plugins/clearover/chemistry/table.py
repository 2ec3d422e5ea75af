"""A spreadsheet of analyses: its text in, one composition a row out, and all that is wrong in it.

The header names oxides as people write them (`SiO2`, `sio2`, `SiO₂`, `SiO2 mol%`), in any order;
`id` is optional, other columns are passed over with a remark. Commas, semicolons or tabs part the
cells; a decimal comma is read. Knows no model of glass and opens no file.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from .oxides import to_weights
from .table_header import Column, dashes, parting, read_header
from .table_places import Fault, column_of

WHOLE = (90.0, 110.0)
"""A row must add up to about 100; outside it a line was lost. Source: common practice."""

TOLD = (95.0, 105.0)
"""Outside these a row is computed and a remark tells its sum. Source: common practice."""

MOST_ROWS = 100_000
"""Rows of one table at the most; our own limit."""

LARGEST = 1e6
"""No cell holds more; our own limit."""

_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,4})?")


@dataclass(slots=True)
class TableRow:
    """One row. `weights` of the oxides that stay (any unit), None where `reason` says what is wrong
    with it; `total` is what the row adds up to and `loss` what of it leaves, as written."""

    id: str
    line: int
    weights: dict[str, float] | None
    total: float
    loss: float = 0.0
    reason: str | None = None


@dataclass(slots=True)
class Table:
    """A table read: its rows, the faults in it (each makes a row unusable, or all), and remarks."""

    rows: list[TableRow] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


def read_table(text: str, basis: str) -> Table:
    """Every row of a table whose cells are mol % or weight % (`basis` is `mol` or `weight`)."""
    table = Table()
    lines = text.lstrip("\ufeff").splitlines()
    try:
        _read_into(table, lines, basis)
    except csv.Error as error:
        says = f"it cannot be read as a table: {error}"
        table.faults.append(Fault(1, 1, "not-a-table", says, "save it as CSV with UTF-8 text"))
    return table


def _read_into(table: Table, lines: Sequence[str], basis: str) -> None:
    records = _records(lines)
    line, header = next(records, (1, []))
    if not header:
        table.faults.append(Fault(1, 1, "empty-table", "there is nothing in it", EMPTY_FIX))
        return
    columns = read_header(header, line, lines[line - 1], basis, table.faults, table.remarks)
    if columns is None:
        return
    reader = _Rows(table, columns, lines, basis)
    for line, cells in records:
        if len(table.rows) >= MOST_ROWS:
            says = f"it has more than {MOST_ROWS:,} rows"
            table.faults.append(Fault(line, 1, "table-too-long", says, "split it in two"))
            break
        reader.add(line, cells)
    if not table.rows:
        says = "under the header there is no row"
        table.faults.append(Fault(line, 1, "no-rows", says, "write an analysis in each row"))
    reader.tell_repeated()


EMPTY_FIX = "the first row names oxides, like SiO2, Al2O3, CaO; each other row is one analysis"


def _records(lines: Sequence[str]) -> Iterator[tuple[int, list[str]]]:
    """(line it begins on, cells) of every row with something in it."""
    head = next((line for line in lines if line.strip()), "")
    # A stray quote must not swallow the rest of the table: then each line is a row of its own.
    balanced = sum(line.count('"') for line in lines) % 2 == 0
    reader = csv.reader(
        (f"{line}\n" for line in lines),
        delimiter=parting(head),
        quoting=csv.QUOTE_MINIMAL if balanced else csv.QUOTE_NONE,
        skipinitialspace=True,
    )
    begins = 1
    for cells in reader:
        stripped = [cell.strip() for cell in cells]
        if any(stripped):
            yield begins, stripped
        begins = reader.line_num + 1


class _Rows:
    """Reads row after row under one header, and notes what is wrong."""

    def __init__(
        self, table: Table, columns: Sequence[Column], lines: Sequence[str], basis: str
    ) -> None:
        self.table, self.columns, self.lines, self.basis = table, columns, lines, basis
        self.parts_at = parting(next((line for line in lines if line.strip()), ""))
        self.ids: dict[str, int] = {}
        self.name_at = next((c.index for c in columns if c.kind == "id"), None)

    def add(self, line: int, cells: Sequence[str]) -> None:
        """One row: its composition, or the reasons why it has none."""
        number = str(len(self.table.rows) + 1)
        name = cells[self.name_at] if self.name_at is not None and self.name_at < len(cells) else ""
        self.ids[name or number] = self.ids.get(name or number, 0) + 1
        amounts: dict[str, float] = {}
        loss = 0.0
        wrong: list[str] = []
        for column in self.columns:
            text = cells[column.index] if column.index < len(cells) else ""
            if column.kind in ("id", "other") or text == "" or text in dashes:
                continue
            amount = self._amount(line, column, text, wrong)
            if column.kind == "loss":
                loss += amount
            elif column.kind == "strange" and amount > 0:
                wrong.append(f"“{column.name}” is no oxide known here")
            elif amount > 0:
                amounts[column.name] = amount
        if len(cells) > len(self.columns) and any(cells[len(self.columns) :]):
            says = f"the row has {len(cells)} cells, the header {len(self.columns)}"
            fix = "put text with commas in quotes, or write decimals with a point"
            wrong.append(says)
            self._note(line, len(self.columns), "too-many-cells", says, fix)
        total = sum(amounts.values()) + loss
        if not wrong:
            self._check_total(line, total, name or number, wrong)
        weights = None
        if not wrong:
            weights = to_weights(amounts) if self.basis == "mol" else amounts
        self.table.rows.append(
            TableRow(name or number, line, weights, total, loss, "; ".join(wrong) or None)
        )

    def _amount(self, line: int, column: Column, text: str, wrong: list[str]) -> float:
        """The number in a cell; 0 with a fault noted where there is none that can be true."""
        plain = text.removesuffix("%").strip()
        if plain.count(",") == 1 and "." not in plain:
            plain = plain.replace(",", ".")
        if not _NUMBER.fullmatch(plain):
            says, rule = f"{column.name}: “{text[:40]}” is not a number", "not-a-number"
            fix = "write a number, or leave the cell empty for none"
        elif float(plain) < 0:
            says, rule = f"{column.name} is negative: {text[:40]}", "negative-amount"
            fix = "check the sign; nothing can hold less than none of an oxide"
        elif not float(plain) <= LARGEST:
            says, rule = f"{column.name}: {text[:40]} is out of range", "absurd-amount"
            fix = f"write {'mol' if self.basis == 'mol' else 'weight'} per cent"
        else:
            return float(plain)
        wrong.append(says)
        self._note(line, column.index, rule, says, fix)
        return 0.0

    def _check_total(self, line: int, total: float, name: str, wrong: list[str]) -> None:
        if WHOLE[0] <= total <= WHOLE[1]:
            if not TOLD[0] <= total <= TOLD[1]:
                self.table.remarks.append(
                    f"line {line}, {name}: adds up to {total:.4g} %, brought to 100"
                )
            return
        says = f"the row adds up to {total:.4g} %, not to about 100 %"
        fix = "check for a lost or misread column"
        if 0.9 <= total <= 1.1:
            fix = "these look like fractions: multiply them by 100"
        wrong.append(says)
        self._note(line, 0, "sum-far-from-100", says, fix)

    def _note(self, line: int, index: int, rule: str, says: str, fix: str) -> None:
        at = column_of(self.lines[line - 1], index, self.parts_at)
        self.table.faults.append(Fault(line, at, rule, says, fix))

    def tell_repeated(self) -> None:
        """A remark on ids that stand for several rows."""
        twice = [name for name, times in self.ids.items() if times > 1]
        if twice:
            more = f" and {len(twice) - 5} more" if len(twice) > 5 else ""
            self.table.remarks.append(f"ids used more than once: {', '.join(twice[:5])}{more}")
