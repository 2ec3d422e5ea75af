"""What became of a tile's photos: plain values for pages, finder and commands.

Files named here lie in the photo cache; their `name` is where the site serves them, below
`assets/photos/`, and holds a digest of all that made them.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from ..measuring.results import TileMeasurement


@dataclass(frozen=True, slots=True)
class Image:
    """One encoded picture. `width` and `height` in px."""

    name: str
    path: Path
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Sprite:
    """One picture that holds a crop for each cell, in the tile's own rows and columns.

    The crop of (row, column), counted from 1, lies at x = (column - 1) * cell_width,
    y = (row - 1) * cell_height.
    """

    image: Image
    rows: int
    columns: int
    cell_width: int
    cell_height: int


@dataclass(frozen=True, slots=True)
class WebPhoto:
    """One photo in its web sizes, smallest first, and where the grid's corners lie in it.

    `corners` are fractions of width and height, clockwise from the tile's own top left, or None.
    """

    file: str
    sizes: tuple[Image, ...]
    drawn: bool
    caption: str | None
    corners: tuple[tuple[float, float], ...] | None = None


@dataclass(frozen=True, slots=True)
class TilePhotos:
    """All pictures of one tile, and what its photo says. `straight` is the grid seen square on as
    photographed, `balanced` the same in even daylight, None where the photo has no way to tell."""

    tile: str
    photos: tuple[WebPhoto, ...]
    sprite: Sprite | None
    straight: Image | None
    balanced: Image | None = None
    measured: TileMeasurement | None = None


@dataclass(frozen=True, slots=True)
class PhotoFault:
    """What is wrong with a photo or its corners.

    `rule` names a rule of the record rules; `found` and `wanted` fill that rule's sentences:
    `problem(fault.rule, place, found=fault.found, wanted=fault.wanted)`.
    """

    rule: str
    found: str
    wanted: str


class PhotoRefused(Exception):
    """Raised where a photo cannot be opened; `fault` says why, in a record rule's words.

    `lasting` is False where the same bytes could be opened another time.
    """

    def __init__(self, fault: PhotoFault, *, lasting: bool = True) -> None:
        super().__init__(fault.rule, fault.found, fault.wanted)
        self.fault = fault
        self.lasting = lasting
