"""What chemistry says of a tile's cells, and where on the page it is said.

In: a tile and the cone it reached. Out: reasons, each told once with all the clears it is told of,
and for each column, row or cell the gravest of them: at the heading where it holds for the whole
column or row, in the cell else.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any

from markupsafe import Markup

from ..chemistry.flags import ANY, listens_to
from ..chemistry.results import Flag
from ..evidence.neighbours import heard_by
from ..evidence.results import Reached
from ..records.tile import Cell, Tile
from ..tables import plain
from . import words
from .link import Link, linked
from .lookup import Lookup

GRAVEST_FIRST = ("harm", "unknown", "help", "none")
Pair = tuple[str, str]
EVERYTHING = Link("Everything on this tile")
MOST = 3
"""Tiles of the load named as neighbours; the firing's page lists them all."""


class Reasons:
    """The reasons of one tile."""

    def __init__(self, known: Lookup, tile: Tile, reached: Reached | None) -> None:
        self._known = known
        self._tile = tile
        self._reached = reached
        self.grouped: list[dict[str, Any]] = []
        self._of_pair: dict[Pair, dict[str, Any]] = {}
        if reached is not None and reached.cone is not None:
            self._gather()

    def _gather(self) -> None:
        table: dict[tuple[str, str, str], dict[str, Any]] = {}
        for pair in dict.fromkeys((cell.underglaze, cell.clear) for cell in self._tile.cells):
            for flag in sorted(self._flags(pair), key=gravity):
                # What a neighbour does to any colour is said once for the whole tile.
                whole = flag.pigment == ANY and bool(heard_by(flag.rule))
                key = ("" if whole else pair[0], flag.rule, flag.because)
                if key not in table:
                    over = EVERYTHING if whole else self._known.link("underglaze", pair[0])
                    table[key] = {
                        "id": f"why-{len(table) + 1}",
                        "over": over,
                        "under": [],
                        "short": words.expectation(flag),
                        "flag": flag,
                        "beside": self._beside(flag),
                    }
                under = self._known.link("clear", pair[1])
                if under not in table[key]["under"]:
                    table[key]["under"].append(under)
                self._of_pair.setdefault(pair, table[key])
        self.grouped = list(table.values())

    def _flags(self, pair: Pair) -> tuple[Flag, ...]:
        underglaze, clear = pair
        kept, reached = self._known.catalogue, self._reached
        assert reached is not None and reached.cone is not None
        if underglaze not in kept.underglazes or clear not in kept.clears:
            return ()
        colour = kept.underglazes[underglaze]
        chem = self._known.findings.chemistry[clear]
        heard = listens_to(*colour.makeup, colour.colour, chem)
        near = self._known.company.near(self._tile.id) if heard else ()
        near = tuple(text for text in near if heard.intersection(plain(text).split()))
        return self._known.findings.flags(underglaze, clear, reached.cone, reached.atmosphere, near)

    def _beside(self, flag: Flag) -> Markup | None:
        """Which neighbours a flag speaks of: on this tile, on others of the load, or named there.

        None where the flag speaks of no neighbour.
        """
        heard = heard_by(flag.rule)
        if not heard:
            return None
        told: dict[str, Link] = {}
        others: dict[str, None] = {}
        for word in sorted(heard):
            found = self._known.company.beside(self._tile.id, word)
            for id_ in found.here:
                kind = "clear" if id_ in self._known.catalogue.clears else "underglaze"
                told[id_] = self._known.link(kind, id_)
            told |= {text: Link(text) for text in found.named}
            others |= dict.fromkeys(found.tiles)
        links = [*told.values(), *(self._known.link("tile", id_) for id_ in list(others)[:MOST])]
        more = len(others) - MOST
        if not links:
            return None
        return linked(links) + (f" and {words.count(more, 'tile')} more" if more > 0 else "")

    @cached_property
    def of_columns(self) -> list[dict[str, Any] | None]:
        """For each column its reason; all None where a column holds more than one pairing."""
        return self._along([cell.column for cell in self._tile.cells], self._tile.columns)

    @cached_property
    def of_rows(self) -> list[dict[str, Any] | None]:
        """For each row its reason, where the columns did not already say it."""
        if any(self.of_columns):
            return [None] * self._tile.rows
        return self._along([cell.row for cell in self._tile.cells], self._tile.rows)

    def _along(self, places: list[int], number: int) -> list[dict[str, Any] | None]:
        pairs: dict[int, set[Pair]] = {}
        for place, cell in zip(places, self._tile.cells, strict=True):
            pairs.setdefault(place, set()).add((cell.underglaze, cell.clear))
        if any(len(found) > 1 for found in pairs.values()):
            return [None] * number
        return [
            self._of_pair.get(next(iter(pairs[place]))) if place in pairs else None
            for place in range(1, number + 1)
        ]

    def of_cell(self, cell: Cell) -> dict[str, Any] | None:
        """A cell's reason, where neither its column nor its row says it."""
        if any(self.of_columns) or any(self.of_rows):
            return None
        return self._of_pair.get((cell.underglaze, cell.clear))


def number_sources(rows: list[dict[str, Any]]) -> list[str]:
    """Every source of these rows once; each row is given the numbers of its own, from 1."""
    known: dict[str, int] = {}
    for row in rows:
        named = [part.strip() for part in row["flag"].source.split(";")]
        row["sources"] = [known.setdefault(name, len(known) + 1) for name in named if name]
    return list(known)


def gravity(flag: Flag) -> int:
    """Harm first, then what nobody knows, then what helps."""
    return GRAVEST_FIRST.index(flag.direction)
