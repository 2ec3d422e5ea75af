"""`clearover glaze`: a clear's chemistry, and what it does to the colours in use.

In: a clear's id or name, and a cone. Out: its unity formula, its classes, and one flag for each
pigment system in use. What cannot be computed is told with the reason.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..firing.cone import Cone, parse_cone
from ..pages import words as said
from ..records.words import ATMOSPHERES, UNKNOWN
from ..tables import read_text
from .console import one_line, say, say_json
from .opening import ConeType, combos_option, find_id, json_option, open_catalogue

if TYPE_CHECKING:
    from ..records.catalogue import Catalogue

_OXIDE_ROWS = (
    ("weight %", "oxides_weight_percent", 1),
    ("mol %", "oxides_mol_percent", 1),
    ("unity", "unity", 3),
)
_CLASSES = ("zinc", "lime", "magnesia")
_DIRECTIONS = ("harm", "unknown", "help", "none")


@click.command("glaze", epilog="Example: clearover glaze lantern-pane --cone 6")
@click.argument("clear", metavar="CLEAR")
@click.option("--cone", type=ConeType(), help="Else the hottest that the clear is meant for.")
@click.option("--atmosphere", type=click.Choice(ATMOSPHERES), help="Else the studio's.")
@json_option
@combos_option
def command(
    clear: str, cone: Cone | None, atmosphere: str | None, as_json: bool, combos: Path
) -> None:
    """Show what is known of a clear, and what it does to the colours in use here.

    CLEAR is an id or, in quotes, a name.
    """
    catalogue = open_catalogue(combos)
    id = find_id(catalogue, "clear", clear)
    report = report_of(catalogue, id, cone, atmosphere or catalogue.studio.atmosphere)
    if as_json:
        say_json(report)
    else:
        _say_report(report)


def report_of(catalogue: Catalogue, id: str, cone: Cone | None, atmosphere: str) -> dict[str, Any]:
    """The report on one clear, with the pigments of all underglazes in use."""
    from ..chemistry.clear import chemistry_of
    from ..chemistry.materials import MaterialBook
    from ..chemistry.report import glaze_report

    record = catalogue.clears[id]
    book = MaterialBook.with_studio(catalogue.materials.values())
    pigments = sorted(
        {
            pigment
            for underglaze in catalogue.underglazes.values()
            if underglaze.status == "in use"
            for pigment in underglaze.pigment
            if pigment != UNKNOWN
        }
    )
    return glaze_report(
        record,
        chemistry_of(record, book),
        cone=cone,
        atmosphere=atmosphere,
        pigments=pigments,
    )


def _say_report(report: dict[str, Any]) -> None:
    at = f" at cone {parse_cone(report['cone']).shown}" if report["cone"] else ""
    surface = f", {report['surface']}" if report["surface"] else ""
    say(f"{one_line(report['name'])}{surface}{at}")
    say()
    for name in _CLASSES:
        say(f"  {name:<10}{_class(name, report[name])}")
    _say_flags(report["flags"])
    _say_oxides(report)
    say()
    say(one_line(report["explanation"]))
    say()
    say(read_text("food-sentence.txt").strip())


def _class(name: str, found: dict[str, Any]) -> str:
    from ..chemistry.results import Class

    known = Class(found["class"], found["weight_percent"], found["known_from"])
    word, how = said.known_class(name, known)
    return one_line(f"{word} ({how})")


def _say_flags(flags: list[dict[str, Any]]) -> None:
    if not flags:
        return
    say()
    say("What it does to the pigments in use here:")
    for flag in sorted(flags, key=lambda flag: _DIRECTIONS.index(flag["direction"])):
        effect = "unknown: test it" if flag["direction"] == "unknown" else flag["effect"]
        say(f"  {one_line(flag['pigment'])}: {one_line(effect)}")
        say(f"      {one_line(flag['because'])} ({one_line(flag['evidence'])})")
        if flag["disagrees"]:
            say(f"      Others say: {one_line(flag['disagrees'])}")


def _say_oxides(report: dict[str, Any]) -> None:
    if report["unity"] is None and report["oxides_weight_percent"] is None:
        return
    names = list(report["oxides_weight_percent"] or report["unity"])
    say()
    say(" " * 12 + "".join(f"{name:>8}" for name in names))
    for label, key, digits in _OXIDE_ROWS:
        values = report[key]
        if values is not None:
            numbers = (f"{values.get(name, 0):8.{digits}f}" for name in names)
            say(f"  {label:<10}{''.join(numbers)}")
