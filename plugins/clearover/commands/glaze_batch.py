"""`clearover glaze --batch`: a unity formula in, a batch in parts by weight out.

In: the formula as typed, and the materials to use. Out: the batch, what it gives, what is left
over. A formula that cannot be read ends the command with 1, an unknown material with 2.
"""

from __future__ import annotations

import textwrap
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..chemistry.batch import TOGETHER, Batch, batch_for, scale_of, usual_materials
from ..chemistry.cautions import FIRST, cautions_for_glass
from ..chemistry.materials import MaterialBook, RawMaterial
from ..chemistry.oxides import percent, to_moles, to_weights
from ..chemistry.recipe import usable
from ..chemistry.wanted import AmountsFault, read_amounts
from .console import one_line, say, say_json
from .group import RecordsBroken, Refused
from .opening import open_catalogue

if TYPE_CHECKING:
    from collections.abc import Sequence

PROPOSAL = "A batch on paper is a proposal: mix a small test, fire it, and look."


def run_batch(
    formula: str, materials: str | None, basis: str, combos: Path, *, as_json: bool
) -> None:
    """Read, compute and print."""
    try:
        wanted = read_amounts(formula)
    except AmountsFault as fault:
        raise RecordsBroken("\n".join(("the formula:", *map(one_line, fault.faults)))) from None
    if basis == "weight":
        wanted = to_moles(wanted)
    book = _book(combos)
    chosen = _chosen(materials, book) if materials else usual_materials(wanted, book)
    batch = batch_for(wanted, chosen)
    report = batch_report(batch, chosen)
    if as_json:
        say_json(report)
    else:
        _say_batch(report)


def _book(combos: Path) -> MaterialBook:
    """The trade's materials, with the studio's own where there is a studio."""
    if not combos.is_dir():
        return MaterialBook.with_studio(())
    return MaterialBook.with_studio(open_catalogue(combos).materials.values())


def _chosen(names: str, book: MaterialBook) -> list[RawMaterial]:
    """The materials named, each once, in that order; ends with 2 where one is unknown."""
    found: dict[str, RawMaterial] = {}
    wrong = []
    for name in (part.strip() for part in names.split(",")):
        if not name:
            continue
        material = book.find(name)
        if material is None:
            meant = book.suggest(name)
            hint = f"; did you mean “{meant}”?" if meant else ""
            wrong.append(f"there is no material {one_line(name)}{hint}")
        elif material.strange or not usable(material):
            wrong.append(f"the analysis of {one_line(name)} cannot be used")
        else:
            found.setdefault(material.name, material)
    if wrong or not found:
        raise Refused("\n".join(wrong) or "--from names no material")
    return list(found.values())


def batch_report(batch: Batch, chosen: Sequence[RawMaterial]) -> dict[str, Any]:
    """The batch as plain values for scripts; formulas for one part of flux in all."""
    flux = scale_of(batch.wanted)
    fired = percent(to_weights(batch.given)) or {}
    unused = [each.name for each in chosen if each.name not in {x.material for x in batch.lines}]
    return {
        "batch": [asdict(line) for line in batch.lines],
        "wanted": {name: amount / flux for name, amount in batch.wanted.items()},
        "given": {name: amount / flux for name, amount in batch.given.items()},
        "leftover": {name: amount / flux for name, amount in batch.leftover.items()},
        "not_brought": list(batch.not_brought),
        "gives_the_formula": batch.close,
        "loss_percent": batch.loss_percent,
        "unused": unused,
        "notes": {line.material: line.note for line in batch.lines if line.note},
        "cautions": [
            *({"says": c.says, "source": c.source} for c in cautions_for_glass(fired)),
            {"says": FIRST, "source": "common practice"},
        ],
    }


def _say_batch(report: dict[str, Any]) -> None:
    say("Batch, parts by weight" if report["batch"] else "No material brings any of it.")
    if report["batch"]:
        say()
        say(f"  {'':<28}{'for the formula':>16}{'of 100':>10}")
    for line in report["batch"]:
        name = one_line(line["material"])
        say(f"  {name:<28}{line['parts']:>16.2f}{line['percent']:>10.2f}")
    for name, note in report["notes"].items():
        say(f"    {one_line(name)}: {one_line(note)}")
    say()
    if report["gives_the_formula"]:
        say("It gives the formula.")
    else:
        say("It does not give the formula with these materials; this is as near as they come.")
    _say_formulas(report)
    _say_alkali(report)
    for name in report["not_brought"]:
        say(f"  No material given brings {name}.")
    if report["unused"] and not report["gives_the_formula"]:
        say(f"  Not used: {', '.join(map(one_line, report['unused']))}.")
    if report["loss_percent"] is not None:
        say(f"  {report['loss_percent']:.1f} % of the dry batch leaves in the fire.")
    say()
    for caution in report["cautions"]:
        say(textwrap.fill(one_line(caution["says"]), 80))
    say(PROPOSAL)


def _say_alkali(report: dict[str, Any]) -> None:
    """Where the rock brings soda for potash or the other way round: how much of both there is."""
    if {*TOGETHER} <= {*report["leftover"]}:
        wanted, given = (
            sum(report[key].get(name, 0.0) for name in TOGETHER) for key in ("wanted", "given")
        )
        say(f"  Soda and potash stand in for each other: {given:.3f} of {wanted:.3f} together.")


def _say_formulas(report: dict[str, Any]) -> None:
    say()
    say(f"  {'unity':<10}{'wanted':>10}{'given':>10}{'left over':>12}")
    names = dict.fromkeys((*report["wanted"], *report["given"]))
    for name in names:
        wanted, given = (report[key].get(name, 0.0) for key in ("wanted", "given"))
        left = report["leftover"].get(name)
        over = "" if left is None else f"{left:12.3f}"
        say(f"  {name:<10}{wanted:>10.3f}{given:>10.3f}{over}")
    say()
