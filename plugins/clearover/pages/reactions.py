"""Why a colour fares as it does under each clear: what reacts with what, how much of it is there,
who says so, what would change it, and which of the studio's own tiles bear it out.

In: a colour and the answers at each of the studio's cones. Out: groups of clears of which the
chemistry says the same, as plain values. What does not depend on tiles is made once for all colours
of one chemistry. Decides nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from ..chemistry.flags import ANY, NOT_KNOWN
from ..chemistry.results import Flag
from ..evidence.findings import chemistry_key, is_meant
from ..evidence.results import Seen
from ..evidence.wishes import Wish, wishes
from ..firing.cone import Cone
from ..records.models import Underglaze
from . import words
from .amounts_held import decided_by, held
from .link import Link, linked
from .lookup import ROOT, Lookup, tile_name
from .reasons import gravity, number_sources

MOST_TILES = 3
"""Tiles named on each side; the count says how many there are."""
NAMED = 4
"""Clears named on the line that opens a group."""
Told = tuple[Flag, ...]
Pairing = tuple[str, Cone, str]
"""A clear at a cone in an atmosphere."""


@dataclass(slots=True)
class Group:
    """Clears of which the chemistry says the same of one colour, and at which cones."""

    flags: Told
    clears: dict[str, list[Cone]] = field(default_factory=dict)


class Reactions:
    """The explanations of one site, colour by colour."""

    def __init__(self, known: Lookup) -> None:
        self._known = known
        own = known.catalogue.studio.atmosphere
        cones = known.catalogue.studio.cones
        self._places = [place for place in known.places if place[0] in cones and place[1] == own]
        self._made: dict[object, list[dict[str, Any]]] = {}
        self._own: dict[int, tuple[Told, Told]] = {}
        self._wish = {wish.prop: wish for wish in reversed(wishes().values())}

    def of(self, colour: Underglaze) -> dict[str, Any]:
        """The groups, the gravest first, and their sources."""
        key = chemistry_key(colour)
        if key not in self._made:
            self._made[key] = [self._view(group) for group in self._groups(colour)]
        made = self._made[key]
        cells = self._cells(colour)
        groups = [
            group | {"flags": [row | self._borne_out(row, group, cells) for row in group["flags"]]}
            for group in made
        ]
        sources = number_sources([row for group in groups for row in group["flags"]])
        return {"groups": groups, "sources": sources}

    def _groups(self, colour: Underglaze) -> list[Group]:
        """Clears in question at the studio's cones, by what the chemistry says of them."""
        found: dict[Told, Group] = {}
        kept = self._known.catalogue
        for cone, atmosphere in self._places:
            for answer in self._known.board(cone, atmosphere).by_underglaze[colour.id]:
                if not is_meant(kept.clears[answer.clear], cone):
                    continue
                for flags in self._parted(answer.flags):
                    if flags:
                        group = found.setdefault(flags, Group(flags))
                        group.clears.setdefault(answer.clear, []).append(cone)
        return sorted(
            found.values(), key=lambda group: (gravity(group.flags[0]), -len(group.clears))
        )

    def _parted(self, flags: Told) -> tuple[Told, Told]:
        """What is said of the pigment and what of any colour, each the gravest first."""
        made = self._own.get(id(flags))
        if made is None:
            ordered = sorted(flags, key=gravity)
            made = (
                tuple(flag for flag in ordered if flag.pigment != ANY),
                tuple(flag for flag in ordered if flag.pigment == ANY),
            )
            self._own[id(flags)] = made
        return made

    def _view(self, group: Group) -> dict[str, Any]:
        """Everything that is the same for all colours of one chemistry."""
        first = group.flags[0]
        names = [self._known.link("clear", id_).text for id_ in group.clears]
        cones = sorted({cone for cones in group.clears.values() for cone in cones})
        more = len(names) - NAMED
        said = ", ".join(names[:NAMED]) + (f" and {more} more" if more > 0 else "")
        chemistry = {id_: self._known.findings.chemistry[id_] for id_ in group.clears}
        return {
            "what": words.expectation(first),
            "under": said if more > 0 else words.joined(names),
            "cones": f"cone {words.joined([cone.shown for cone in cones])}",
            "links": linked([self._link(id_, group.clears[id_], cones) for id_ in group.clears]),
            "held": held(group.flags, chemistry, self._known),
            "flags": [
                {"flag": flag, "of": _subject(flag), "by": _decided_by(flag)}
                for flag in group.flags
            ],
            "pairings": [
                (id_, cone, self._places[0][1]) for id_, at in group.clears.items() for cone in at
            ],
        }

    def _link(self, clear: str, at: list[Cone], cones: list[Cone]) -> Link:
        """A clear; with its cones where the others of the group have more."""
        link = self._known.link("clear", clear)
        if len(at) == len(cones):
            return link
        only = words.joined([cone.shown for cone in sorted(at)])
        return Link(f"{link.text} (cone {only})", link.href)

    def _cells(self, colour: Underglaze) -> dict[Pairing, list[Seen]]:
        """The colour's own cells that count, where it lies alone."""
        table: dict[Pairing, list[Seen]] = defaultdict(list)
        for seen in self._known.by_underglaze.get(colour.id, ()):
            if seen.counts and seen.cone is not None:
                table[seen.clear, seen.cone, seen.atmosphere].append(seen)
        return table

    def _borne_out(
        self, row: dict[str, Any], group: dict[str, Any], cells: dict[Pairing, list[Seen]]
    ) -> dict[str, Any]:
        """The studio's own tiles: those that bear a flag out, and those that speak against it."""
        flag: Flag = row["flag"]
        wish = self._wish[flag.property]
        seen = [
            cell
            for pairing in group["pairings"]
            for cell in cells.get(pairing, ())
            if cell.opinions.get(wish.id) is not None
        ]
        if not seen:
            return {"tiles": []}
        sides = [(True, wish.good_words), (False, wish.bad_words)]
        if flag.direction == "harm":
            sides.reverse()
        told = [self._side(seen, wish, good, said, flag) for good, said in sides]
        return {"tiles": [side for side in told if side]}

    def _side(
        self, seen: list[Seen], wish: Wish, good: bool, said: str, flag: Flag
    ) -> dict[str, Any] | None:
        cells = [cell for cell in seen if cell.opinions[wish.id] is good]
        if not cells:
            return None
        tiles = dict.fromkeys(cell.tile for cell in cells)
        return {
            "stand": stand(flag, good),
            "said": said,
            "count": f"{words.count(len(cells), 'cell')}, {words.count(len(tiles), 'tile')}",
            "links": linked(list(self._first_cells(cells))),
            "more": len(tiles) > MOST_TILES,
        }

    def _first_cells(self, cells: Iterable[Seen]) -> Iterator[Link]:
        """Each tile once, as a link to its first cell that says so."""
        first: dict[str, Seen] = {}
        for cell in cells:
            first.setdefault(cell.tile, cell)
        for id_, cell in list(first.items())[:MOST_TILES]:
            name = tile_name(self._known.catalogue.tiles[id_])
            yield Link(name, f"{ROOT}tiles/{id_}.html#r{cell.row}c{cell.column}")


def _subject(flag: Flag) -> str:
    return "this colour" if flag.pigment in (NOT_KNOWN, ANY) else flag.pigment


def _decided_by(flag: Flag) -> str:
    return words.joined([kind.name for kind in decided_by(flag.rule)])


def stand(flag: Flag, good: bool) -> str:
    """Whether a good or a bad cell bears a flag out: `For`, `Against`, or neither (`Seen`)."""
    if flag.direction == "unknown":
        return "Seen"
    return "For" if good is (flag.direction != "harm") else "Against"
