"""Thermal expansion of a fired glass: mol % in, an `Estimate` in 1e-6/K out.

Our own model (`fitted.py`), fitted to measured glasses like glazes; `data/glass-expansion.json`
is written by `tests/bench/fit_glass_models.py`. Small amounts of oxides that it does not know are
added by Appen's factors; a glass with more of them is left to Appen's model (`fallback.py`).
Knows nothing of clears or bodies.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from .composition import Split, split
from .domain import half_width, limits, place, too_doubtful
from .fallback import expansion_elsewhere
from .fitted import Fitted, load
from .published import appen
from .published.factors import factors
from .published.outside import Outside
from .results import Estimate, not_computed

FILE = "glass-expansion.json"
MODEL = "our fit to measured glasses"
SOURCE = (
    "Gaussian process fitted to 1,557 measured glasses of the SciGlass database "
    "(ODbL, © 2019 EPAM Systems), data/glass-expansion.json"
)


def expansion(mol: Mapping[str, float]) -> Estimate:
    """Mean linear expansion from room temperature to about 300 °C, 1e-6/K."""
    model = load(FILE)
    known = split(mol, model.oxides)
    if not known.left_out or not known.kept:
        return _known(model, mol)
    limit = limits("expansion")
    added = _added_by_appen(mol, known)
    if added is None or known.left_out_share > limit["most counted by Appen's factor"]:
        return _known(model, mol) if added is None else _elsewhere(mol)
    base = _known(model, known.kept)
    if base.value is None or base.low is None or base.high is None:
        return base
    value = base.value + added
    half = (base.high - base.low) / 2 + limit["band widened if counted"] * known.left_out_share
    name = f"{MODEL}, small amounts by Appen's factors"
    return replace(base, value=value, low=value - half, high=value + half, model=name)


def expansions(mols: Sequence[Mapping[str, float]]) -> list[Estimate]:
    """The same for many."""
    return [expansion(mol) for mol in mols]


def _known(model: Fitted, mol: Mapping[str, float]) -> Estimate:
    where = place(model, "expansion", mol)
    if where.reason is not None:
        return not_computed(where.reason)
    doubt = model.doubt(where.shares)
    half = half_width(model, doubt)
    if (reason := too_doubtful(model, where.shares, half, doubt)) is not None:
        return not_computed(reason)
    half += where.widened
    value = float(model.means(where.shares)[0, 0])
    return Estimate(value, value - half, value + half, MODEL, SOURCE)


def _added_by_appen(mol: Mapping[str, float], known: Split) -> float | None:
    """What the oxides that our fit does not know change, 1e-6/K; None if Appen cannot tell."""
    if not known.left_out.keys() <= factors(appen.FILE, appen.MODEL).keys():
        return None
    whole, without = appen.expansion(mol), appen.expansion(known.kept)
    if isinstance(whole, Outside) or isinstance(without, Outside):
        return None
    return whole - without


def _elsewhere(mol: Mapping[str, float]) -> Estimate:
    found = expansion_elsewhere(mol)
    if found is not None:
        return found
    return not_computed("neither our fit nor Appen's model covers so unusual a glass")
