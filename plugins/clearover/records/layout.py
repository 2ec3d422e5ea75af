"""From `across`, `down` and `all` to the cells of a tile.

In: the three keys of a tile record as text. Out: typed factors and one `Cell` for each square,
row by row. Several factors in one direction run side by side.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any

from . import words
from .factors import Value, read_factor
from .faults import Faults
from .fields import as_map, shape_of
from .tile import Cell

MOST_CELLS = 400
"""More than fit on a tile by far; our own limit."""

_SMALL = re.compile(r"[1-9][0-9]{0,2}")
_OF_CLEAR = ("clear coats", "clear by", "clear brushed", "clear batch", "specific gravity")
_OF_UNDERGLAZE = ("underglaze coats", "underglaze by", "underglaze fired")


@dataclass(frozen=True)
class Layout:
    """A tile's grid. `cells` leaves out what is missing."""

    across: dict[str, tuple[Value, ...]]
    down: dict[str, tuple[Value, ...]]
    everywhere: dict[str, Value]
    rows: int
    columns: int
    cells: tuple[Cell, ...]
    sound: bool = True
    """False where something was wrong: then cells and their places are not to be relied on."""

    @cached_property
    def present(self) -> frozenset[tuple[int, int]]:
        """Row and column of every cell that is there."""
        return frozenset((cell.row, cell.column) for cell in self.cells)


def read_layout(data: dict[str, Any], faults: Faults) -> Layout:
    """The layout a record describes; what is wrong is noted in `faults` and left out."""
    before = len(faults.found)
    across = _direction(data, "across", faults)
    down = _direction(data, "down", faults)
    everywhere = _everywhere(data, faults)
    _only_once(across, down, everywhere, faults)
    columns = _length(across, "across", faults)
    rows = _length(down, "down", faults)
    if rows * columns > MOST_CELLS:
        faults.add(("across",), "too-many-cells", found=rows * columns, wanted=MOST_CELLS)
        rows = columns = 1
    for needed in ("underglaze", "clear"):
        if not any(needed in group for group in (across, down, everywhere)):
            given = any(needed in (data.get(key) or ()) for key in ("across", "down", "all"))
            if not given:
                faults.add((), "factor-missing", found=needed)
    written = data.get("missing cells")
    missing = {cell_of(pair) for pair in written} if isinstance(written, list) else set()
    cells = tuple(
        _cell(row, column, across, down, everywhere)
        for row in range(1, rows + 1)
        for column in range(1, columns + 1)
        if (row, column) not in missing
    )
    _check_missing(data.get("missing cells"), rows, columns, faults)
    if missing and not cells:
        faults.add(("missing cells",), "no-cells", found=rows * columns)
    sound = len(faults.found) == before
    return Layout(across, down, everywhere, rows, columns, cells, sound)


def _check_missing(written: Any, rows: int, columns: int, faults: Faults) -> None:
    """Missing cells must lie in the grid. Those that are not written soundly the model tells."""
    for index, pair in enumerate(written if isinstance(written, list) else ()):
        spot = cell_of(pair)
        if spot and (spot[0] > rows or spot[1] > columns):
            grid = f"{counted(rows, 'row')} and {counted(columns, 'column')}"
            place = ("missing cells", index)
            faults.add(place, "no-such-cell", found=f"[{spot[0]}, {spot[1]}]", wanted=grid)


def cell_of(pair: Any) -> tuple[int, int] | None:
    """`[2, 3]` as row and column, or None where it is nothing of the kind."""
    if isinstance(pair, list) and len(pair) == 2 and all(_SMALL.fullmatch(str(n)) for n in pair):
        return int(pair[0]), int(pair[1])
    return None


def counted(number: int, noun: str, nouns: str = "") -> str:
    """`1 row`, `2 rows`."""
    return f"{number} {noun if number == 1 else nouns or noun + 's'}"


def _known(name: str, path: tuple[str | int, ...], faults: Faults) -> bool:
    if name in words.FACTORS:
        return True
    faults.add(path, "unknown-factor", word=name, allowed=words.FACTORS)
    return False


def _direction(data: dict[str, Any], key: str, faults: Faults) -> dict[str, tuple[Value, ...]]:
    written = data.get(key)
    if written is None:
        return {}
    if faults.read((key,), as_map, written) is None:
        return {}
    found: dict[str, tuple[Value, ...]] = {}
    for name, values in written.items():
        if not _known(name, (key, name), faults):
            continue
        if isinstance(values, dict):
            faults.add((key, name), "list-wanted", shape=shape_of(values))
            continue
        items = values if isinstance(values, list) else [values]
        if not items:
            faults.add((key, name), "nothing-written")
            continue
        typed = []
        for index, item in enumerate(items):
            path = (key, name, index) if isinstance(values, list) else (key, name)
            typed.append(faults.read(path, partial(read_factor, name), item))
        found[name] = tuple(typed)
    return found


def _everywhere(data: dict[str, Any], faults: Faults) -> dict[str, Value]:
    written = data.get("all")
    if written is None:
        return {}
    if faults.read(("all",), as_map, written) is None:
        return {}
    found: dict[str, Value] = {}
    for name, value in written.items():
        if _known(name, ("all", name), faults):
            typed = faults.read(("all", name), partial(read_factor, name), value)
            if typed is not None:
                found[name] = typed
    return found


def _only_once(
    across: dict[str, Any], down: dict[str, Any], everywhere: dict[str, Any], faults: Faults
) -> None:
    groups = {"across": across, "down": down, "all": everywhere}
    first: dict[str, str] = {}
    for key, group in groups.items():
        for name in group:
            if name in first:
                path = (key, name)
                faults.add(path, "factor-twice", found=name, first=first[name], second=key)
            first.setdefault(name, key)


def _length(group: dict[str, tuple[Value, ...]], key: str, faults: Faults) -> int:
    lengths = {name: len(values) for name, values in group.items()}
    if not lengths:
        return 1
    first, wanted = next(iter(lengths.items()))
    for name, count in lengths.items():
        if count != wanted:
            faults.add(
                (key, name), "lengths-differ", found=name, count=count, first=first, wanted=wanted
            )
    return min(lengths.values())


def _cell(
    row: int,
    column: int,
    across: dict[str, tuple[Value, ...]],
    down: dict[str, tuple[Value, ...]],
    everywhere: dict[str, Value],
) -> Cell:
    where = dict(everywhere)
    where.update({name: values[column - 1] for name, values in across.items()})
    where.update({name: values[row - 1] for name, values in down.items()})
    if where.get("clear") == words.NONE:
        for name in _OF_CLEAR:
            where.pop(name, None)
    if where.get("underglaze") == words.NONE:
        for name in _OF_UNDERGLAZE:
            where.pop(name, None)
    return Cell(row, column, where)
