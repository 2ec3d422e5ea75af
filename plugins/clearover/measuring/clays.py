"""Whether the bare clay of a photo is as light as other photos of the same clay show it.

In: a catalogue, measurements. Out: a doubt, or None. Clay of one body fired alike is as light on
every photo; where it is not, one of the cards lay in another light than its tile. Knows no pixels.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping

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
        self._sorted: dict[tuple[object, ...], list[float]] = {}
        for name, one in measured.items():
            alike, light = _burnt(catalogue, catalogue.tiles[name]), _lightness(one)
            if alike is not None and light is not None:
                self._found.setdefault(alike, {})[name] = light

    def doubt(self, tile: Tile, measured: TileMeasurement) -> str | None:
        """Where the clay is much lighter or darker than on all others that are alike."""
        own, alike = _lightness(measured), _burnt(self._catalogue, tile)
        if own is None or alike is None:
            return None
        found, rising = self._found.get(alike, {}), self._rising(alike)
        count = len(rising) - (tile.id in found)
        if count == 0:
            return None
        usual = _median(rising, without=found.get(tile.id))
        off = max(own / usual, usual / own)
        if off < limit("clay_apart"):
            return None
        where = "another photo" if count == 1 else f"{count} other photos"
        word = "lighter" if own > usual else "darker"
        told = ANOTHER.format("card" if measured.balance.by == "grey card" else "chart")
        return f"{told}: by it the clay is {off:.1f} times {word} than on {where} of tiles alike"

    def _rising(self, alike: tuple[object, ...]) -> list[float]:
        """The lightnesses of a group from dark to light, sorted once."""
        if alike not in self._sorted:
            self._sorted[alike] = sorted(self._found.get(alike, {}).values())
        return self._sorted[alike]


def _median(rising: list[float], without: float | None) -> float:
    """The median of what is left without one; in a group of thousands each tile asks for it."""
    skip = len(rising) if without is None else bisect_left(rising, without)
    count = len(rising) - (without is not None)
    low, high = (at + (at >= skip) for at in ((count - 1) // 2, count // 2))
    return (rising[low] + rising[high]) / 2


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
