"""Checks on what a colour, a clear or a material says of its chemistry.

In: records and the tables of pigments, materials and oxides. Notes unknown names, and what is
declared against what the recipe gives.
"""

from __future__ import annotations

from ...chemistry.clear import chemistry_of, contradictions
from ...chemistry.materials import MaterialBook
from ...chemistry.oxides import oxides
from ...chemistry.pigments import find_pigment, pigments
from ...chemistry.pigments import suggest as suggest_pigment
from ...suggest import hint
from .. import words
from ..models import Clear, Material
from ..yaml_text import Path
from .context import Context

LOSS = "loss"


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
        _check_analysis(context, material, material.analysis)


def check_clears(context: Context) -> None:
    """Recipes and analyses, and what is declared beside them."""
    book = MaterialBook.with_studio(context.materials.values())
    for clear in context.clears.values():
        if clear.recipe is not None and clear.analysis is not None:
            context.note(
                clear, ("analysis", "[key]"), "recipe-and-analysis", first_path=("recipe",)
            )
        if clear.analysis is not None:
            _check_analysis(context, clear, clear.analysis)
        if clear.recipe is not None:
            _check_recipe(context, clear, clear.recipe, book)
        _check_declared(context, clear, book)


def _check_analysis(context: Context, record: Clear | Material, parts: dict[str, float]) -> None:
    for name in parts:
        if name != LOSS and name not in oxides():
            path = ("analysis", name, "[key]")
            near = hint(name, (*oxides(), LOSS))
            context.note(record, path, "unknown-oxide", found=name, suggestion=near)
    total = sum(parts.values())
    if total <= 0:
        context.note(record, ("analysis",), "nothing-weighed")
    elif not 95 <= total <= 105:
        context.note(record, ("analysis",), "sum-far-from-100", found=f"{total:g}")


def _check_recipe(
    context: Context, clear: Clear, recipe: dict[str, float], book: MaterialBook
) -> None:
    if sum(recipe.values()) <= 0:
        context.note(clear, ("recipe",), "nothing-weighed")
    for name in recipe:
        if book.find(name) is None:
            near = book.suggest(name)
            context.note(
                clear,
                ("recipe", name, "[key]"),
                "unknown-material",
                found=name,
                suggestion=f"; did you mean `{near}`?" if near else "",
            )


def _check_declared(context: Context, clear: Clear, book: MaterialBook) -> None:
    if clear.recipe is None and clear.analysis is None:
        return
    basis = "recipe" if clear.recipe is not None else "analysis"
    for key, declared, computed, material in contradictions(clear, chemistry_of(clear, book)):
        source = f"{material} brings it" if material else f"it gives {key} {computed}"
        spot = (basis, material) if material else (basis,)
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
