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
from .measure import measured_and_seen
from .request import Request
from .results import TileMeasurement
from .view import View


class NotMeasurable(Exception):
    """A tile without a photo that can be measured; the message says what is missing."""


def measure_tile(catalogue: Catalogue, tile: Tile) -> TileMeasurement:
    """Measure the tile's first photo that has corners.

    Raises NotMeasurable where there is none, or where it cannot be opened.
    """
    return measured_and_asked(catalogue, tile)[0]


def measured_and_asked(catalogue: Catalogue, tile: Tile) -> tuple[TileMeasurement, View, Request]:
    """The same, the view that it was read from, and what was asked. Raises as `measure_tile`."""
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
    return *measured_and_seen(opened, request), request


def true_colours_of(catalogue: Catalogue, tile: Tile) -> dict[str, TileMeasurement]:
    """The measurements of the tiles that show this one's true colours, as far as there are any."""
    found = {}
    for name in true_tiles(catalogue, tile):
        try:
            found[name] = measure_tile(catalogue, catalogue.tiles[name])
        except NotMeasurable:
            continue
    return found
