"""Checks on what a colour, a clear or a material says of its chemistry.

In: records and the tables of pigments, materials and oxides. Notes unknown names, and what is
declared against what the recipe gives.
"""

from __future__ import annotations

from ...chemistry.clear import chemistry_of, contradictions
from ...chemistry.formula import FormulaFault, read_formula
from ...chemistry.materials import LOSS_NAMES, MaterialBook, sort_out
from ...chemistry.oxides import find_oxide, is_flux, oxides
from ...chemistry.pigments import find_pigment, pigments
from ...chemistry.pigments import suggest as suggest_pigment
from ...chemistry.results import ClearChemistry
from ...suggest import hint
from ...tables import plain
from .. import words
from ..models import Clear, Material
from ..yaml_text import Path
from .context import Context

LOSS = "loss"
MOST_HINTS = 20
"""How many unknown materials of one recipe get a “did you mean”."""


def check_underglazes(context: Context) -> None:
    """Pigments and colorants must be in the tables."""
    elements = {element for pigment in pigments().values() for element in pigment.elements}
    for colour in context.underglazes.values():
        for index, name in enumerate(colour.pigment):
            if name != words.UNKNOWN and find_pigment(name) is None:
                near = suggest_pigment(name)
                said = f"; did you mean `{near}`?" if near else ""
                context.note(
                    colour, ("pigment", index), "unknown-pigment", found=name, suggestion=said
                )
        for index, name in enumerate(colour.colorants):
            if name not in elements:
                near = hint(name, elements)
                context.note(
                    colour, ("colorants", index), "unknown-element", found=name, suggestion=near
                )


def check_materials(context: Context) -> None:
    """A studio's own materials: known oxides, sound sums, names of their own."""
    taken: dict[str, str] = {}
    for material in context.materials.values():
        paths: list[Path] = [("name",), *(("also", i) for i in range(len(material.also)))]
        for path, name in zip(paths, (material.name, *material.also), strict=True):
            other = taken.setdefault(name.casefold(), material.id)
            if other != material.id:
                context.note(material, path, "materials-clash", found=name, other=other)
        _check_material(context, material)


def check_clears(context: Context) -> None:
    """Recipes and analyses, and what is declared beside them."""
    book = MaterialBook.with_studio(context.materials.values())
    for clear in context.clears.values():
        if clear.recipe is not None and clear.analysis is not None:
            context.note(
                clear, ("analysis", "[key]"), "recipe-and-analysis", first_path=("recipe",)
            )
        if clear.analysis is not None:
            _check_analysis(context, clear, clear.analysis, clear.analysis_in)
        if clear.recipe is not None:
            _check_recipe(context, clear, book)
        elif clear.additions is not None:
            context.note(clear, ("additions", "[key]"), "additions-to-nothing")
        chemistry = chemistry_of(clear, book)
        _check_glass(context, clear, chemistry)
        _check_declared(context, clear, chemistry)


def _check_material(context: Context, material: Material) -> None:
    if material.analysis is not None and material.formula is not None:
        spot: Path = ("formula", "[key]")
        context.note(material, spot, "formula-and-analysis", first_path=("analysis",))
    if material.analysis is not None:
        _check_analysis(context, material, material.analysis, "weight %")
    elif material.formula is None:
        context.note(material, (), "material-of-nothing")
    if material.formula is not None:
        try:
            read_formula(material.formula)
        except FormulaFault as fault:
            context.note(material, ("formula",), "not-a-formula", found=str(fault))


def _check_analysis(
    context: Context, record: Clear | Material, parts: dict[str, float], unit: str
) -> None:
    written: dict[str, str] = {}
    for name in parts:
        oxide = find_oxide(name)
        if oxide is None and plain(name) not in LOSS_NAMES:
            near = hint(name, (*oxides(), LOSS))
            path: Path = ("analysis", name, "[key]")
            context.note(record, path, "unknown-oxide", found=name, suggestion=near)
        meant = oxide.name if oxide else LOSS
        if written.setdefault(meant, name) != name:
            context.note(record, ("analysis", name, "[key]"), "two-spellings", found=name)
    total = sum(parts.values())
    if total <= 0:
        context.note(record, ("analysis",), "nothing-weighed")
    elif unit == "unity":
        flux = sum(part for name, part in sort_out(parts).oxides.items() if is_flux(name))
        if not 0.95 <= flux <= 1.05:
            context.note(record, ("analysis",), "unity-is-not-one", found=f"{flux:.4g}")
    elif not 95 <= total <= 105:
        context.note(record, ("analysis",), "sum-far-from-100", found=f"{total:g}")


def _check_recipe(context: Context, clear: Clear, book: MaterialBook) -> None:
    recipe, additions = clear.recipe or {}, clear.additions or {}
    if sum(recipe.values()) <= 0:
        context.note(clear, ("recipe",), "nothing-weighed")
    for key, names in (("recipe", recipe), ("additions", additions)):
        for index, name in enumerate(names):
            material = book.find(name)
            spot: Path = (key, name, "[key]")
            if material is None:
                # To look for a likely name costs time: of thousands only the first get a hint.
                near = book.suggest(name) if index < MOST_HINTS else None
                said = f"; did you mean `{near}`?" if near else ""
                context.note(clear, spot, "unknown-material", found=name, suggestion=said)
            elif key == "recipe" and clear.recipe_in == "moles" and material.molar_mass is None:
                context.note(clear, spot, "no-mole", found=name)


def _check_glass(context: Context, clear: Clear, chemistry: ClearChemistry) -> None:
    """A composition without flux or without glass former is a slip more often than a plan."""
    basis = "recipe" if clear.recipe is not None else "analysis"
    if chemistry.oxides_weight_percent is not None and chemistry.reason is not None:
        context.note(clear, (basis, "[key]"), "not-a-glaze", found=chemistry.reason)


def _check_declared(context: Context, clear: Clear, chemistry: ClearChemistry) -> None:
    if clear.recipe is None and clear.analysis is None:
        return
    basis = "recipe" if clear.recipe is not None else "analysis"
    for key, declared, computed, material in contradictions(clear, chemistry):
        source = f"{material} brings it" if material else f"it gives {key} {computed}"
        where = "additions" if material in (clear.additions or {}) else basis
        spot = (where, material) if material else (basis,)
        context.note(
            clear,
            (key,),
            "declared-against-computed",
            key=key,
            found=declared,
            basis=basis,
            because=source,
            line_path=spot,
        )
