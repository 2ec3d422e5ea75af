"""What stood beside each cell in the fire that can colour it, or that it can colour.

In: the records and the chemistry of the clears. Out: for each tile the words that rules listen to
(`near`), and which cells and tiles brought them. A neighbour lies on the same tile, on another tile
of the same load, or is named by the firing's own record. How far vapour travels in a kiln nobody
has measured, so the whole load counts.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from ..chemistry.pigments import find_pigment
from ..chemistry.results import ClearChemistry
from ..chemistry.rules import rule_book
from ..records.catalogue import Catalogue
from ..records.models import Underglaze
from ..records.tile import Tile
from ..tables import plain

IN_A_CLEAR = {"tin": "SnO2", "lead": "PbO"}
"""What a clear itself brings, by its oxide."""
TRACE = 0.1
"""Weight per cent; less is a trace. The limit of zinc in classes.csv (common practice)."""


@dataclass(frozen=True, slots=True)
class Beside:
    """Who brought a word to a tile: colours and clears on the tile itself, other tiles of the load
    (ids), and what the firing's record names."""

    here: tuple[str, ...]
    tiles: tuple[str, ...]
    named: tuple[str, ...]


@dataclass(slots=True)
class Company:
    """Every tile's neighbours. Made once by `company`.

    `on` and `loads` map a tile and a firing to the words brought there and by whom; `named` holds
    what a firing's own record names, `last` each tile's last firing.
    """

    on: dict[str, dict[str, list[str]]] = field(default_factory=dict)
    loads: dict[str, dict[str, list[str]]] = field(default_factory=dict)
    named: dict[str, tuple[str, ...]] = field(default_factory=dict)
    last: dict[str, str] = field(default_factory=dict)
    _near: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def near(self, tile: str) -> tuple[str, ...]:
        """The words that rules may listen to, for every cell of this tile, in order."""
        if tile not in self._near:
            load = self.last.get(tile, "")
            words = {*self.on.get(tile, ()), *self.loads.get(load, ())}
            named = [text for text in self.named.get(load, ()) if plain(text) not in words]
            self._near[tile] = (*sorted(words), *named)
        return self._near[tile]

    def beside(self, tile: str, word: str) -> Beside:
        """Who brought this word."""
        load = self.last.get(tile, "")
        others = self.loads.get(load, {}).get(word, [])
        return Beside(
            here=tuple(self.on.get(tile, {}).get(word, ())),
            tiles=tuple(other for other in others if other != tile),
            named=tuple(text for text in self.named.get(load, ()) if word in plain(text).split()),
        )


def company(catalogue: Catalogue, chemistry: Mapping[str, ClearChemistry]) -> Company:
    """Every tile's neighbours, from what lies on the tiles of each load."""
    found = Company()
    colours = {id_: brought_by(colour) for id_, colour in catalogue.underglazes.items()}
    clears = {id_: _of_clear(chemistry.get(id_)) for id_ in catalogue.clears}
    for id_, firing in catalogue.firings.items():
        found.named[id_] = tuple(firing.near)
    for tile in catalogue.tiles.values():
        on = found.on[tile.id] = _on(tile, colours, clears)
        if tile.firings:
            found.last[tile.id] = tile.firings[-1]
        for load in dict.fromkeys(tile.firings):
            words = found.loads.setdefault(load, defaultdict(list))
            for word in on:
                words[word].append(tile.id)
    return found


def brought_by(colour: Underglaze) -> tuple[str, ...]:
    """What a colour brings to its neighbours: by its pigments, else by its elements."""
    found: dict[str, None] = {}
    pigments, colorants = colour.makeup
    for name in pigments:
        pigment = find_pigment(name)
        if pigment is not None:
            found |= dict.fromkeys(pigment.reaches_neighbours)
    if not found:
        elements = {plain(element) for element in colorants}
        leaves = ("chromium", "copper", "lead")
        found |= dict.fromkeys(element for element in leaves if element in elements)
        if "tin" in elements and colour.colour == "white":
            found["tin"] = None
    return tuple(found)


def _of_clear(chem: ClearChemistry | None) -> tuple[str, ...]:
    held = (chem and chem.oxides_weight_percent) or {}
    return tuple(word for word, oxide in IN_A_CLEAR.items() if held.get(oxide, 0.0) >= TRACE)


Brings = Mapping[str, tuple[str, ...]]


def _on(tile: Tile, colours: Brings, clears: Brings) -> dict[str, list[str]]:
    """Word -> the colours and clears on a tile that bring it; layers and mixtures included."""
    lying = dict.fromkeys(cell.underglaze for cell in tile.cells)
    for layers in tile.stacks.values():
        lying |= dict.fromkeys(layer.underglaze for layer in layers)
    for parts in tile.mixes.values():
        lying |= dict.fromkeys(parts)
    found: dict[str, list[str]] = {}
    over = dict.fromkeys(cell.clear for cell in tile.cells)
    for names, brings in ((lying, colours), (over, clears)):
        for id_ in names:
            for word in brings.get(id_, ()):
                found.setdefault(word, []).append(id_)
    return found


@lru_cache(maxsize=256)
def heard_by(rule: str) -> frozenset[str]:
    """The neighbours a rule listens to; none for most."""
    for one in rule_book().rules:
        if one.id == rule:
            return frozenset(word for key, wanted in one.when if key == "near" for word in wanted)
    return frozenset()
