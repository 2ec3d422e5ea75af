"""Worked examples of the methods: every number computed here, none typed.

In: the models and their tables. Out: an `Example` by the name the methods file gives it: a small
table of terms and the lines below it, as plain text. The sums of the tables are added up here once
more, from the published constants, so that a wrong model would not agree with its own example (a
test holds the two together). The glass is one for all; it belongs to no studio.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from ..chemistry.batch import batch_for
from ..chemistry.formula import elements, read_formula
from ..chemistry.materials import MaterialBook
from ..chemistry.oxides import is_flux, oxides
from ..chemistry.recipe import melt
from ..evidence.cells import wilson_lower
from . import (
    methods_colour_examples,
    methods_fire_examples,
    methods_glass_examples,
    methods_melt_examples,
    methods_photo_examples,
)
from .methods_worked import RECIPE, Example, exact, glass, mol, number


def _formula() -> Example:
    text = "Al2Si2O5(OH)4"
    found = read_formula(text)
    rows = [
        (symbol, exact(atoms), exact(elements()[symbol].weight), number(atoms * weight, 3))
        for symbol, atoms in found.atoms.items()
        if (weight := elements()[symbol].weight)
    ]
    rows.append(("sum", "", "", number(found.molar_mass, 3)))
    lines = [
        f"{oxide}: 100 × {exact(moles)} × {exact(oxides()[oxide].molar_mass)} ÷ "
        f"{number(found.molar_mass, 3)} = {number(found.weight_percent()[oxide])} %"
        for oxide, moles in found.oxides.items()
    ]
    lines.append(f"Loss, here water: 100 − the rest = {number(found.loss_percent())} %")
    return Example(
        (f"kaolin, {text}", "atoms", "g/mol", "product"),
        tuple(rows),
        tuple(lines),
        found.loss_percent(),
    )


def _oxides() -> Example:
    found = melt(RECIPE, MaterialBook.with_studio([]))
    moles = {name: found.oxides[name] / oxides()[name].molar_mass for name in mol()}
    flux = sum(amount for name, amount in moles.items() if is_flux(name))
    whole, total = sum(found.oxides.values()), sum(moles.values())
    rows = [
        (
            name,
            number(found.oxides[name], 3),
            exact(oxides()[name].molar_mass),
            number(amount, 5),
            number(100 * found.oxides[name] / whole),
            number(100 * amount / total),
            number(amount / flux, 3),
        )
        for name, amount in moles.items()
    ]
    rows.append(("sum", number(whole, 3), "", number(total, 5), "100", "100", ""))
    alumina = moles["Al2O3"]
    lines = [
        "Parts: " + ", ".join(f"{name} {exact(parts)}" for name, parts in RECIPE.items()) + ".",
        f"Flux, {', '.join(name for name in moles if is_flux(name))}: {number(flux, 5)} mol; each "
        "amount divided by it is the unity formula.",
        f"Silica to alumina {number(moles['SiO2'] / alumina)}; "
        f"{number(100 * (found.lost or 0) / found.raw)} % of the dry weight leaves in the fire.",
    ]
    columns = ("oxide", "parts brought", "g/mol", "mol", "weight %", "mol %", "unity")
    return Example(columns, tuple(rows), tuple(lines), moles["SiO2"] / alumina)


def _batch() -> Example:
    book = MaterialBook.with_studio([])
    wanted = glass().unity or {}
    materials = [found for name in RECIPE if (found := book.find(name)) is not None]
    batch = batch_for(wanted, materials)
    rows = [
        (line.material, number(line.parts), number(line.percent), exact(RECIPE[line.material]))
        for line in batch.lines
    ]
    off = max(abs(batch.given.get(name, 0.0) - amount) for name, amount in wanted.items())
    lines = (
        "The unity formula of the example above, from the same materials, gives the recipe back; "
        f"the farthest oxide is off by {off:.0e} mol.",
    )
    return Example(("material", "parts", "% of the batch", "as written"), tuple(rows), lines, off)


def _rank() -> Example:
    rows = tuple(
        (f"{good} of {judged}", number(good / judged), number(wilson_lower(good, judged)))
        for good, judged in ((1, 1), (10, 11), (2, 3))
    )
    return Example(
        ("good tiles", "share s", "cautious share w"),
        rows,
        ("Ten of eleven come before one of one.",),
        wilson_lower(10, 11),
    )


def _makers() -> dict[str, Callable[[], Example]]:
    own = {"formula": _formula, "oxides": _oxides, "batch": _batch, "rank": _rank}
    return (
        own
        | methods_glass_examples.EXAMPLES
        | methods_melt_examples.EXAMPLES
        | methods_fire_examples.EXAMPLES
        | methods_photo_examples.EXAMPLES
        | methods_colour_examples.EXAMPLES
    )


@cache
def example(name: str) -> Example:
    """The worked example of that name. KeyError for a name nobody wrote."""
    return _makers()[name]()
