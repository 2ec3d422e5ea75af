"""Whether the bare clay of a photo is as light as other photos of the same clay show it.

In: a catalogue, measurements. Out: a doubt, or None. Clay of one body fired alike is as light on
every photo; where it is not, one of the cards lay in another light than its tile. Knows no pixels.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..colour.srgb import luminance
from ..records.catalogue import Catalogue
from ..records.tile import Tile
from .limits import limit
from .other_light import ANOTHER
from .results import TileMeasurement


class Clays:
    """The clay of every photo, by what it is and how it was fired: of one body all over, the last
    firing aimed at the same cone in the same atmosphere."""

    def __init__(self, catalogue: Catalogue, measured: Mapping[str, TileMeasurement]) -> None:
        self._catalogue = catalogue
        self._found: dict[tuple[object, ...], dict[str, float]] = {}
        for name, one in measured.items():
            alike, light = _burnt(catalogue, catalogue.tiles[name]), _lightness(one)
            if alike is not None and light is not None:
                self._found.setdefault(alike, {})[name] = light

    def doubt(self, tile: Tile, measured: TileMeasurement) -> str | None:
        """Where the clay is much lighter or darker than on all others that are alike."""
        own, alike = _lightness(measured), _burnt(self._catalogue, tile)
        if own is None or alike is None:
            return None
        found = self._found.get(alike, {})
        others = [light for name, light in found.items() if name != tile.id]
        if not others:
            return None
        usual = float(np.median(others))
        off = max(own / usual, usual / own)
        if off < limit("clay_apart"):
            return None
        where = "another photo" if len(others) == 1 else f"{len(others)} other photos"
        word = "lighter" if own > usual else "darker"
        told = ANOTHER.format("card" if measured.balance.by == "grey card" else "chart")
        return f"{told}: by it the clay is {off:.1f} times {word} than on {where} of tiles alike"


def _burnt(catalogue: Catalogue, tile: Tile) -> tuple[object, ...] | None:
    """The body, and at what cone and in which atmosphere it was last fired, as far as stated."""
    bodies = {cell.where.get("body") for cell in tile.cells}
    if len(bodies) != 1 or None in bodies:
        return None
    last = catalogue.firings.get(tile.firings[-1]) if tile.firings else None
    return (*bodies, last.aimed, last.atmosphere) if last else (*bodies, tile.cone, tile.atmosphere)


def _lightness(measured: TileMeasurement) -> float | None:
    """Y of the clay, white = 1, where it can be trusted by all that its own photo says."""
    clay = measured.balance.clay
    if clay is None or measured.balance.doubt:
        return None
    return luminance(clay[0]) or None  # a black photo shows no clay
