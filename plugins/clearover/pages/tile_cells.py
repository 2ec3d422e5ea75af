"""The verdicts of a tile in its own shape: a table whose cells hold the crop and what was said.

In: a tile, who judged it, the reasons. Out: rows of `CellView`. What everybody judged alike
on every cell is left to the line above the table.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from markupsafe import Markup

from ..records.tile import Tile
from ..records.words import PROPERTIES
from .environment import body_environment
from .lookup import Lookup
from .measured_words import MeasuredCell
from .pictures import Crop
from .reasons import Reasons


@dataclass(frozen=True, slots=True)
class Said:
    """What was said of one property of one cell: [(verdict, who)]; one entry where all agree."""

    prop: str
    said: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class CellView:
    """One cell of the table."""

    id: str
    crop: Crop | None
    verdicts: Markup
    reason: dict[str, Any] | None
    measured: MeasuredCell | None = None


def table(
    known: Lookup,
    tile: Tile,
    judges: list[str],
    told: Reasons,
    everywhere: dict[str, str],
    photo: Mapping[tuple[int, int], MeasuredCell],
) -> list[list[CellView | None]]:
    """The cells in the tile's own shape; None where a cell is missing. `photo` is what the photo
    says of each."""
    rows: list[list[CellView | None]] = [[None] * tile.columns for _ in range(tile.rows)]
    for cell in tile.cells:
        place = cell.row, cell.column
        rows[cell.row - 1][cell.column - 1] = CellView(
            f"r{cell.row}c{cell.column}",
            known.crop(tile.id, *place),
            verdicts_html(_verdicts(tile, place, judges, everywhere), bool(everywhere)),
            told.of_cell(cell),
            photo.get(place),
        )
    return rows


@lru_cache(maxsize=4096)
def verdicts_html(verdicts: tuple[Said, ...], more: bool) -> Markup:
    """A cell's verdicts as HTML; many cells say the same. `more`: something is said elsewhere."""
    template = body_environment().get_template("verdicts.html")
    return Markup(template.render(verdicts=verdicts, more=more))


def everywhere_alike(tile: Tile) -> dict[str, str]:
    """Properties that everybody judged alike on every cell: said once, not in each cell."""
    if len(tile.cells) < 2:
        return {}
    alike = {}
    for prop in PROPERTIES:
        texts = set()
        for cell in tile.cells:
            said = [judged.verdict(prop, cell.row, cell.column) for judged in tile.judged]
            texts |= {verdict.text for verdict in said if verdict} or {""}
        if len(texts) == 1 and "" not in texts:
            alike[prop] = texts.pop()
    return alike


def _verdicts(
    tile: Tile, place: tuple[int, int], judges: list[str], everywhere: dict[str, str]
) -> tuple[Said, ...]:
    """Each property's verdicts on one cell; where people or days differ, each with its name."""
    told = []
    for prop in PROPERTIES:
        said = tuple(
            (verdict.text, judges[number])
            for number, judged in enumerate(tile.judged)
            if (verdict := judged.verdict(prop, *place))
        )
        if said and (prop == "colour" or prop not in everywhere):
            differ = len({text for text, _ in said}) > 1
            told.append(Said(prop, said if differ else ((said[0][0], ""),)))
    return tuple(told)
