"""Each measured cell against its underglaze's agreed true colour, and against its neighbours.

In: a tile, its measurement, the measurements of the tiles that show true colours. Out: differences
with what they were taken against. Reads no photo. Across photos nothing is told where one of
their cards seems to lie in another light than its tile.

True is what the underglaze's record agrees on: the cell without clear of the tile it names, else
that tile's first cell of this colour; without a tile named, a cell without clear on the same tile.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from ..colour import ciede2000
from ..colour.seeing import directions, seen_as
from ..records.catalogue import Catalogue
from ..records.tile import Cell, Tile
from .clays import Clays
from .looks import batches
from .results import CellColour, TileMeasurement
from .wetting import least_differences

Spot = tuple[int, int]
Lab = tuple[float, float, float]
NO_CLEAR = "none"


@dataclass(frozen=True, slots=True)
class Against:
    """How far a cell lies from its agreed colour. `delta_e` is ΔE00, wetting allowed for where
    `wetted`; `seen` what an eye makes of it, `changes` in which directions; `of` names the tile and
    cell that agree on the colour; `same_photo` False makes it approximate. `reason` says why there
    is none."""

    delta_e: float | None
    seen: str | None = None
    changes: tuple[str, ...] = ()
    wetted: bool = False
    of: tuple[str, int, int] | None = None
    same_photo: bool = True
    reason: str | None = None


def true_tiles(catalogue: Catalogue, tile: Tile) -> tuple[str, ...]:
    """The tiles whose measurement is wanted to tell this one's true colours, itself left out."""
    found = []
    for cell in tile.cells:
        colour = catalogue.underglazes.get(cell.underglaze)
        if colour and colour.true_colour and colour.true_colour != tile.id:
            found.append(colour.true_colour)
    return tuple(dict.fromkeys(name for name in found if name in catalogue.tiles))


def against(
    catalogue: Catalogue,
    tile: Tile,
    measured: TileMeasurement,
    others: Mapping[str, TileMeasurement],
) -> dict[Spot, Against]:
    """For each cell of the tile how far it lies from what its underglaze should be."""
    return _of_tiles(catalogue, [(tile, measured)], others)[tile.id]


def against_each(
    catalogue: Catalogue, measured: Mapping[str, TileMeasurement]
) -> dict[str, dict[Spot, Against]]:
    """The same for every measured tile, by id; all at once it is many times quicker."""
    looked = [(catalogue.tiles[id_], one) for id_, one in measured.items()]
    return _of_tiles(catalogue, looked, measured)


def _of_tiles(
    catalogue: Catalogue,
    looked: Iterable[tuple[Tile, TileMeasurement]],
    others: Mapping[str, TileMeasurement],
) -> dict[str, dict[Spot, Against]]:
    told: dict[str, dict[Spot, Against]] = {}
    pairs: list[_Pair] = []
    for tile, measured in looked:
        own = told[tile.id] = {}
        here = {(cell.row, cell.column): cell for cell in measured.cells}
        light = _Light(catalogue, tile, measured)
        for cell in tile.cells:
            spot = (cell.row, cell.column)
            if spot not in here:
                continue
            found = _pair(catalogue, tile, cell, here[spot], measured, others, light)
            if isinstance(found, str):
                own[spot] = Against(None, reason=found)
            else:
                own[spot] = _NOT_YET  # keeps its place in the order
                pairs.append(found)
    for some in batches(pairs):
        for pair, off in zip(some, _compared(some), strict=True):
            told[pair.tile][pair.spot] = off
    return told


_NOT_YET = Against(None)


@dataclass(frozen=True, slots=True)
class _Pair:
    """A cell and what it is held against. `wet` says that a gloss may have wetted the bare true
    colour, `of` where that colour is, `noise` below which nothing is seen (ΔE00)."""

    tile: str
    spot: Spot
    seen: Lab
    true: Lab
    wet: bool
    of: tuple[str, int, int]
    noise: float


def _compared(pairs: Sequence[_Pair]) -> list[Against]:
    """Many pairs at once: one by one they would cost a large catalogue seconds."""
    seen, expected = (np.array([getattr(p, name) for p in pairs]) for name in ("seen", "true"))
    away = ciede2000(expected, seen)
    wet = np.array([pair.wet for pair in pairs])
    if wet.any():
        away[wet], expected[wet] = least_differences(expected[wet], seen[wet])
    told = []
    for pair, delta, changes in zip(pairs, away.tolist(), directions(expected, seen), strict=True):
        word = seen_as(delta, pair.noise)
        changes = () if word == seen_as(0.0) else changes
        same = pair.of[0] == pair.tile
        told.append(Against(delta, word, changes, pair.wet, pair.of, same))
    return told


def _pair(
    catalogue: Catalogue,
    tile: Tile,
    cell: Cell,
    seen: CellColour,
    measured: TileMeasurement,
    others: Mapping[str, TileMeasurement],
    light: _Light,
) -> _Pair | str:
    """What a cell is held against, or why it cannot be."""
    if seen.lab is None:
        return seen.status
    colour = catalogue.underglazes.get(cell.underglaze)
    if colour is None:
        return "a layer, a mixture or no underglaze has no agreed colour"
    owner = catalogue.tiles.get(colour.true_colour or tile.id, tile)
    source = measured if owner.id == tile.id else others.get(owner.id)
    true = true_cell(owner, cell.underglaze, named=colour.true_colour is not None)
    if source is None or true is None:
        return _why_none(colour.true_colour)
    if (owner.id, true.row, true.column) == (tile.id, cell.row, cell.column):
        return "this cell itself is what true means"
    lab = next((c.lab for c in source.cells if (c.row, c.column) == (true.row, true.column)), None)
    if lab is None:
        return "the cell that shows the true colour was not measured"
    doubt = None if owner.id == tile.id else light.doubt(source)
    if doubt is not None:
        return doubt
    wet = true.clear == NO_CLEAR and cell.clear != NO_CLEAR
    noise = max(measured.noise_delta_e or 0.0, source.noise_delta_e or 0.0)
    spot, of = (cell.row, cell.column), (owner.id, true.row, true.column)
    return _Pair(tile.id, spot, seen.lab, lab, wet, of, noise)


class _Light:
    """Why the brightness of this tile's photo and another's cannot be compared, asked of each other
    photo once; None where nothing speaks against it."""

    def __init__(self, catalogue: Catalogue, tile: Tile, measured: TileMeasurement) -> None:
        self._catalogue, self._tile, self._measured = catalogue, tile, measured
        self._known: dict[str, str | None] = {}

    def doubt(self, source: TileMeasurement) -> str | None:
        """In words."""
        if source.tile not in self._known:
            self._known[source.tile] = self._doubt(source)
        return self._known[source.tile]

    def _doubt(self, source: TileMeasurement) -> str | None:
        if self._measured.balance.doubt:
            return self._measured.balance.doubt
        if source.balance.doubt:
            return f"on the photo of {source.tile}, {source.balance.doubt}"
        clays = Clays(self._catalogue, {source.tile: source})
        return clays.doubt(self._tile, self._measured)


def _why_none(named: str | None) -> str:
    if named is None:
        return "nobody has agreed on its true colour; a cell without clear on the tile would tell"
    return f"the tile {named} that shows its true colour has no measured photo"


def true_cell(tile: Tile, underglaze: str, *, named: bool) -> Cell | None:
    """The cell of a tile that shows an underglaze as it should be. `named` is whether the
    underglaze's record names this tile: then a cell under a clear serves where none is bare."""
    own = [cell for cell in tile.cells if cell.underglaze == underglaze]
    bare = [cell for cell in own if cell.clear == NO_CLEAR]
    if bare:
        return max(bare, key=lambda cell: cell.underglaze_coats or 0)
    return own[0] if own and named else None
