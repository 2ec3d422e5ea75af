"""Worked examples of expansion, fit, surface tension and density, on the one example glass.

In: published factors and our own fitted model. Out: `Example`s. See `methods_examples`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..chemistry.oxides import oxides
from ..glass import crazing
from ..glass.composition import split, weight_percent
from ..glass.crazing import BodyExpansion
from ..glass.density import left_in_melt
from ..glass.expansion import FILE, expansion
from ..glass.fitted import load
from ..glass.published import appen, appen_density, dietzel, lange1997, winkelmann_schott
from ..glass.published.boron import psi
from ..glass.published.factors import factors, quantities
from .methods_worked import Example, exact, mol, number, summed

CELSIUS = 1222.0
"""Cone 6 at 60 °C/h, the heat of the examples."""
BODY = BodyExpansion(7.2, "measured", 1.0)


def _appen() -> Example:
    glass = mol()
    ratio = psi(glass) or 0.0
    by_oxide = dict(factors(appen.FILE, appen.MODEL))
    table = quantities(appen.FILE, appen.MODEL)
    by_oxide["B2O3"] += table["B2O3", "slope"] * min(max(ratio, 0.0), table["B2O3", "slope to"])
    above = max(0.0, glass["SiO2"] - table["SiO2", "slope from"])
    by_oxide["SiO2"] += table["SiO2", "slope"] * above
    terms = [(name, share, round(by_oxide[name], 3)) for name, share in glass.items()]
    columns, rows, total = summed(("oxide", "mol %", "factor", "product"), terms)
    lines = (
        f"ψ = {number(ratio)}, so B2O3 counts {number(by_oxide['B2O3'], 1)}.",
        f"α = {number(total)} ÷ 1000 = {number(total / 1000)} × 10⁻⁶ per K.",
    )
    return Example(columns, rows, lines, total / 1000)


def _by_weight() -> Example:
    by_oxide = factors("expansion-factors.csv", winkelmann_schott.MODEL)
    terms = [(name, share, by_oxide[name]) for name, share in weight_percent(mol()).items()]
    columns, rows, total = summed(("oxide", "weight %", "factor", "product"), terms)
    line = f"Winkelmann and Schott: α = {number(total)} ÷ (10 × 3) = {number(total / 30)} × 10⁻⁶"
    return Example(columns, rows, (line + " per K.",), total / 30)


def fitted(model: Any, part: Any, glass: Mapping[str, float]) -> tuple[float, float, NDArray[Any]]:
    """The straight part of a fitted model, how many measured glasses it knows, and what each of
    them adds, by the formulas of the page."""
    kept = split(glass, model.oxides).kept
    shares = np.array([kept.get(oxide, 0.0) for oxide in model.oxides])
    known = getattr(model.inputs, "shares", model.inputs)
    nu = getattr(model, "smoothness", 2.5)
    steps = (np.sqrt(shares + model.root) - np.sqrt(known + model.root)) / part.lengths
    r = np.sqrt(2 * nu * (steps**2).sum(axis=1))
    bend = r * r / 3 if nu > 2 else 0.0
    added = part.weights * part.amplitude * (1 + r + bend) * np.exp(-r)
    return float((shares - model.centre) @ part.slopes), float(len(known)), added


def _own() -> Example:
    model: Any = load(FILE)
    part = model.parts[0]
    kept = split(mol(), model.oxides).kept
    rows = [
        (oxide, number(x), number(m), number(s, 4), number((x - m) * s, 4))
        for oxide, m, s in zip(model.oxides, model.centre, part.slopes, strict=True)
        for x in (kept.get(oxide, 0.0),)
    ]
    straight, count, added = fitted(model, part, mol())
    rows.append(("sum", "", "", "", number(straight, 4)))
    first = int(np.argmax(np.abs(added)))
    found = expansion(mol())
    assert found.low is not None and found.high is not None
    departure = float(added.sum())
    total = part.constant + straight + departure
    lines = (
        f"Departure from the straight part: the sum over {count:.0f} glasses is "
        f"{number(departure, 4)}; the largest term, {number(float(added[first]), 4)}, is that of "
        f"glass {first + 1} in the file.",
        f"α = {number(part.constant, 4)} + ({number(straight, 4)}) + ({number(departure, 4)}) = "
        f"{number(total)} × 10⁻⁶ per K; nine of ten such glasses between {number(found.low)} and "
        f"{number(found.high)}.",
    )
    columns = ("oxide", "mol % x", "centre m", "slope s", "s (x − m)")
    return Example(columns, tuple(rows), lines, total)


def _craze() -> Example:
    glaze = expansion(mol())
    found = crazing.risk(glaze, BODY)
    assert glaze.low is not None and glaze.high is not None and glaze.value is not None
    assert BODY.value is not None and found.difference.value is not None
    clear = (glaze.high - glaze.low) / 2
    doubt = crazing.limits("doubt")
    body = BODY.value * doubt["measured"].value / 100
    ranges = doubt["range"].value
    spread = math.sqrt(clear**2 + body**2 + ranges**2) / crazing.Z90
    difference = found.difference.value
    margin = crazing.limits("margin")["crazing"]
    z1, z2 = (margin.low - difference) / spread, (margin.high - difference) / spread
    lines = (
        f"d = {number(BODY.value)} − {number(glaze.value)} = {number(difference)} × 10⁻⁶ per K",
        f"s = √({number(clear)}² + {number(body)}² + {number(ranges)}²) ÷ 1.645 "
        f"= {number(spread, 3)}",
        f"P(d < 0) = Φ(−{number(difference)} ÷ {number(spread, 3)}) "
        f"= {number(found.tension or 0, 3)}",
        f"z from {number(z1)} to {number(z2)}: P(d < m) = {number(found.too_little or 0, 3)}; "
        f"P(d > m) for shivering = {number(found.too_much or 0, 3)}",
        f"In words: crazing {found.crazing}, shivering {found.shivering}. "
        f"Stress about {number(crazing.stress_mpa(difference), 0)} MPa.",
    )
    rows = (
        ("clear, computed", number(glaze.value), number(clear)),
        ("body, measured", number(BODY.value), number(body)),
        ("different temperature ranges", "", number(ranges)),
    )
    return Example(("10⁻⁶ per K", "figure", "half of its 90 % band"), rows, lines, found.too_little)


def _tension() -> Example:
    by_oxide = factors(dietzel.FILE, dietzel.MODEL)
    terms = [(name, share, by_oxide[name]) for name, share in weight_percent(mol()).items()]
    columns, rows, total = summed(("oxide", "weight %", "factor", "product"), terms)
    value = total + dietzel.slope() * (CELSIUS - dietzel.REFERENCE_C)
    line = (
        f"Dietzel, the model for glasses with zinc: σ = {number(total, 1)} − 0.04 × "
        f"({exact(CELSIUS)} − {exact(dietzel.REFERENCE_C)}) = {number(value, 0)} mN/m."
    )
    return Example(columns, rows, (line,), value)


def _density() -> Example:
    glass = mol()
    in_melt = lange1997.volumes(CELSIUS)
    left = left_in_melt(CELSIUS)
    cold = appen_density.volumes(glass)
    rows, grams, volume = [], 0.0, 0.0
    for name, share in glass.items():
        each = in_melt.get(name, cold[name] / left if name in cold else 0.0)
        grams += share * oxides()[name].molar_mass
        volume += share * each
        whose = "Lange" if name in in_melt else "Appen, widened"
        rows.append((name, number(share), exact(oxides()[name].molar_mass), number(each), whose))
    value = 1000 * grams / volume
    line = (
        f"ρ = 1000 × {number(grams, 1)} ÷ {number(volume, 1)} = {number(value, 0)} kg/m³ at "
        f"{exact(CELSIUS)} °C; what is widened is divided by {number(left, 4)}."
    )
    return Example(("oxide", "mol %", "g/mol", "cm³/mol", "volume of"), tuple(rows), (line,), value)


EXAMPLES: dict[str, Callable[[], Example]] = {
    "expansion-appen": _appen,
    "expansion-by-weight": _by_weight,
    "expansion": _own,
    "craze-risk": _craze,
    "surface-tension": _tension,
    "density": _density,
}
