"""One row for each cell of each tile, for a spreadsheet or a statistics program.

In: findings. Out: the bytes of a CSV file (RFC 4180: commas, CRLF, quotes where needed; UTF-8).
Text that a spreadsheet would take for a formula is marked as text with a leading apostrophe.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..records.words import FACTORS, PROPERTIES
from . import measured, movement

if TYPE_CHECKING:
    from ..evidence.findings import Findings
    from ..evidence.results import Seen
    from ..records.factors import Value
    from ..records.tile import Cell, Tile

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
COLUMNS = (
    "tile",
    "mark",
    "row",
    "column",
    *(factor.replace(" ", "_") for factor in FACTORS),
    "layers",
    "cone",
    "cone_in_words",
    "cone_known_by",
    "atmosphere",
    *(f"{name}_verdict" for name in PROPERTIES),
    "set_aside",
    *measured.COLUMNS,
    *movement.COLUMNS,
)
"""`cone_in_words` (`cone 05`) outlives a spreadsheet, which turns a bare 05 into 5. A verdict's
column says so: `line` alone is the factor."""
NOTHING = ("",) * len(measured.COLUMNS)


def cells_csv(findings: Findings) -> bytes:
    """All cells, tile by tile in the order of their ids, row by row."""
    raw = io.BytesIO()
    out = io.TextIOWrapper(raw, encoding="utf-8", newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    writer.writerows(rows(findings))
    out.flush()
    return raw.getvalue()


def rows(findings: Findings) -> Iterator[list[str]]:
    """The rows of the table, in the order of `COLUMNS`."""
    seen = {(each.tile, each.row, each.column): each for each in findings.seen}
    for id, tile in sorted(findings.catalogue.tiles.items()):
        photo = measured.columns_of(findings, id)
        moved = movement.columns_of(findings, tile)
        known_by = findings.reached[id].by if id in findings.reached else "unknown"
        for cell in tile.cells:
            row = _row(tile, cell, seen.get((id, cell.row, cell.column)), known_by)
            told = photo.get((cell.row, cell.column), NOTHING)
            spot = cell.row, cell.column
            yield [*(as_text_only(each) if each else each for each in row), *told, *moved[spot]]


def _row(tile: Tile, cell: Cell, seen: Seen | None, known_by: str) -> list[str]:
    cone = seen.cone.label if seen and seen.cone else ""
    verdicts = seen.verdicts if seen else {}
    return [
        tile.id,
        tile.mark or "",
        str(cell.row),
        str(cell.column),
        *[_factor(cell.where.get(name, "")) for name in FACTORS],
        layers(tile, cell.underglaze),
        cone,
        f"cone {cone}" if cone else "",
        known_by,
        seen.atmosphere if seen else "",
        *("; ".join(verdicts.get(name, ())) for name in PROPERTIES),
        tile.set_aside or "",
    ]


def _factor(given: Value) -> str:
    return f"{given:g}" if isinstance(given, float) else str(given)


def layers(tile: Tile, name: str) -> str:
    """What a tile's own stack or mixture is made of, bottom first; empty for a single colour."""
    if name in tile.stacks:
        return "; ".join(
            layer.underglaze if layer.coats is None else f"{layer.underglaze} {layer.coats}"
            for layer in tile.stacks[name]
        )
    parts = tile.mixes.get(name, {})
    return " + ".join(f"{id} {amount:g}" for id, amount in parts.items())


def as_text_only(text: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(_FORMULA) else text
