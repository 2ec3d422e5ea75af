"""Each measured cell against its underglaze's agreed true colour, and against its neighbours.

In: a tile, its measurement, the measurements of the tiles that show true colours. Out: differences
with what they were taken against. Reads no photo. Across photos nothing is told where one of
their cards seems to lie in another light than its tile.

True is what the underglaze's record agrees on: the cell without clear of the tile it names, else
that tile's first cell of this colour; without a tile named, a cell without clear on the same tile.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..colour import ciede2000
from ..colour.seeing import direction, seen_as
from ..records.catalogue import Catalogue
from ..records.tile import Cell, Tile
from .clays import Clays
from .results import CellColour, TileMeasurement
from .wetting import least_difference

Spot = tuple[int, int]
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
    here = {(cell.row, cell.column): cell for cell in measured.cells}
    told = {}
    for cell in tile.cells:
        spot = (cell.row, cell.column)
        if spot in here:
            told[spot] = _one(catalogue, tile, cell, here[spot], measured, others)
    return told


def _one(
    catalogue: Catalogue,
    tile: Tile,
    cell: Cell,
    seen: CellColour,
    measured: TileMeasurement,
    others: Mapping[str, TileMeasurement],
) -> Against:
    if seen.lab is None:
        return Against(None, reason=seen.status)
    colour = catalogue.underglazes.get(cell.underglaze)
    if colour is None:
        return Against(None, reason="a layer, a mixture or no underglaze has no agreed colour")
    owner = catalogue.tiles.get(colour.true_colour or tile.id, tile)
    source = measured if owner.id == tile.id else others.get(owner.id)
    true = true_cell(owner, cell.underglaze, named=colour.true_colour is not None)
    if source is None or true is None:
        return Against(None, reason=_why_none(colour.true_colour))
    if (owner.id, true.row, true.column) == (tile.id, cell.row, cell.column):
        return Against(None, reason="this cell itself is what true means")
    lab = next((c.lab for c in source.cells if (c.row, c.column) == (true.row, true.column)), None)
    if lab is None:
        return Against(None, reason="the cell that shows the true colour was not measured")
    doubt = None if owner.id == tile.id else _other_light(catalogue, tile, measured, source)
    if doubt is not None:
        return Against(None, reason=doubt)
    wet = true.clear == NO_CLEAR and cell.clear != NO_CLEAR
    delta, expected = least_difference(lab, seen.lab) if wet else (_delta(lab, seen.lab), lab)
    noise = max(measured.noise_delta_e or 0.0, source.noise_delta_e or 0.0)
    word = seen_as(delta, noise)
    changes = () if word == seen_as(0.0) else direction(expected, seen.lab)
    of = (owner.id, true.row, true.column)
    return Against(delta, word, changes, wet, of, owner.id == tile.id)


def _other_light(
    catalogue: Catalogue, tile: Tile, measured: TileMeasurement, source: TileMeasurement
) -> str | None:
    """Why the brightness of two photos cannot be compared; None where nothing speaks against it."""
    if measured.balance.doubt:
        return measured.balance.doubt
    if source.balance.doubt:
        return f"on the photo of {source.tile}, {source.balance.doubt}"
    return Clays(catalogue, {source.tile: source}).doubt(tile, measured)


def _delta(one: tuple[float, float, float], other: tuple[float, float, float]) -> float:
    return float(ciede2000(one, other))


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
