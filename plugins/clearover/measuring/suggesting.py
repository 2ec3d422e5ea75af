"""Corners suggested for one tile of a catalogue: opens its photo, writes nothing.

In: a catalogue and a tile. Out: the photo's name and what was found in it.
"""

from __future__ import annotations

from ..photos.opening import open_photo
from ..photos.results import PhotoRefused
from ..records.catalogue import Catalogue
from ..records.tile import Tile
from .find_corners import CornersFound, find_corners
from .reading import NotMeasurable


def suggest_corners(catalogue: Catalogue, tile: Tile) -> tuple[str, CornersFound]:
    """Look for the grid in the tile's measured photo, else in its first.

    Raises NotMeasurable where it has no photo, or one that cannot be opened.
    """
    photo = tile.measured_photo or next(iter(tile.photos), None)
    if photo is None:
        raise NotMeasurable(f"{tile.id} has no photo to look for corners in")
    try:
        opened = open_photo(catalogue.photo_path(tile, photo.file))
    except PhotoRefused as refusal:
        raise NotMeasurable(
            f"no corners can be found for {tile.id}: {photo.file}: {refusal.fault.found}"
        ) from None
    ratio = photo.width_mm / photo.height_mm if photo.width_mm and photo.height_mm else None
    curved = tile.shape == "curved"
    found = find_corners(
        opened, tile.rows, tile.columns, ratio, lines=mostly_lines(tile), curved=curved
    )
    return photo.file, found


def mostly_lines(tile: Tile) -> bool:
    """Whether lines are painted on more than half of the cells: the rest of it is clay then, and
    the lines may be left out of its picture."""
    lines = sum("line" in cell.where or "line width mm" in cell.where for cell in tile.cells)
    return 2 * lines > len(tile.cells)
