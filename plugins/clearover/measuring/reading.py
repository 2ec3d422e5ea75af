"""Measure a tile of a catalogue: the one place here that opens photos.

In: a catalogue and a tile. Out: its measurement, or why there is none, and those of the tiles that
its true colours are shown on.
"""

from __future__ import annotations

from ..photos.opening import open_photo
from ..photos.results import PhotoRefused
from ..records.catalogue import Catalogue
from ..records.tile import Tile
from .against import true_tiles
from .asking import request_for
from .measure import measure
from .results import TileMeasurement


class NotMeasurable(Exception):
    """A tile without a photo that can be measured; the message says what is missing."""


def measure_tile(catalogue: Catalogue, tile: Tile) -> TileMeasurement:
    """Measure the tile's first photo that has corners.

    Raises NotMeasurable where there is none, or where it cannot be opened.
    """
    request = request_for(tile)
    if request is None:
        why = "none of its photos has corners" if tile.photos else "it has no photo"
        raise NotMeasurable(f"{tile.id} cannot be measured: {why}")
    try:
        opened = open_photo(catalogue.photo_path(tile, request.photo))
    except PhotoRefused as refusal:
        raise NotMeasurable(
            f"{tile.id} cannot be measured: {request.photo}: {refusal.fault.found}"
        ) from None
    return measure(opened, request)


def true_colours_of(catalogue: Catalogue, tile: Tile) -> dict[str, TileMeasurement]:
    """The measurements of the tiles that show this one's true colours, as far as there are any."""
    found = {}
    for name in true_tiles(catalogue, tile):
        try:
            found[name] = measure_tile(catalogue, catalogue.tiles[name])
        except NotMeasurable:
            continue
    return found
