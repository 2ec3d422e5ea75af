"""Why a colour fares as it does under each clear: what reacts with what.

In: a colour and the answers at each of the studio's cones. Out: folds, one for the clears of which
the chemistry says the same: how much of what reacts they hold, who says so, what would change it,
and the studio's own tiles for it and against it. What does not depend on tiles is written once for
all colours of one chemistry. Decides nothing.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import Any

from markupsafe import Markup

from ..chemistry.flags import ANY, NOT_KNOWN
from ..chemistry.results import Flag
from ..evidence.findings import chemistry_key, is_meant
from ..evidence.results import Seen
from ..evidence.wishes import wishes
from ..firing.cone import Cone
from ..records.models import Underglaze
from . import words
from .amounts_held import decided_by, held
from .environment import body_environment
from .lookup import Lookup
from .reasons import gravity, number_sources

MOST_TILES = 3
"""Tiles named on each side; the count says how many there are."""
NAMED = 4
"""Clears named on the line that opens a group."""
Told = tuple[Flag, ...]
Pairing = tuple[str, Cone, str]
"""A clear at a cone in an atmosphere."""


@dataclass(frozen=True, slots=True)
class Fold:
    """A group as it is written, but for the studio's own tiles."""

    html: Markup
    pairings: list[Pairing]
    flags: Told


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
        self._made: dict[object, tuple[list[Fold], Markup]] = {}
        self._template = body_environment().get_template("_reaction.html")
        self._sources = body_environment().get_template("_reaction_sources.html")
        self._parts: dict[int, list[Told]] = {}
        self._wish = {wish.prop: wish for wish in reversed(wishes().values())}

    def of(self, colour: Underglaze) -> dict[str, Any]:
        """The folds, the gravest first, with the colour's own tiles, and the sources."""
        key = chemistry_key(colour)
        if key not in self._made:
            self._made[key] = self._fixed(colour)
        folds, sources = self._made[key]
        cells = self._cells(colour)
        told = [(fold.html, self._own_tiles(fold, cells)) for fold in folds]
        return {"folds": told, "sources": sources}

    def _fixed(self, colour: Underglaze) -> tuple[list[Fold], Markup]:
        """What is the same for all colours of one chemistry, written once."""
        groups = self._groups(colour)
        views = _told_once([self._view(group) for group in groups])
        rows = [row for view in views for row in view["flags"] if not row["again"]]
        sources = number_sources(rows)
        air = self._known.catalogue.studio.atmosphere
        folds: list[Fold] = []
        for group, view in zip(groups, views, strict=True):
            at = [(id_, cone, air) for id_, cones in group.clears.items() for cone in cones]
            html = Markup(self._template.render(group=view, first=not folds))
            folds.append(Fold(html, at, group.flags))
        return folds, Markup(self._sources.render(sources=sources))

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
            "clears": self._by_cone(group, cones),
            "held": held(group.flags, chemistry, self._known),
            "flags": [{"flag": flag, "by": _decided_by(flag)} for flag in group.flags],
        }

    def _by_cone(self, group: Group, cones: list[Cone]) -> str:
        """`Cone 6: Ferry Glass and Mill Race; cone 05: Hay Light`, or all the clears of one cone.

        Nothing where the line that opens the fold says it all.
        """
        told: dict[str, list[str]] = {}
        for id_, at in group.clears.items():
            where = words.joined([cone.shown for cone in sorted(at)])
            told.setdefault(where, []).append(self._known.link("clear", id_).text)
        if len(told) == 1:
            (names,) = told.values()
            return words.joined(names) if len(names) > NAMED else ""
        parts = [f"cone {where}: {words.joined(names)}" for where, names in told.items()]
        return words.first_upper("; ".join(parts))

    def _cells(self, colour: Underglaze) -> dict[Pairing, list[Seen]]:
        """The colour's own cells that count, where it lies alone."""
        table: dict[Pairing, list[Seen]] = defaultdict(list)
        for seen in self._known.by_underglaze.get(colour.id, ()):
            if seen.counts and seen.cone is not None:
                table[seen.clear, seen.cone, seen.atmosphere].append(seen)
        return table

    def _own_tiles(
        self, fold: Fold, cells: dict[Pairing, list[Seen]]
    ) -> list[tuple[str, str, list[tuple[str, str]]]]:
        """The cells that came out well and those that did not: what they speak for, how many there
        are, and (address, name) of the first of each tile."""
        here = [cell for pairing in fold.pairings if pairing in cells for cell in cells[pairing]]
        if not here:
            return []
        wish = self._wish[fold.flags[0].property]
        told = []
        for good, said in ((True, wish.good_words), (False, wish.bad_words)):
            first: dict[str, Seen] = {}
            number = 0
            for cell in here:
                if cell.opinions.get(wish.id) is good:
                    number += 1
                    first.setdefault(cell.tile, cell)
            if number:
                count = (
                    f"{said} in {words.count(number, 'cell')}, {words.count(len(first), 'tile')}"
                )
                links = [self._place(cell) for cell in list(first.values())[:MOST_TILES]]
                told.append((speaks(fold.flags, good), count, links))
        return told

    def _place(self, cell: Seen) -> tuple[str, str]:
        link = self._known.link("tile", cell.tile)
        return f"{link.href}#r{cell.row}c{cell.column}", link.text


def _told_once(groups: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Give each reason its anchor where it is told first; later groups lead back to it."""
    told: dict[tuple[str, str], str] = {}
    for group in groups:
        for row in group["flags"]:
            key = row["flag"].rule, row["flag"].because
            row["again"] = told.get(key, "")
            row["id"] = told.setdefault(key, f"said-{len(told) + 1}")
    return groups


def _subject(flag: Flag) -> str:
    return "this colour" if flag.pigment in (NOT_KNOWN, ANY) else flag.pigment


def _decided_by(flag: Flag) -> str:
    return words.joined([kind.name for kind in decided_by(flag.rule)])


def speaks(flags: Told, good: bool) -> str:
    """What cells speak for and against: `for it`; of several flags each by its effect.

    Cells that came out well speak against a harm, those that did not for it. Where the chemistry
    does not know they speak for themselves.
    """
    known = [flag for flag in flags if flag.direction != "unknown"]
    sides: dict[str, list[str]] = {}
    for flag in known:
        side = "against" if good is (flag.direction == "harm") else "for"
        sides.setdefault(side, []).append(f"“{flag.effect}”")
    if len(flags) == 1 or len(sides) == 1:
        return "".join(f"{side} it" for side in sides)
    return ", ".join(f"{side} {words.joined(named)}" for side, named in sorted(sides.items()))
