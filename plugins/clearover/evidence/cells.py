"""Every cell of every tile as evidence.

In: the catalogue and the cone each tile reached. Out: one `Seen` a cell, and the tally of cells
and tiles for a wish.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from ..records import words
from ..records.tile import Cell, Judged, Tile, Verdict
from .results import Counts, Reached, Seen
from .wishes import Wish, wishes

TWO_THIRDS = 2 / 3


def seen_of(tile: Tile, reached: Reached) -> list[Seen]:
    """The cells of one tile."""
    own = {*tile.stacks, *tile.mixes}
    blocks = sorted(tile.judged, key=lambda b: b.on or dt.date.min, reverse=True)
    counts = tile.set_aside is None and reached.cone is not None
    return [_seen(tile, cell, reached, own, blocks, counts) for cell in tile.cells]


def _seen(
    tile: Tile, cell: Cell, reached: Reached, own: set[str], blocks: list[Judged], counts: bool
) -> Seen:
    body = cell.where.get("body")
    given = (_given(blocks, prop, cell) for prop in words.PROPERTIES)
    verdicts, opinions = _said(tuple(given))
    return Seen(
        tile=tile.id,
        row=cell.row,
        column=cell.column,
        underglaze=cell.underglaze,
        clear=cell.clear,
        underglaze_coats=cell.underglaze_coats,
        clear_coats=cell.clear_coats,
        body=str(body) if body else None,
        cone=reached.cone,
        atmosphere=reached.atmosphere,
        alone=cell.underglaze not in own,
        counts=counts,
        verdicts=verdicts,
        opinions=opinions,
    )


@lru_cache(maxsize=1024)
def _said(
    given: tuple[tuple[Verdict, ...], ...],
) -> tuple[dict[str, tuple[str, ...]], dict[str, bool | None]]:
    """Texts and opinions from the verdicts on each property. Cells of which the same was said share
    them: in a large catalogue that spares megabytes."""
    verdicts: dict[str, tuple[str, ...]] = {}
    opinions: dict[str, bool | None] = {}
    for prop, each in zip(words.PROPERTIES, given, strict=True):
        if each:
            verdicts[prop] = tuple(dict.fromkeys(verdict.text for verdict in each))
            for wish in wishes().values():
                if wish.prop == prop:
                    opinions[wish.id] = opinion(wish, each)
    return verdicts, opinions


def _given(blocks: list[Judged], prop: str, cell: Cell) -> tuple[Verdict, ...]:
    """Each person's newest verdict, newest person first. Blocks come newest first."""
    found: dict[str | None, Verdict] = {}
    for block in blocks:
        verdict = block.verdict(prop, cell.row, cell.column)
        if verdict is not None:
            found.setdefault(block.by, verdict)
    return tuple(found.values())


def opinion(wish: Wish, verdicts: Iterable[Verdict]) -> bool | None:
    """Good or bad where everybody's newest verdict agrees, else None."""
    each = {wish.judge(verdict) for verdict in verdicts}
    return each.pop() if len(each) == 1 else None


@dataclass(frozen=True, slots=True)
class Tally:
    """Cells and tiles of one pairing that bear on a wish, at one cone and atmosphere."""

    cells: Counts
    tiles: Counts
    seen: tuple[Seen, ...]

    @property
    def judged_tiles(self) -> int:
        """How many tiles were judged for the wish at all."""
        return self.tiles.good + self.tiles.bad + self.tiles.unclear

    def standing(self) -> str:
        """`tested`, `mixed` or `avoid`, counted by tile: more than two thirds decide."""
        judged = self.judged_tiles
        if self.tiles.good > TWO_THIRDS * judged:
            return "tested"
        return "avoid" if self.tiles.bad > TWO_THIRDS * judged else "mixed"


def tally(cells: Iterable[Seen], wish: Wish) -> Tally | None:
    """Count cells that bear on a wish; None where no cell was judged for it."""
    judged = tuple(cell for cell in cells if wish.id in cell.opinions)
    if not judged:
        return None
    by_tile: dict[str, list[bool | None]] = {}
    for cell in judged:
        by_tile.setdefault(cell.tile, []).append(cell.opinions[wish.id])
    everything = [value for values in by_tile.values() for value in values]
    return Tally(_count(everything), _count(map(_tile_says, by_tile.values())), judged)


def _tile_says(cells: list[bool | None]) -> bool | None:
    """A tile is good or bad where more than two thirds of its judged cells are."""
    if cells.count(True) > TWO_THIRDS * len(cells):
        return True
    return False if cells.count(False) > TWO_THIRDS * len(cells) else None


def _count(values: Iterable[bool | None]) -> Counts:
    listed = list(values)
    return Counts(listed.count(True), listed.count(False), listed.count(None))


def wilson_lower(good: int, total: int) -> float:
    """Lower end of the 90 % interval of a share: cautious, so one lucky cell is not the best.

    Source: E. B. Wilson, 1927, “Probable inference, the law of succession, and statistical
    inference”, J. Am. Stat. Assoc. 22, 209-212; z = 1.645 for a two-sided 90 % interval.
    """
    if good == 0:  # nothing good: exactly nothing, without rounding
        return 0.0
    z = 1.645
    share = good / total
    centre = share + z * z / (2 * total)
    spread = z * ((share * (1 - share) + z * z / (4 * total)) / total) ** 0.5
    return float(max(0.0, (centre - spread) / (1 + z * z / total)))
