"""A kiln load's page: did it reach its cone, shelf by shelf, what the log suggests, what was in it.

In: the site. Out: one page a firing. What a shelf reached, and what a log says, is worked out in
`firing` and `evidence.load`, not here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..evidence.load import Load, Shelf, hold_sentence, load_of, suggestion
from ..firing.cone import Cone
from ..firing.log import KilnLog, LogReading, reading_of
from ..firing.temperatures import cone_temperature
from ..records.models import Firing
from . import firing_plot, words
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
    log = known.findings.logs.get(firing.id)
    reading = reading_of(log) if log is not None else None
    load = load_of(firing, reading)
    return {
        "root": ROOT,
        "record": firing,
        "name": words.first_upper(firing.id.replace("-", " ")),
        "fired": words.day(firing.fired),
        "verdict": _verdict(load),
        "shelves": [_shelf(load.aimed, shelf) for shelf in load.shelves],
        "remarks": load.remarks,
        "log": _log_view(load, log, reading) if log is not None and reading is not None else None,
        "facts": _facts(firing),
        "tiles": known.tile_rows(known.tiles_of("firing", firing.id)),
    }


def _shelf(aimed: Cone | None, shelf: Shelf) -> dict[str, Any]:
    """One shelf: its witness cones as they stood, the cone reached, and what that means."""
    return {
        "name": shelf.name,
        "cones": [(cone.shown, state) for cone, state in shelf.cones],
        "note": shelf.note,
        "says": _says(aimed, shelf.reached),
    }


def _says(aimed: Cone | None, reached: Cone | None) -> str:
    if reached is None:
        return "no witness cone fell, so its cone is not known"
    if aimed is None or reached == aimed:
        return f"reached cone {reached.shown}"
    how = "only reached" if reached < aimed else "went on to"
    return f"{how} cone {reached.shown}"


def _verdict(load: Load) -> str:
    """One sentence: did it reach its cone?"""
    aim = f"Aimed at cone {load.aimed.shown}" if load.aimed else ""
    if not load.shelves:
        told = "No witness cone was written down, so nobody can say what each shelf reached."
        if load.reading is not None and load.reading.cone is not None:
            told = f"No witness cone was written down; the log suggests {suggestion(load.reading)}."
        return f"{aim}. {told}" if aim else told
    if load.aimed is None:
        return words.first_upper(_each(load)) + "."
    if all(shelf.reached == load.aimed for shelf in load.shelves):
        several = len(load.shelves) > 1
        where = "on every shelf that had a witness" if several else "by its witness cone"
        return f"It reached cone {load.aimed.shown}, {where}."
    return f"{aim}: {_each(load)}."


def _each(load: Load) -> str:
    return words.joined(
        [f"the {shelf.name} shelf {_says(load.aimed, shelf.reached)}" for shelf in load.shelves]
    )


def _log_view(load: Load, log: KilnLog, reading: LogReading) -> dict[str, Any]:
    """What the log suggests, what it rests on, and the drawing."""
    drawn = firing_plot.plots(log, reading, _marked(load, reading), load.aimed)
    rate = firing_plot.rate_for_cones(reading)
    return {
        "suggests": f"The log suggests {_cone(suggestion(reading))}.",
        "rests": _rests(reading),
        "hold": hold_sentence(reading),
        "plots": drawn,
        "rate": None if rate is None else f"{rate:.0f} °C/h",
        "gaps": any(plot.gaps for plot in drawn),
        "notes": [words.first_upper(note) for note in reading.notes],
        "size": firing_plot.SIZE,
    }


def _cone(suggested: str) -> str:
    return suggested if suggested.startswith("no cone") else f"cone {suggested}"


def _rests(reading: LogReading) -> str | None:
    if reading.peak_c is None or reading.rate_c_per_h is None:
        return None
    return f"Peak {reading.peak_c:.0f} °C, the last 100 °C at {reading.rate_c_per_h:.0f} °C/h."


def _marked(load: Load, reading: LogReading) -> set[Cone]:
    """The cones worth marking: the one aimed at, those reached, and where the log lies."""
    found = {shelf.reached for shelf in load.shelves if shelf.reached is not None}
    found |= {cone for cone in (load.aimed, reading.cone) if cone is not None}
    found |= set(reading.between or ())
    return {cone for cone in found if cone_temperature(cone) is not None}


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
