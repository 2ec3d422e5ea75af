"""A colour's page: which clear keeps it true, cone by cone, with the tile's own pictures.

In: the site. Out: one page a colour. First the answers in order of rank, the usual cone first;
then what is known of the colour, what its pigment does, and all its tiles.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..firing.cone import Cone
from ..records.models import Underglaze
from ..records.words import GUESS, NONE
from ..records.words import UNKNOWN as NOBODY_KNOWS
from . import measured, words
from .answers import OVER, groups, strip
from .environment import body_environment
from .link import Link, linked
from .lookup import ROOT, Lookup, lookup
from .page import Page, Site
from .reactions import Reactions

UNKNOWN = "unknown: ask the maker, or test it"


def pages(site: Site) -> Iterator[Page]:
    """One page for each underglaze."""
    known = lookup(site)
    template = body_environment().get_template("underglaze.html")
    reactions = Reactions(known)
    for colour in site.catalogue.underglazes.values():
        view = underglaze_view(known, colour, reactions)
        yield Page(
            address=f"underglazes/{colour.id}.html",
            kind="underglaze",
            title=colour.name,
            description=f"Which clear over {colour.name} ({colour.colour})? {view['account']}",
            nav="colours",
            body_html=template.render(view),
        )


def underglaze_view(known: Lookup, colour: Underglaze, reactions: Reactions) -> dict[str, Any]:
    """Everything the template says of one colour, as plain values."""
    cones = [part for place in known.places if (part := _at(known, colour, *place))]
    return {
        "root": ROOT,
        "record": colour,
        "banded": bool(known.findings.measured),
        "kicker": _kicker(colour),
        "cones": cones,
        "account": _account(cones),
        "bare": _bare(known, colour),
        "facts": _facts(known, colour),
        "measured": measured.true_colour(known, colour),
        "reactions": reactions.of(colour),
        "tiles": known.tile_rows(known.tiles_of("underglaze", colour.id)),
    }


def _kicker(colour: Underglaze) -> str:
    parts = ["Underglaze", colour.colour, "" if colour.status == "in use" else colour.status]
    return " · ".join(part for part in parts if part)


def _at(known: Lookup, colour: Underglaze, cone: Cone, atmosphere: str) -> dict[str, Any] | None:
    """The answers at one cone; None where the studio does not fire it and nothing is tested."""
    answers = known.board(cone, atmosphere).by_underglaze[colour.id]
    told = groups(known, "clear", ((one.clear, one) for one in answers), OVER)
    own = cone in known.catalogue.studio.cones and atmosphere == known.catalogue.studio.atmosphere
    tested = any(group["edge"] == "tested" for group in told)
    if not told or not (own or tested):
        return None
    return {
        "name": known.place(cone, atmosphere),
        "id": known.place_id(cone, atmosphere),
        "groups": told,
    }


def _account(cones: list[dict[str, Any]]) -> str:
    """One sentence for those who only see the link: the first tested group of the first cone."""
    for cone in cones:
        for group in cone["groups"]:
            if group["edge"] == "tested":
                names = [item["to"].text for item in group["rows"]][:4]
                return f"At {cone['name']}: {group['heading'].lower()} {words.joined(names)}."
    return "Not tested yet."


def _bare(known: Lookup, colour: Underglaze) -> dict[str, Any] | None:
    """The colour without a clear: from its agreed tile where one is named, else any."""
    cells = [seen for seen in known.by_underglaze.get(colour.id, []) if seen.clear == NONE]
    agreed = [seen for seen in cells if seen.tile == colour.true_colour]
    return strip(known, [(seen.tile, seen.row, seen.column) for seen in agreed or cells])


def _facts(known: Lookup, colour: Underglaze) -> list[tuple[str, Link | str]]:
    facts: list[tuple[str, Link | str]] = [("Pigment", _pigment(colour))]
    if colour.known_from:
        facts.append(("Known from", colour.known_from))
    if colour.colorants:
        guess = " (a guess)" if colour.known_from == GUESS else ""
        facts.append(("Colouring elements", words.joined(colour.colorants) + guess))
    if colour.maker:
        facts.append(("Maker", colour.maker))
    if colour.cones:
        facts.append(("Cones", colour.cones.shown))
    if colour.melts_from:
        facts.append(("Melts by itself from", f"cone {colour.melts_from.shown}"))
    if colour.true_colour:
        facts.append(("True colour is shown by", known.link("tile", colour.true_colour)))
    if colour.stands_in_for:
        stands = [known.link("underglaze", id_) for id_ in colour.stands_in_for]
        facts.append(("Can stand in for", linked(stands)))
    others = known.stand_ins.get(colour.id, [])
    if others:
        replaced = [known.link("underglaze", id_) for id_ in others]
        facts.append(("Can be replaced by", linked(replaced)))
    return facts


def _pigment(colour: Underglaze) -> str:
    if not colour.pigment:
        return UNKNOWN
    if colour.known_from != GUESS:
        return words.joined(colour.pigment)
    named = words.joined([name for name in colour.pigment if name != NOBODY_KNOWS])
    return f"{UNKNOWN}; a guess says {named}" if named else UNKNOWN
