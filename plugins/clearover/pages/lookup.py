"""What is said of each record, looked up once for all record pages.

In: the site. Out: a `Lookup`, asked by name: which tiles show a colour, a clear, a body or a load;
every answer at a cone, read both ways; links and crops. It decides nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from functools import cached_property

from ..evidence.neighbours import Company, company
from ..evidence.results import Conflict, Seen
from ..firing.cone import Cone
from ..records.catalogue import Catalogue
from ..records.tile import Tile
from ..records.words import COLOURS, NONE
from ..records.words import FOLDERS as ALL_FOLDERS
from . import words
from .board import Board, Place, board_at, places
from .link import Link, TileRow
from .page import Site
from .pictures import Crop, crop

NEUTRAL = ("black", "grey", "white")
ROOT = "../"
"""From a record's page, one folder deep, to the site's own folder."""
IN_ORDER = (*(word for word in COLOURS if word not in NEUTRAL), *NEUTRAL)
"""Colour words as pages list them: colours first, then black, grey and white."""
FOLDERS = {kind: folder for kind, folder in ALL_FOLDERS.items() if kind != "material"}
"""Kinds that have pages; a material is told on the clears it is in."""


class Lookup:
    """A site with the look-ups that its pages need; every table is made on first use."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self.findings = site.findings
        self.photos = site.photos
        self._rows: dict[str, TileRow] = {}
        self._links: dict[tuple[str, str], Link] = {}
        self._boards: dict[Place, Board] = {}

    @property
    def catalogue(self) -> Catalogue:
        """The records."""
        return self.findings.catalogue

    @cached_property
    def cells(self) -> dict[str, dict[tuple[int, int], Seen]]:
        """Tile -> (row, column) -> what was seen there."""
        table: dict[str, dict[tuple[int, int], Seen]] = defaultdict(dict)
        for seen in self.findings.seen:
            table[seen.tile][seen.row, seen.column] = seen
        return table

    @cached_property
    def _tiles(self) -> dict[tuple[str, str], list[Tile]]:
        table: dict[tuple[str, str], list[Tile]] = defaultdict(list)
        for tile in sorted(self.catalogue.tiles.values(), key=newest_first):
            for key in sorted(_named_by(tile)):
                table[key].append(tile)
        return table

    def tiles_of(self, kind: str, id_: str) -> list[Tile]:
        """The tiles that show a record, newest first; in a stack or mix a colour shows too."""
        return self._tiles.get((kind, id_), [])

    @cached_property
    def conflicts(self) -> dict[str, list[tuple[Conflict, bool]]]:
        """Tile -> the contradictions it is part of, and whether it is the first of the pair."""
        table: dict[str, list[tuple[Conflict, bool]]] = defaultdict(list)
        for conflict in self.findings.conflicts:
            table[conflict.one[0]].append((conflict, True))
            table[conflict.other[0]].append((conflict, False))
        return table

    @cached_property
    def company(self) -> Company:
        """What stood beside each tile in the fire, and on it."""
        return company(self.catalogue, self.findings.chemistry)

    @cached_property
    def by_underglaze(self) -> dict[str, list[Seen]]:
        """Underglaze -> its cells where it lies alone, in the order of the findings."""
        return _grouped((seen.underglaze, seen) for seen in self.findings.seen if seen.alone)

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """Every (cone, atmosphere) that has a board, the usual cone first."""
        return tuple(places(self.findings))

    def place(self, cone: Cone, atmosphere: str) -> str:
        """`cone 6`; the atmosphere is named where it is not the studio's own."""
        own = atmosphere == self.catalogue.studio.atmosphere
        air = "unknown atmosphere" if atmosphere == "unknown" else atmosphere
        return f"cone {cone.shown}" if own else f"cone {cone.shown}, {air}"

    def place_id(self, cone: Cone, atmosphere: str) -> str:
        """`cone-6`, `cone-10-reduction`: for addresses and anchors."""
        own = atmosphere == self.catalogue.studio.atmosphere
        return f"cone-{cone.label}" if own else f"cone-{cone.label}-{atmosphere}"

    @cached_property
    def stand_ins(self) -> dict[str, list[str]]:
        """Colour -> the colours that say they can replace it."""
        table: dict[str, list[str]] = defaultdict(list)
        for colour in self.catalogue.underglazes.values():
            for id_ in colour.stands_in_for:
                table[id_].append(colour.id)
        return table

    def board(self, cone: Cone, atmosphere: str) -> Board:
        """Every answer at a cone in an atmosphere, made once, readable from either side."""
        key = (cone, atmosphere)
        if key not in self._boards:
            self._boards[key] = board_at(self.findings, key)
        return self._boards[key]

    def link(self, kind: str, id_: str) -> Link:
        """A record's name and page; ids of stacks and mixes are named in words, without a page."""
        key = (kind, id_)
        if key not in self._links:
            self._links[key] = self._new_link(kind, id_)
        return self._links[key]

    def _new_link(self, kind: str, id_: str) -> Link:
        if kind == "tile":
            tile = self.catalogue.tiles.get(id_)
            return Link(tile_name(tile), f"{ROOT}tiles/{id_}.html") if tile else Link(id_)
        if id_ == NONE:
            return Link("no clear" if kind == "clear" else "no colour")
        name = self._names.get((kind, id_))
        if name is None:
            return Link(id_.replace("-", " "))
        return Link(name, f"{ROOT}{FOLDERS[kind]}/{id_}.html")

    @cached_property
    def _names(self) -> dict[tuple[str, str], str]:
        kept = self.catalogue
        names = {("underglaze", one.id): one.name for one in kept.underglazes.values()}
        names |= {("clear", one.id): one.name for one in kept.clears.values()}
        names |= {("body", one.id): one.name for one in kept.bodies.values()}
        return names | {
            ("firing", one.id): one.id.replace("-", " ") for one in kept.firings.values()
        }

    def title(self, tile: Tile) -> str:
        """What lies on a tile: `Hedge Bottom under four clears`."""
        colours = dict.fromkeys(cell.underglaze for cell in tile.cells)
        clears = dict.fromkeys(cell.clear for cell in tile.cells if cell.clear != NONE)
        over = self._few("underglaze", list(colours), "colour")
        under = self._few("clear", list(clears), "clear")
        return words.first_upper(f"{over} under {under}" if clears else f"{over} without a clear")

    def _few(self, kind: str, ids: list[str], what: str) -> str:
        if len(ids) > 2:
            return words.few(len(ids), what)
        return words.joined([self.link(kind, id_).text for id_ in ids])

    def tile_rows(self, tiles: Sequence[Tile]) -> list[TileRow]:
        """Tiles as other pages list them; each worked out once."""
        for tile in tiles:
            if tile.id not in self._rows:
                self._rows[tile.id] = self._row(tile)
        return [self._rows[tile.id] for tile in tiles]

    def _row(self, tile: Tile) -> TileRow:
        reached = self.findings.reached.get(tile.id)
        facts = [words.cone(reached.cone if reached else None), words.day(tile.made) or ""]
        facts.append("set aside" if tile.set_aside else "")
        return TileRow(
            called=words.first_upper(tile_name(tile)),
            href=f"{ROOT}tiles/{tile.id}.html",
            title=self.title(tile),
            facts=" · ".join(fact for fact in facts if fact),
        )

    def crop(self, tile: str, row: int, column: int, *, named: bool = True) -> Crop | None:
        """The picture of one cell, with what it shows in words where `named`."""
        photos = self.photos.get(tile)
        if photos is None:
            return None
        label = self.in_words(tile, row, column) if named else ""
        return crop(photos, row, column, label, ROOT, self.fill(tile, row, column))

    def fill(self, tile: str, row: int, column: int) -> str | None:
        """The colour measured on a cell, `#rrggbb`; None where none was, or none to be trusted."""
        if tile not in self.findings.measured or self.findings.light_doubt(tile):
            return None
        look = self.findings.looks(tile).get((row, column))
        return look.fill if look else None

    def in_words(self, tile: str, row: int, column: int) -> str:
        """A cell for those who do not see it: tile, colour, clear, coats, verdicts."""
        return f"{self.pair_words(tile, row, column)}, {self.cell_words(tile, row, column)}"

    def pair_words(self, tile: str, row: int, column: int) -> str:
        """The first half of that: `tile 114, Hedge Bottom, Lantern Pane`."""
        seen = self.cells[tile][row, column]
        names = [self.link("underglaze", seen.underglaze).text, self.link("clear", seen.clear).text]
        return ", ".join([tile_name(self.catalogue.tiles[tile]), *names])

    def cell_words(self, tile: str, row: int, column: int) -> str:
        """The second half: `2 coats, shifted brown, hazy`."""
        seen = self.cells[tile][row, column]
        parts = [" or ".join(texts) for texts in seen.verdicts.values() if texts]
        if seen.clear_coats is not None and seen.clear != NONE:
            parts.insert(0, words.coats(seen.clear_coats))
        return ", ".join(parts or ["not judged"])


def tile_name(tile: Tile) -> str:
    """How people call a tile: by what is scratched into it, else by its id in words."""
    return f"tile {tile.mark}" if tile.mark else f"tile {tile.id.replace('-', ' ')}"


def newest_first(tile: Tile) -> tuple[int, str]:
    """The key that sorts tiles by the day they were made, the latest first, undated last."""
    return (-tile.made.toordinal() if tile.made else 0, tile.id)


def _named_by(tile: Tile) -> set[tuple[str, str]]:
    named = {("firing", id_) for id_ in tile.firings}
    for cell in tile.cells:
        named.add(("underglaze", cell.underglaze))
        named.add(("clear", cell.clear))
        if "body" in cell.where:
            named.add(("body", str(cell.where["body"])))
    for layers in tile.stacks.values():
        named |= {("underglaze", layer.underglaze) for layer in layers}
    for parts in tile.mixes.values():
        named |= {("underglaze", id_) for id_ in parts}
    return named


def _grouped(pairs: Iterable[tuple[str, Seen]]) -> dict[str, list[Seen]]:
    table: dict[str, list[Seen]] = defaultdict(list)
    for key, seen in pairs:
        table[key].append(seen)
    return table


_last: list[Lookup] = []


def lookup(site: Site) -> Lookup:
    """The look-ups for this site, shared by all page modules of one build."""
    if not (_last and _last[0].site is site):
        _last[:] = [Lookup(site)]
    return _last[0]
