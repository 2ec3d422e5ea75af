"""The tables of figures that come with the program, for the Methods page and for taking away.

In: the data folder. Out: what each table holds and where its rows come from, the smaller ones laid
out for reading, and every file as it is. Nothing is picked by hand but how a table is laid out.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from . import words

FOLDER = "tables/"
SHIPPED = (".csv", ".json", ".NOTICE.txt")
LAID_OUT: dict[str, tuple[str, tuple[str, ...]]] = {
    "expansion-factors": ("oxide", ("model", "quantity")),
    "surface-tension-factors": ("oxide", ("model", "quantity")),
    "density-factors": ("oxide", ("model", "quantity")),
    "viscosity-lakatos1976": ("term", ("quantity",)),
    "viscosity-lakatos1972": ("term", ("quantity",)),
    "viscosity-fluegel2007": ("term", ("log10_pa_s",)),
    "viscosity-giordano2008": ("term", ("of",)),
}
"""Tables of single values: what a line stands for, and what the columns."""
PLAIN: dict[str, tuple[str, ...]] = {
    "oxides": ("oxide", "molar_mass_g_per_mol", "role"),
    "atomic-weights": ("element", "atomic_weight", "counted_as"),
    "boron-coordination": ("oxide", "weight"),
    "crazing-limits": ("kind", "name", "value", "low", "high", "unit"),
    "crazing-bodies": ("body", "low", "high", "unit"),
    "crazing-tests": ("test", "ware", "how", "says"),
    "movement-values": ("kind", "name", "value", "low", "high", "unit"),
    "movement-words": ("word", "run_from_mm", "drag_from_mm"),
    "glass-errors": ("property", "glasses", "inside", "median", "trimmed", "ninetieth", "held"),
    "surface-tension-errors": ("kind", "place", "model", "percent", "glasses", "publications"),
    "classes": ("*",),
}
"""Tables laid out as they are, with these columns (`*`: all but the sources)."""
WIDEST = 9
"""A table with more columns is left to the file."""


@dataclass(frozen=True, slots=True)
class Table:
    """One table. `lines` are empty where it is left to its file at `address`."""

    name: str
    address: str
    rows: str
    sources: tuple[tuple[str, int], ...]
    columns: tuple[str, ...] = ()
    lines: tuple[tuple[str, ...], ...] = ()


@cache
def tables() -> tuple[Table, ...]:
    """Every table of figures, and the models written as one file."""
    found = []
    for name, text in shipped().items():
        stem = name.partition(".")[0]
        if name.endswith(".csv"):
            found.append(_table(stem, name, list(csv.DictReader(io.StringIO(text)))))
        elif name.endswith(".json"):
            size = f"{len(text.encode()) / 1000:.0f} kB of numbers"
            notice = "derived from the SciGlass database (ODbL, © 2019 EPAM Systems)"
            found.append(Table(stem, FOLDER + name, size, ((notice, 1),)))
    return tuple(found)


@cache
def shipped() -> dict[str, str]:
    """Every file of figures, and the notices beside them, by name with its text, sorted."""
    folder = files("clearover").joinpath("data")
    entries = sorted(folder.iterdir(), key=lambda one: one.name)
    return {
        entry.name: entry.read_text(encoding="utf-8")
        for entry in entries
        if entry.name.endswith(SHIPPED)
    }


def _table(stem: str, name: str, rows: list[dict[str, str]]) -> Table:
    sources = Counter(row["source"] for row in rows if row.get("source"))
    columns, lines = _laid_out(stem, rows)
    return Table(
        stem,
        FOLDER + name,
        words.count(len(rows), "row"),
        tuple(sources.most_common()),
        columns,
        lines,
    )


def _laid_out(
    stem: str, rows: list[dict[str, str]]
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    if stem in LAID_OUT:
        return _by_two(rows, *LAID_OUT[stem])
    if stem not in PLAIN:
        return (), ()
    wanted = PLAIN[stem]
    if wanted == ("*",):
        wanted = tuple(name for name in rows[0] if name not in ("source", "known", "note"))
    lines = [tuple(row[name] for name in wanted) for row in rows]
    return tuple(name.replace("_", " ") for name in wanted), tuple(lines)


def _by_two(
    rows: list[dict[str, str]], line: str, column: tuple[str, ...]
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Values by line and column; a table with too many columns becomes a list of its values."""
    heads = list(dict.fromkeys(_head(row, column) for row in rows))
    if len(heads) > WIDEST:
        names = (line, *column)
        return (*names, "value"), tuple(
            (*(row[name] for name in names), row["value"]) for row in rows
        )
    values: dict[str, dict[str, str]] = {}
    for row in rows:
        values.setdefault(row[line] or "all", {})[_head(row, column)] = row["value"]
    lines = tuple((name, *(by.get(head, "") for head in heads)) for name, by in values.items())
    return (line, *heads), lines


def _head(row: dict[str, str], column: tuple[str, ...]) -> str:
    return " ".join(row[name] for name in column if row[name] != "factor")
