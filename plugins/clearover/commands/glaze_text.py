"""What `clearover glaze CLEAR` prints for people: first what a potter asks, then the numbers.

In: the report that scripts get. Out: lines of at most 80 columns.
"""

from __future__ import annotations

import textwrap
from collections.abc import Collection
from typing import Any

from ..chemistry.results import Class, Flag
from ..chemistry.turns import said_often
from ..firing.cone import parse_cone
from ..pages import words as said
from ..tables import read_text
from .console import one_line, say
from .glaze_words import band, expands, fits, melts, runs

WIDTH = 80
_HEAD = 14
_CLASSES = ("zinc", "lime", "magnesia", "boron")
_DIRECTIONS = ("harm", "unknown", "help", "none")


def say_report(report: dict[str, Any]) -> None:
    """The whole answer."""
    say(_title(report))
    say()
    _entry("will it run?", runs(report))
    _entry("hot enough?", melts(report))
    _entry("expansion", expands(report))
    if report["craze_risk"] and report["expansion_1e6_per_k"]["value"] is not None:
        _entry("on bodies", fits(report))
    for name in _CLASSES:
        _entry(name, _class(name, report[name]))
    _say_flags(report["flags"])
    _say_oxides(report)
    _say_numbers(report)
    say()
    _paragraph(report["explanation"])
    say()
    for caution in report["cautions"]:
        _paragraph(caution["says"])
    _say_sources(report)
    say()
    _paragraph(read_text("food-sentence.txt").strip())


def _title(report: dict[str, Any]) -> str:
    surface = f", {report['surface']}" if report["surface"] else ""
    at = f" at cone {parse_cone(report['cone']).shown}" if report["cone"] else ""
    heat = report["temperature_c"]
    heated = f" ({heat:.0f} °C)" if heat is not None else ""
    return one_line(f"{report['name']}{surface}{at}{heated}")


def _entry(name: str, text: str) -> None:
    """`  zinc        zinc-bearing (…)`, its further lines under the first."""
    indent = " " * (_HEAD + 2)
    lines = textwrap.wrap(one_line(text), WIDTH - len(indent)) or [""]
    say(f"  {name:<{_HEAD}}{lines[0]}")
    for line in lines[1:]:
        say(f"{indent}{line}")


def _paragraph(text: str, indent: str = "") -> None:
    say(textwrap.fill(one_line(text), WIDTH, initial_indent=indent, subsequent_indent=indent))


def _class(name: str, found: dict[str, Any]) -> str:
    keys = ("class", "weight_percent", "known_from", "guessed")
    known = Class(*(found[key] for key in keys))
    word, how = said.known_class(name, known)
    return f"{word} ({how})"


def _say_flags(flags: list[dict[str, Any]]) -> None:
    """What changes a colour first, each reason once; what keeps it in one list at the end."""
    if not flags:
        return
    say()
    say("What it does to the pigments in use here:")
    alike: dict[tuple[str, ...], list[dict[str, Any]]] = {}
    for flag in sorted(flags, key=lambda flag: _DIRECTIONS.index(flag["direction"])):
        if flag["direction"] in ("harm", "unknown"):
            alike.setdefault((flag["effect"], flag["because"]), []).append(flag)
    often = said_often((flag["pigment"], Flag(**flag)) for flag in flags)
    for group in alike.values():
        _say_alike(group, often)
    for sentence, pigments in often.items():
        _paragraph(f"What would change it for {said.joined(pigments)}: {sentence}", "  ")
    kept = [
        f"{flag['pigment']} ({flag['effect']})"
        for flag in flags
        if flag["direction"] in ("help", "none")
    ]
    if kept:
        _paragraph(f"Kept or helped: {'; '.join(kept)}", "  ")


def _say_alike(group: list[dict[str, Any]], often: Collection[str]) -> None:
    """Pigments that one reason changes in one way."""
    first = group[0]
    effect = "unknown: test it" if first["direction"] == "unknown" else first["effect"]
    _paragraph(f"{', '.join(flag['pigment'] for flag in group)}: {effect}", "  ")
    _paragraph(f"{first['because']} ({first['evidence']})", " " * 6)
    for other in dict.fromkeys(flag["disagrees"] for flag in group if flag["disagrees"]):
        _paragraph(f"Others say: {other}", " " * 6)
    turns = dict.fromkeys(flag["would_change"] for flag in group)
    for turn in turns:
        if turn and not (first["direction"] == "unknown" and turn in often):
            _paragraph(f"What would change it: {turn}", " " * 6)


def _say_oxides(report: dict[str, Any]) -> None:
    """Oxides down, measures across: a dozen oxides would not fit the other way round."""
    weights = report["oxides_weight_percent"]
    if weights is None:
        return
    moles, unity = report["oxides_mol_percent"] or {}, report["unity"] or {}
    say()
    say(f"  {'':<10}{'unity':>9}{'mol %':>9}{'weight %':>10}")
    for name, weight in weights.items():
        one = f"{unity[name]:9.3f}" if name in unity else f"{'-':>9}"
        say(f"  {name:<10}{one}{moles.get(name, 0.0):9.2f}{weight:10.2f}")
    told = []
    if report["silica_to_alumina"] is not None:
        told.append(f"silica to alumina {report['silica_to_alumina']:.1f}")
    if report["r2o_to_ro"] is not None:
        told.append(f"R2O:RO {report['r2o_to_ro']:.2f}")
    if report["loss_percent"] is not None:
        told.append(f"{report['loss_percent']:.1f} % of the dry weight leaves in the fire")
    if told:
        _paragraph("; ".join(told), "  ")


_NUMBERS = (
    ("viscosity", "viscosity_log10_pa_s", 2, "log10 Pa·s"),
    ("log10 3 Pa·s at", "temperature_c_at_log10_3_pa_s", 0, "°C"),
    ("surface tension", "surface_tension_mn_per_m", 0, "mN/m"),
    ("melt density", "density_kg_per_m3", 0, "kg/m³"),
    ("expansion", "expansion_1e6_per_k", 2, "1e-6/K"),
)


def _say_numbers(report: dict[str, Any]) -> None:
    known = [row for row in _NUMBERS if report[row[1]]["value"] is not None]
    if not known:
        return
    say()
    say("  Computed; in brackets the range that holds 90 % of measured glasses:")
    for name, key, digits, unit in known:
        say(f"  {name:<18}{band(report[key], digits)} {unit}")


def _say_sources(report: dict[str, Any]) -> None:
    """Each source once, with the values that rest on it."""
    by_source: dict[str, list[str]] = {}
    keys = [(name, key) for name, key, *_ in _NUMBERS]
    for name, key in [*keys, ("movement", "surface_run_mm")]:
        if report[key].get("source"):
            by_source.setdefault(report[key]["source"], []).append(name)
    if not by_source:
        return
    say()
    say("Sources:")
    for source, names in by_source.items():
        _paragraph(f"{', '.join(names)}: {source}", "  ")
