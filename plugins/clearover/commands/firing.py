"""`clearover firing`: which cone a load reached, by witness and by log.

In: the id of a firing, or a log as a CSV file, which needs no records at all. Out: the cone, shelf
by shelf, what the log suggests and how sure that is. A log that cannot be read ends with 1.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..firing.cone import Cone
from .console import one_line, say, say_json, tell
from .group import Refused
from .opening import ConeType, combos_option, find_id, json_option, open_catalogue

if TYPE_CHECKING:
    from ..evidence.load import Load
    from ..records.models import Firing

CAUTION = (
    "The usual cautions: draw the fumes off at the kiln, stay in reach while it fires, and follow "
    "the kiln's manual and your local codes. A log sees one place in the kiln; stand a witness "
    "cone on every shelf."
)
UNIT = {"c": "C", "f": "F"}


@click.command("firing", epilog="Example: clearover firing march-glaze")
@click.argument("firing", metavar="ID-or-CSV")
@click.option("--aimed", type=ConeType(), help="The cone aimed at, where no record says it.")
@click.option(
    "--unit",
    type=click.Choice(("C", "F"), case_sensitive=False),
    help="What the log is in, where its heading is wrong or silent.",
)
@json_option
@combos_option
@click.pass_context
def command(
    ctx: click.Context,
    firing: str,
    aimed: Cone | None,
    unit: str | None,
    as_json: bool,
    combos: Path,
) -> None:
    """Show the cone a firing reached: shelf by shelf by its witness cones, and by its log.

    ID-or-CSV is the id of a firing's record, or a kiln log: a table of times and temperatures.
    """
    from ..evidence.load import load_of
    from ..firing.log import read_log, reading_of

    record, path = _meant(firing, combos)
    aimed = aimed or (record.aimed if record else None)
    log = None if path is None else read_log(path, aimed, UNIT[unit.lower()] if unit else None)
    load = load_of(record, None if log is None else reading_of(log), aimed)
    if as_json:
        say_json(report_of(load, record))
    else:
        _say(load, record, firing)
    if log is not None and log.reason is not None:
        ctx.exit(1)


def _meant(asked: str, combos: Path) -> tuple[Firing | None, Path | None]:
    """The record and the log meant: either may be missing, not both."""
    path = Path(asked)
    if path.is_file():
        return None, path
    if path.suffix.lower() in (".csv", ".txt", ".tsv"):
        raise Refused(f"there is no file {one_line(asked)}")
    catalogue = open_catalogue(combos)
    record = catalogue.firings[find_id(catalogue, "firing", asked)]
    return record, catalogue.beside(record, record.log) if record.log else None


def report_of(load: Load, record: Firing | None) -> dict[str, Any]:
    """The answer for scripts. `between`, `fraction` and `uncertainty_cones` are the log's."""
    reading = load.reading
    between = reading.between if reading else None
    report: dict[str, Any] = {
        "firing": record.id if record else None,
        "cone_reached": load.cone.label if load.cone else None,
        "by": load.by,
        "aimed": load.aimed.label if load.aimed else None,
        "between": [cone.label for cone in between] if between else None,
        "fraction": _rounded(reading.fraction if reading else None, 2),
        "uncertainty_cones": _rounded(reading.uncertainty_cones if reading else None, 2),
        "peak_temperature_c": _rounded(reading.peak_c if reading else None, 1),
        "final_rate_c_per_h": _rounded(reading.rate_c_per_h if reading else None, 1),
        "hold_minutes": _rounded(reading.hold_min if reading else None, 1),
        "hold_cones": _rounded(reading.hold_cones if reading else None, 2),
        "log_suggests": reading.cone.label if reading and reading.cone else None,
        "extrapolated": reading.extrapolated if reading else None,
        "shelves": {s.name: s.reached.label if s.reached else None for s in load.shelves},
        "notes": _notes(load),
    }
    if reading is None or reading.reason is not None:
        report["reason"] = reading.reason if reading else "no log is recorded"
    return report


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)


def _notes(load: Load) -> list[str]:
    shelves = [f"{s.name} shelf: {s.note}" for s in load.shelves if s.note]
    if load.shelf is not None and len(load.shelves) > 1:
        shelves.insert(0, f"the shelves differ; the load is told by its {load.shelf} shelf")
    return [*shelves, *load.remarks, *(load.reading.notes if load.reading else ())]


def _say(load: Load, record: Firing | None, asked: str) -> None:
    from ..pages.words import day, first_upper

    name = f"{record.id.replace('-', ' ')}, {day(record.fired)}" if record else Path(asked).name
    say(one_line(first_upper(name) if record else name))
    say(one_line(_verdict(load)))
    if load.shelves:
        say()
    for shelf in load.shelves:
        stood = ", ".join(f"{cone.shown} {state}" for cone, state in shelf.cones)
        reached = f"cone {shelf.reached.shown}" if shelf.reached else "not known"
        say(one_line(f"  {shelf.name:<10}{reached:<12}{stood}"))
    _say_log(load)
    notes = _notes(load)
    if notes:
        say()
        for note in notes:
            say(one_line(f"  - {note}"))
    if load.reading is not None and load.reading.cone is None:
        tell(one_line(f"clearover: the log suggests no cone: {load.reading.reason}"))
    say()
    say(CAUTION)


def _verdict(load: Load) -> str:
    from ..evidence.load import suggestion

    aimed = f" Aimed at cone {load.aimed.shown}." if load.aimed and load.by != "aim" else ""
    reading = load.reading
    suggests = suggestion(reading) if reading is not None and reading.cone is not None else None
    if load.cone is None:
        told = "What it reached is not known."
        if load.shelves:
            told = "No witness cone fell: what it reached is not known."
        return told + aimed
    shown = f"Cone {load.cone.shown}"
    if load.by == "witness":
        where = f" on the {load.shelf} shelf" if load.shelf else " on every shelf"
        log = f"; the log suggests {suggests}" if suggests else ""
        return f"{shown}, by the witness{where}{log}.{aimed}"
    if load.by == "log":
        return f"The log suggests cone {suggests}.{aimed}"
    return f"{shown} was aimed at; no witness and no log tell what it reached."


def _say_log(load: Load) -> None:
    from ..evidence.load import hold_sentence

    reading = load.reading
    if reading is None or reading.peak_c is None:
        return
    say()
    rate = f", the last 100 °C at {reading.rate_c_per_h:.0f} °C/h" if reading.rate_c_per_h else ""
    fahrenheit = reading.peak_c * 1.8 + 32
    say(f"  Peak {reading.peak_c:.0f} °C ({fahrenheit:.0f} °F){rate}.")
    hold = hold_sentence(reading)
    if hold:
        say(f"  {hold}")
