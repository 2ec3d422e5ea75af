"""What people saw of crazing and shivering, and whether it bears out what was reckoned.

In: the catalogue's tiles, and the risk of each clear on each body. Out: sightings, a tile at a
time, with their days after the firing, and how often a prediction agreed. A tile judged clean soon
after the kiln says little: crazing can come weeks later.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from ..glass.crazing import CrazeRisk, limits
from ..records.catalogue import Catalogue
from ..records.tile import Tile
from ..records.words import NONE

CRAZED, SHIVERED, SOUND = "crazed", "shivered", "not crazed"
Pair = tuple[str, str]
"""(clear, body), by their ids."""


@dataclass(frozen=True, slots=True)
class Sighting:
    """What one tile shows of one clear on one body.

    `saw` holds `crazed`, `shivered`, both, or `not crazed` alone; `on` is the first day it was
    seen, for a sound tile the last day somebody looked; `days` after the firing. Both may be None.
    """

    tile: str
    saw: tuple[str, ...]
    on: dt.date | None
    days: int | None


@dataclass(frozen=True, slots=True)
class Agreement:
    """Tiles that bear on a prediction “likely” or “unlikely”; `early` ones are not counted."""

    agree: int = 0
    disagree: int = 0
    early: int = 0

    @property
    def counted(self) -> int:
        return self.agree + self.disagree

    def __add__(self, other: Agreement) -> Agreement:
        return Agreement(
            self.agree + other.agree, self.disagree + other.disagree, self.early + other.early
        )


def sightings(catalogue: Catalogue) -> dict[Pair, tuple[Sighting, ...]]:
    """Every judged surface, by clear and body. Tiles set aside do not count."""
    found: dict[Pair, list[Sighting]] = {}
    for tile in catalogue.tiles.values():
        if tile.set_aside is None and any(block.surface for block in tile.judged):
            for pair, sighting in _of_tile(tile, _fired(tile, catalogue)):
                found.setdefault(pair, []).append(sighting)
    return {pair: tuple(seen) for pair, seen in found.items()}


def agreement(risk: CrazeRisk, seen: Iterable[Sighting], fault: str = CRAZED) -> Agreement:
    """How a prediction of one fault, crazed or shivered, stands against the tiles."""
    said = risk.crazing if fault == CRAZED else risk.shivering
    return sum((_bears_out(said, fault, sighting) for sighting in seen), Agreement())


def is_early(sighting: Sighting) -> bool:
    """Whether a sound tile was looked at too soon to tell; without a day nobody knows."""
    early = limits("days")["early"].value
    return sighting.days is None or sighting.days < early


def _of_tile(tile: Tile, fired: dt.date | None) -> Iterable[tuple[Pair, Sighting]]:
    pairs = {
        (cell.row, cell.column): (cell.clear, str(cell.where["body"]))
        for cell in tile.cells
        if cell.clear != NONE and "body" in cell.where
    }
    saw: dict[Pair, dict[str, dt.date | None]] = {}
    for block in sorted(tile.judged, key=lambda one: one.on or dt.date.max):
        for place, verdict in block.surface.items():
            if place in pairs:
                told = saw.setdefault(pairs[place], {})
                for fault in (CRAZED, SHIVERED):
                    if fault in verdict.words:
                        told.setdefault(fault, block.on)
                if block.on or SOUND not in told:
                    told[SOUND] = block.on  # the last day somebody looked
    for pair, told in saw.items():
        faults = tuple(name for name in (CRAZED, SHIVERED) if name in told)
        on = told[faults[0]] if faults else told[SOUND]
        days = (on - fired).days if on and fired else None
        yield pair, Sighting(tile.id, faults or (SOUND,), on, days)


def _fired(tile: Tile, catalogue: Catalogue) -> dt.date | None:
    firing = catalogue.firings.get(tile.firings[-1]) if tile.firings else None
    return firing.fired if firing else None


def _bears_out(said: str, fault: str, sighting: Sighting) -> Agreement:
    if said not in ("likely", "unlikely"):
        return Agreement()
    if fault in sighting.saw:
        return Agreement(agree=1) if said == "likely" else Agreement(disagree=1)
    if is_early(sighting):
        return Agreement(early=1)
    return Agreement(agree=1) if said == "unlikely" else Agreement(disagree=1)
