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

from markupsafe import Markup

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
    """Clears of which the chemistry says the same of one pigment's colour, line or surface, and at
    which cones."""

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
        self._parts: dict[int, list[Told]] = {}
        self._wish = {wish.prop: wish for wish in reversed(wishes().values())}

    def of(self, colour: Underglaze) -> dict[str, Any]:
        """The groups, the gravest first, and their sources."""
        key = chemistry_key(colour)
        if key not in self._made:
            self._made[key] = _told_once([self._view(group) for group in self._groups(colour)])
        made = self._made[key]
        cells = self._cells(colour)
        groups = [self._with_tiles(group, cells) for group in made]
        rows = [row for group in groups for row in group["flags"] if not row["again"]]
        sources = number_sources(rows)
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
                    group = found.setdefault(flags, Group(flags))
                    group.clears.setdefault(answer.clear, []).append(cone)
        return sorted(
            found.values(), key=lambda group: (gravity(group.flags[0]), -len(group.clears))
        )

    def _parted(self, flags: Told) -> list[Told]:
        """What is said of each pigment's colour, line and surface, each the gravest first."""
        made = self._parts.get(id(flags))
        if made is None:
            table: dict[tuple[str, str], list[Flag]] = {}
            for flag in sorted(flags, key=gravity):
                table.setdefault((flag.pigment, flag.property), []).append(flag)
            made = self._parts[id(flags)] = [tuple(told) for told in table.values()]
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
            "of": _subject(first),
            "what": words.expectation(first),
            "under": said if more > 0 else words.joined(names),
            "cones": f"cone {words.joined([cone.shown for cone in cones])}",
            "links": self._by_cone(group, cones),
            "held": held(group.flags, chemistry, self._known),
            "flags": [{"flag": flag, "by": _decided_by(flag)} for flag in group.flags],
            "pairings": [
                (id_, cone, self._places[0][1]) for id_, at in group.clears.items() for cone in at
            ],
        }

    def _by_cone(self, group: Group, cones: list[Cone]) -> list[tuple[str, Markup]]:
        """[(`cone 6`, links to the clears there), …]; without the cone where there is only one."""
        told: dict[str, list[Link]] = {}
        for id_, at in group.clears.items():
            where = words.joined([cone.shown for cone in sorted(at)])
            told.setdefault(where, []).append(self._known.link("clear", id_))
        single = len(cones) == 1 or len(told) == 1
        return [("" if single else f"Cone {where}", linked(links)) for where, links in told.items()]

    def _cells(self, colour: Underglaze) -> dict[Pairing, list[Seen]]:
        """The colour's own cells that count, where it lies alone."""
        table: dict[Pairing, list[Seen]] = defaultdict(list)
        for seen in self._known.by_underglaze.get(colour.id, ()):
            if seen.counts and seen.cone is not None:
                table[seen.clear, seen.cone, seen.atmosphere].append(seen)
        return table

    def _with_tiles(
        self, group: dict[str, Any], cells: dict[Pairing, list[Seen]]
    ) -> dict[str, Any]:
        """A group with the studio's own tiles, and for each flag how many bear it out."""
        here = [cell for pairing in group["pairings"] for cell in cells.get(pairing, ())]
        sides = list(self._sides(here, self._wish[group["flags"][0]["flag"].property]))
        if len(group["flags"]) == 1:
            flag = group["flags"][0]["flag"]
            return group | {"tiles": [side | {"stand": _side_of(flag, side)} for side in sides]}
        flags = [row | {"stand": _stand(row["flag"], sides)} for row in group["flags"]]
        return group | {"tiles": sides, "flags": flags}

    def _sides(self, seen: list[Seen], wish: Wish) -> Iterator[dict[str, Any]]:
        """The cells that came out well and those that did not, each with links to the first."""
        for good, said in ((True, wish.good_words), (False, wish.bad_words)):
            cells = [cell for cell in seen if cell.opinions.get(wish.id) is good]
            tiles = dict.fromkeys(cell.tile for cell in cells)
            if cells:
                yield {
                    "good": good,
                    "said": said,
                    "stand": "",
                    "cells": words.count(len(cells), "cell"),
                    "tiles": words.count(len(tiles), "tile"),
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


def _told_once(groups: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Give each reason its anchor where it is told first; later groups lead back to it."""
    told: dict[tuple[str, str], str] = {}
    for group in groups:
        for row in group["flags"]:
            key = row["flag"].rule, row["flag"].because
            row["stand"] = ""
            row["again"] = told.get(key, "")
            row["id"] = told.setdefault(key, f"said-{len(told) + 1}")
    return groups


def _subject(flag: Flag) -> str:
    return "this colour" if flag.pigment in (NOT_KNOWN, ANY) else flag.pigment


def _decided_by(flag: Flag) -> str:
    return words.joined([kind.name for kind in decided_by(flag.rule)])


def _side_of(flag: Flag, side: dict[str, Any]) -> str:
    """Whether cells speak for a flag or against it; nothing where the chemistry does not know.

    Cells that came out well speak against a harm, those that did not for it.
    """
    if flag.direction == "unknown":
        return ""
    return "Against it" if side["good"] is (flag.direction == "harm") else "For it"


def _stand(flag: Flag, sides: list[dict[str, Any]]) -> str:
    """`For it 8 cells, against it 1 cell`, where one group holds several flags."""
    told = sorted((_side_of(flag, side), side["cells"]) for side in sides)
    said = ", ".join(f"{stand} {cells}" for stand, cells in reversed(told) if stand)
    return words.first_upper(said.lower())
