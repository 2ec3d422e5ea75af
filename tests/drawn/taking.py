"""Take a drawn photo of a tile: what is seen, what its record asks of it, what is true.

In: a tile, its catalogue, a seed. Out: the photo opened, the request a build would make of it with
corners and grey card where they were drawn, and the truth. Drawn at full difficulty (tilt to 25°,
light 2 : 1, 5 % glare, noise), saved as JPEG 80.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from clearover.measuring.asking import request_for
from clearover.measuring.request import Corners, Request
from clearover.photos.opening import Opened, open_photo
from clearover.records.catalogue import Catalogue
from clearover.records.tile import Tile
from drawing import draw_tile


@dataclass(frozen=True)
class Taken:
    """A drawn photo, what is asked of it, and what is true of it."""

    opened: Opened
    request: Request
    truth: dict[str, Any]


def take(
    tile: Tile,
    catalogue: Catalogue,
    seed: int,
    folder: Path,
    *,
    size: tuple[int, int],
    backdrop: str = "plain",
) -> Taken:
    """The photo goes into `folder`, named after the tile. `size` in px, wide by high."""
    picture, truth = draw_tile(tile, catalogue, seed, 1.0, size=size, backdrop=backdrop)
    path = folder / f"{tile.id}.jpg"
    picture.save(path, "JPEG", quality=80)
    asked = request_for(tile)
    assert asked is not None, f"{tile.id} has no photo with corners"
    wide, high = truth["grid_mm"]
    request = replace(
        asked,
        photo=path.name,
        corners=_points(truth["corners"]),
        grey_card=_points(truth["grey_card"]),
        reflectance=0.18,
        chart=None,
        width_mm=wide,
        height_mm=high,
        plain_backdrop=backdrop == "plain",
    )
    return Taken(open_photo(path), request, truth)


def _points(points: list[list[float]]) -> Corners:
    return tuple((x, y) for x, y in points)
