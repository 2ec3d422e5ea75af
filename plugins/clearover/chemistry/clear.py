"""The chemistry of one clear: its record and the book of materials in, a `ClearChemistry` out.

Pure, and never raises for an odd recipe: what cannot be computed is None with a reason. The recipe
is used where all its materials are known, else the analysis, else what was declared. From a record
that is known from a guess nothing is computed: the numbers would look as sure as any others.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ..records.models import Clear
from ..records.words import GUESS
from .classes import NOBODY, computed, declared, limits, word_for
from .materials import MaterialBook, sort_out
from .oxides import (
    GLASS_FORMERS,
    alkali_to_earths,
    is_flux,
    percent,
    to_moles,
    to_weights,
    unity,
)
from .recipe import Melt, melt
from .results import Class, ClearChemistry

WHOLE = (90.0, 110.0)
"""An analysis must add up to about 100 per cent, loss included. Source: common practice."""

ONE = (0.9, 1.1)
"""The fluxes of a unity formula must add up to about 1: that is what makes it one."""

MOST_NAMED = 5
"""How many faulty materials a reason names."""

NOTHING_GIVEN = "the record gives neither a recipe nor an analysis"


def chemistry_of(clear: Clear, book: MaterialBook) -> ClearChemistry:
    """Oxides, unity formula and classes of a clear, with what they rest on."""
    if clear.known_from == GUESS:
        return _not_computed(clear, _only_guessed(clear), None)
    reasons = []
    partial = None
    if clear.recipe is not None:
        in_moles = clear.recipe_in == "moles"
        partial = melt(clear.recipe, book, clear.additions, in_moles=in_moles)
        reason = _fault_of_recipe(partial, book)
        if reason is None:
            return _from_recipe(clear, partial)
        reasons.append(reason)
    if clear.analysis is not None:
        found, loss, reason = weighed_analysis(clear.analysis, clear.analysis_in)
        if reason is None:
            return chemistry_of_glass(clear.id, found, loss)
        reasons.append(reason)
    reason = "; ".join(reasons) or NOTHING_GIVEN
    return _not_computed(clear, reason, partial)


def _only_guessed(clear: Clear) -> str:
    if clear.recipe is not None:
        return "its recipe is only a guess"
    return NOTHING_GIVEN if clear.analysis is None else "its analysis is only a guess"


def weighed_analysis(
    analysis: Mapping[str, float], unit: str
) -> tuple[dict[str, float], float | None, str | None]:
    """An analysis as weights of the oxides that stay, its loss (weight %), and why it cannot be.

    `unit`: `weight %`, `mol %` or `unity`. Only in weight per cent can a loss be told.
    """
    sorted_out = sort_out(analysis)
    if sorted_out.strange:
        named = " and ".join(f"“{name}”" for name in sorted_out.strange[:MOST_NAMED])
        return {}, None, f"the analysis names {named}, which is no oxide known here"
    if unit == "unity":
        flux = sum(part for name, part in sorted_out.oxides.items() if is_flux(name))
        if not ONE[0] <= flux <= ONE[1]:
            return {}, None, f"the fluxes of the unity formula add up to {flux:.4g}, not to 1"
        return to_weights(sorted_out.oxides), None, None
    total = sum(sorted_out.oxides.values()) + (sorted_out.loss or 0.0)
    if not WHOLE[0] <= total <= WHOLE[1] or not sum(sorted_out.oxides.values()) > 0:
        return {}, None, f"the analysis adds up to {total:.4g} %, not to about 100 %"
    if unit == "mol %":
        return to_weights(sorted_out.oxides), None, None
    return sorted_out.oxides, sorted_out.loss, None


def _fault_of_recipe(melted: Melt, book: MaterialBook) -> str | None:
    if melted.unknown:
        named = [_why_unknown(name, book) for name in melted.unknown[:MOST_NAMED]]
        if more := len(melted.unknown) - MOST_NAMED:
            named += [f"and so with {more} more"] if more > 0 else []
        return "; ".join(named)
    if melted.no_mole:
        named = [f"“{name}”" for name in melted.no_mole[:MOST_NAMED]]
        return f"nobody knows what a mole of {' or '.join(named)} weighs: it has no formula"
    if not sum(melted.oxides.values()) > 0:
        return "the recipe is empty" if not melted.raw else "nothing of the recipe stays"
    return None


def _why_unknown(name: str, book: MaterialBook) -> str:
    if book.find(name) is not None:
        return f"the analysis of “{name}” cannot be used"
    meant = book.suggest(name)
    hint = f" (did you mean “{meant}”?)" if meant else ""
    return f"nobody has said what is in “{name}”{hint}"


def _from_recipe(clear: Clear, melted: Melt) -> ClearChemistry:
    loss = None if melted.lost is None else 100 * melted.lost / melted.raw
    return chemistry_of_glass(clear.id, melted.oxides, loss, "recipe", _mainly(melted.brought))


def chemistry_of_glass(
    id: str,
    oxides: dict[str, float],
    loss: float | None = None,
    known_from: str = "analysis",
    brought_by: dict[str, str] | None = None,
) -> ClearChemistry:
    """The chemistry of a fired glass from the weights of its oxides (any unit)."""
    moles = to_moles(oxides)
    weights = percent(oxides) or {}
    formula = unity(moles)
    alumina = moles.get("Al2O3", 0.0)
    return ClearChemistry(
        clear=id,
        oxides_weight_percent=weights,
        oxides_mol_percent=percent(moles),
        unity=formula,
        silica_to_alumina=moles.get("SiO2", 0.0) / alumina if alumina > 0 else None,
        r2o_to_ro=alkali_to_earths(moles),
        loss_percent=loss,
        zinc=computed("zinc", weights, known_from),
        lime=computed("lime", weights, known_from),
        magnesia=computed("magnesia", weights, known_from),
        boron=computed("boron", weights, known_from),
        reason=_why_odd(moles, formula),
        brought_by=brought_by or {},
    )


def nothing_known(id: str, reason: str | None) -> ClearChemistry:
    """The chemistry of what cannot be counted, with the reason."""
    return ClearChemistry(
        clear=id,
        oxides_weight_percent=None,
        oxides_mol_percent=None,
        unity=None,
        silica_to_alumina=None,
        loss_percent=None,
        zinc=NOBODY,
        lime=NOBODY,
        magnesia=NOBODY,
        reason=reason,
    )


def _why_odd(moles: Mapping[str, float], formula: Mapping[str, float] | None) -> str | None:
    """What a composition lacks to be a glaze; None for an ordinary one."""
    if formula is None:
        return "there is no flux in it, so there is no unity formula"
    if not any(moles.get(name, 0.0) > 0 for name in GLASS_FORMERS):
        return "there is neither silica nor boron in it, so it makes no glass"
    return None


def _not_computed(clear: Clear, reason: str, partial: Melt | None) -> ClearChemistry:
    def known(name: str, said: str | None) -> Class:
        written = declared(said, clear.known_from)
        if partial is None:
            return written
        # Enough of it in the known part alone settles the class, whatever the unknown part holds.
        word = word_for(name, partial.at_least(limits()[name].oxide))
        sure = word in ("bearing", "high")
        return Class(word, None, "recipe") if sure else written

    return replace(
        nothing_known(clear.id, reason),
        zinc=known("zinc", clear.zinc),
        lime=known("lime", clear.lime),
        magnesia=known("magnesia", clear.magnesia),
        unknown_materials=partial.unknown if partial else (),
        brought_by=_mainly(partial.brought) if partial else {},
    )


def _mainly(brought: Mapping[str, Mapping[str, float]]) -> dict[str, str]:
    """For each oxide the material that brings most of it."""
    return {oxide: max(by, key=lambda name: by[name]) for oxide, by in brought.items()}


def contradictions(clear: Clear, chem: ClearChemistry) -> list[tuple[str, str, str, str | None]]:
    """Where a record says one thing and its own recipe or analysis another.

    Each is (key as declared, value declared, value computed, the recipe's material that brings
    most of the oxide, or None). Only opposites count: high against low, bearing against free.
    """
    opposite = {("bearing", "free"), ("free", "bearing"), ("high", "low"), ("low", "high")}
    found = []
    for key, said, known in (
        ("zinc", clear.zinc, chem.zinc),
        ("lime", clear.lime, chem.lime),
        ("magnesia", clear.magnesia, chem.magnesia),
    ):
        if said is None or known.known_from not in ("recipe", "analysis"):
            continue
        if (said, known.value) in opposite:
            material = chem.brought_by.get(limits()[key].oxide)
            found.append((key, said, known.value, material))
    return found
