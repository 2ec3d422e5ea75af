"""From the `judged` blocks of a tile to one verdict a cell.

In: the blocks as text, and the tile's layout. Out: `Judged` values. A property is judged by one
word for every cell, by a picture of the tile row by row, or by entries that name their cells.
"""

from __future__ import annotations

import re
from functools import cache, partial
from typing import Any

from ..suggest import hint
from . import words
from .factors import Value, read_factor
from .faults import Faults
from .fields import as_date, as_map, as_name, as_text, fault, shape_of, whole
from .layout import Layout, counted
from .tile import Cell, Judged, Verdict, Verdicts
from .yaml_text import Path

NOT_JUDGED = "."

_ALLOWED = {
    "colour": words.COLOUR_VERDICTS,
    "line": words.LINE_VERDICTS,
    "cover": words.COVER_VERDICTS,
    "surface": words.SURFACE_VERDICTS,
}
_ALONE = {"true", "faded", "gone", "crisp", "clean", *words.COVER_VERDICTS}
_ROW_OR_COLUMN = whole(1, 400, "rows or columns")
_BLOCK_KEYS = ("by", "on", "notes", *words.PROPERTIES)


def read_judged(data: dict[str, Any], layout: Layout, faults: Faults) -> tuple[Judged, ...]:
    """Every judged block of a tile record; what is wrong is noted and left out."""
    written = data.get("judged")
    if written is None:
        return ()
    several = isinstance(written, list)
    blocks = written if several else [written]
    found = []
    for index, block in enumerate(blocks):
        path: Path = ("judged", index) if several else ("judged",)
        if faults.read(path, as_map, block) is None:
            continue
        found.append(_block(block, path, layout, faults))
    return tuple(found)


def _block(block: dict[str, Any], path: Path, layout: Layout, faults: Faults) -> Judged:
    for key in block:
        if key not in _BLOCK_KEYS:
            faults.add(
                (*path, key), "unknown-key", word=key, kind="judged block", keys=list(_BLOCK_KEYS)
            )
    simple: dict[str, Any] = {
        name: faults.read((*path, name), reader, block[name])
        for name, reader in (("by", as_name), ("on", as_date), ("notes", as_text))
        if name in block
    }
    verdicts: dict[str, Any] = {
        prop: _Sheet(prop, (*path, prop), layout, faults).read(block[prop])
        for prop in words.PROPERTIES
        if prop in block
    }
    return Judged(**simple, **verdicts)


@cache
def read_verdict(prop: str, text: str) -> Verdict:
    """One verdict in words. Raises a fault that says which words there are."""
    folded = " ".join(as_text(text).split()).lower()
    if prop == "colour" and folded.startswith("shifted"):
        toward = folded.removeprefix("shifted").strip().removeprefix("toward ").strip()
        if toward not in words.SHIFTS:
            shifts = [f"shifted {word}" for word in words.SHIFTS]
            near = hint(folded, shifts) if toward else ""
            wanted = ", ".join(shifts)
            raise fault("not-a-verdict", word=text, property=prop, suggestion=near, wanted=wanted)
        return Verdict(("shifted",), toward)
    parts = tuple(re.split(r"\s*,\s*|\s+and\s+", folded))
    for part in parts:
        if part not in _ALLOWED[prop]:
            near = hint(part, _ALLOWED[prop]) or _elsewhere(part)
            wanted = ", ".join(_ALLOWED[prop])
            raise fault("not-a-verdict", word=text, property=prop, suggestion=near, wanted=wanted)
    if len(parts) > 1 and (_ALONE.intersection(parts) or len(set(parts)) < len(parts)):
        raise fault("verdict-against-itself", word=text)
    return Verdict(parts)


def _elsewhere(word: str) -> str:
    """`; it is one on surface`, where a word belongs to another property."""
    owner = next((prop for prop, allowed in _ALLOWED.items() if word in allowed), None)
    return f"; it is one on {owner}" if owner else ""


class _Sheet:
    """The verdicts on one property in one block."""

    def __init__(self, prop: str, path: Path, layout: Layout, faults: Faults) -> None:
        self.prop = prop
        self.path = path
        self.layout = layout
        self.faults = faults
        self.present = layout.present
        self.verdicts: Verdicts = {}

    def read(self, written: Any) -> Verdicts:
        if isinstance(written, str):
            verdict = self._verdict(written, self.path)
            if verdict:
                self.verdicts = dict.fromkeys(self.present, verdict)
        elif isinstance(written, dict):
            self._entries([written], whole=True)
        elif written and all(isinstance(item, dict) for item in written):
            self._entries(written, whole=False)
        else:
            self._picture(written)
        return self.verdicts

    def _verdict(self, value: Any, path: Path) -> Verdict | None:
        verdict: Verdict | None = self.faults.read(path, self._words, value)
        return verdict

    def _words(self, value: Any) -> Verdict:
        # Stripped by the reader itself, which remembers what it has read.
        return read_verdict(self.prop, value if value and type(value) is str else as_text(value))

    def _picture(self, rows: list[Any]) -> None:
        """Row by row, as the tile lies; a tile of one row or column may be one plain list."""
        layout = self.layout
        lead, flat = self.path, ""
        if rows and not any(isinstance(row, list) for row in rows):
            flat = "column" if layout.columns == 1 else "row"
            rows = [[item] for item in rows] if flat == "column" else [rows]
        if len(rows) != layout.rows and layout.sound:
            found, wanted = counted(len(rows), "row"), counted(layout.rows, "row")
            self.faults.add(lead, "picture-rows", found=found, wanted=wanted)
            return
        for r, row in enumerate(rows):
            if not self._fits(row, r, lead if flat else (*lead, r)):
                continue
            for c, item in enumerate(row):
                if item != NOT_JUDGED:
                    path = (*lead, r, c) if not flat else (*lead, max(r, c))
                    self._one(r + 1, c + 1, item, path)

    def _fits(self, row: Any, index: int, path: Path) -> bool:
        """Whether a row of a picture is a list with an entry for each column."""
        columns = self.layout.columns
        if not isinstance(row, list):
            self.faults.add(path, "list-wanted", shape=shape_of(row))
        elif len(row) != columns and self.layout.sound:
            found, wanted = counted(len(row), "entry", "entries"), counted(columns, "column")
            self.faults.add(path, "picture-columns", row=index + 1, found=found, wanted=wanted)
        else:
            return True
        return False

    def _one(self, row: int, column: int, item: Any, path: Path) -> None:
        verdict = self._verdict(item, path)
        if verdict is None:
            return
        if (row, column) in self.present:
            self.verdicts[(row, column)] = verdict
        elif self.layout.sound:
            self.faults.add(path, "judged-missing-cell", row=row, column=column, found=item)

    def _entries(self, entries: list[Any], *, whole: bool) -> None:
        others: tuple[Verdict, Path] | None = None
        for index, entry in enumerate(entries):
            path: Path = self.path if whole else (*self.path, index)
            if set(entry) == {"all others"}:
                verdict = self._verdict(entry["all others"], (*path, "all others"))
                if others is not None:
                    spot = (*path, "all others")
                    self.faults.add(spot, "all-others-twice", first_path=(*others[1], "all others"))
                others = (verdict, path) if verdict and not others else others
            elif set(entry) == {"where", "is"} and isinstance(entry["where"], dict):
                self._where(entry, path)
            else:
                self.faults.add(path, "bad-entry")
        if others:
            for spot in self.present - set(self.verdicts):
                self.verdicts[spot] = others[0]

    def _where(self, entry: dict[str, Any], path: Path) -> None:
        verdict = self._verdict(entry["is"], (*path, "is"))
        cells = self._matching(entry["where"], (*path, "where"))
        for cell in cells if verdict else ():
            spot = (cell.row, cell.column)
            earlier = self.verdicts.get(spot)
            if earlier and verdict and earlier != verdict:
                self.faults.add(
                    (*path, "is"),
                    "judged-twice",
                    row=cell.row,
                    column=cell.column,
                    found=verdict.text,
                    other=earlier.text,
                )
            elif verdict:
                self.verdicts[spot] = verdict

    def _matching(self, where: dict[str, Any], path: Path) -> list[Cell]:
        cells = list(self.layout.cells)
        for name, values in where.items():
            spot = (*path, name)
            if name not in (*words.FACTORS, "row", "column"):
                self.faults.add(
                    spot, "unknown-factor", word=name, allowed=("row", "column", *words.FACTORS)
                )
                return []
            items = values if isinstance(values, list) else [values]
            wanted = [self.faults.read(spot, partial(_value, name), i) for i in items]
            if None in wanted or not self.layout.sound:
                return []
            there = {_of(cell, name) for cell in self.layout.cells}
            for each in wanted:
                if each not in there:
                    has = ", ".join(sorted(str(value) for value in there if value is not None))
                    self.faults.add(
                        spot,
                        "where-matches-nothing",
                        found=f"{name}: {each}",
                        wanted=f"{name}: {has}" if has else f"no {name}",
                    )
                    return []
            cells = [cell for cell in cells if _of(cell, name) in wanted]
        if not cells and self.layout.sound:
            said = ", ".join(f"{name}: {value}" for name, value in where.items())
            self.faults.add(path, "where-matches-nothing", found=said, wanted="no such combination")
        return cells


def _value(name: str, value: Any) -> Value:
    return _ROW_OR_COLUMN(value) if name in ("row", "column") else read_factor(name, value)


def _of(cell: Cell, name: str) -> Value | None:
    if name == "row":
        return cell.row
    if name == "column":
        return cell.column
    return cell.where.get(name)
