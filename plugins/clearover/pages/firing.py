"""A kiln load's page: did it reach its cone, shelf by shelf, and what was in it.

In: the site. Out: one page a firing. What a shelf reached is worked out in `firing`, not here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..firing.cone import Cone
from ..firing.witness import witness_cone, witness_note
from ..records.models import Firing
from . import words
from .environment import body_environment
from .lookup import ROOT, Lookup, lookup
from .page import Page, Site


def pages(site: Site) -> Iterator[Page]:
    """One page for each firing."""
    known = lookup(site)
    template = body_environment().get_template("firing.html")
    for firing in site.catalogue.firings.values():
        view = firing_view(known, firing)
        yield Page(
            address=f"firings/{firing.id}.html",
            kind="firing",
            title=f"{view['name']}, {view['fired']}",
            description=view["verdict"],
            nav="tiles",
            body_html=template.render(view),
        )


def firing_view(known: Lookup, firing: Firing) -> dict[str, Any]:
    """Everything the template says of one load, as plain values."""
    shelves = [_shelf(firing, name, cones) for name, cones in firing.witness.items()]
    return {
        "root": ROOT,
        "record": firing,
        "name": words.first_upper(firing.id.replace("-", " ")),
        "fired": words.day(firing.fired),
        "verdict": _verdict(firing, shelves),
        "shelves": shelves,
        "facts": _facts(firing),
        "tiles": known.tile_rows(known.tiles_of("firing", firing.id)),
    }


def _shelf(firing: Firing, name: str, cones: dict[Cone, str]) -> dict[str, Any]:
    """One shelf: its witness cones as they stood, the cone reached, and what that means."""
    reached = witness_cone(cones)
    return {
        "name": name,
        "cones": [(cone.shown, state) for cone, state in sorted(cones.items())],
        "reached": reached,
        "note": witness_note(cones),
        "says": _says(firing.aimed, reached),
    }


def _says(aimed: Cone | None, reached: Cone | None) -> str:
    if reached is None:
        return "no witness cone fell, so its cone is not known"
    if aimed is None or reached == aimed:
        return f"reached cone {reached.shown}"
    how = "only reached" if reached < aimed else "went over, to"
    return f"{how} cone {reached.shown}"


def _verdict(firing: Firing, shelves: list[dict[str, Any]]) -> str:
    """One sentence: did it reach its cone?"""
    if not shelves:
        aim = f"Aimed at cone {firing.aimed.shown}. " if firing.aimed else ""
        return f"{aim}No witness cone was written down, so nobody can say what each shelf reached."
    if firing.aimed is None:
        return words.first_upper(_each(shelves)) + "."
    if all(shelf["reached"] == firing.aimed for shelf in shelves):
        where = "on every shelf that had a witness" if len(shelves) > 1 else "by its witness cone"
        return f"It reached cone {firing.aimed.shown}, {where}."
    return f"Aimed at cone {firing.aimed.shown}: {_each(shelves)}."


def _each(shelves: list[dict[str, Any]]) -> str:
    return words.joined([f"the {shelf['name']} shelf {shelf['says']}" for shelf in shelves])


def _facts(firing: Firing) -> list[tuple[str, str]]:
    facts = [
        ("Kiln", firing.kiln),
        ("Heat", firing.heat),
        ("Atmosphere", firing.atmosphere),
        ("Aimed at", f"cone {firing.aimed.shown}" if firing.aimed else None),
        ("Hold", firing.hold),
        ("Cooling", firing.cooling),
        ("Kiln log", firing.log),
        ("Fired by", firing.by),
        ("Near it in the load", words.joined(firing.near)),
    ]
    return [(name, text) for name, text in facts if text]
