"""Worked examples of the melt curve: our own and three published ones.

In: published coefficients and our own fitted model. Out: `Example`s. The published models do not
hold for the example glass, so they work on a container glass (and a rhyolite). See
`methods_examples`.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from ..glass.composition import weight_percent
from ..glass.fitted import load
from ..glass.published import fluegel2007, giordano2008, lakatos1976
from ..glass.published.outside import Outside
from ..glass.viscosity import melt_curve
from ..tables import rows as table_rows
from .methods_glass_examples import fitted
from .methods_worked import Example, exact, mol, number

CONTAINER = {
    "SiO2": 71.0,
    "Al2O3": 1.2,
    "CaO": 11.0,
    "MgO": 2.3,
    "Na2O": 14.0,
    "K2O": 0.5,
}
"""A container glass, mol %: invented, in the middle of its kind."""
RHYOLITE = {
    "SiO2": 79.0,
    "Al2O3": 10.0,
    "CaO": 1.5,
    "MgO": 1.0,
    "Na2O": 5.0,
    "K2O": 3.5,
}
"""A melt like a rhyolite, mol %: invented."""
MIDDLE = 1000.0
CELSIUS = 1222.0


def _own() -> Example:
    model: Any = load("glass-viscosity.json")
    curve = melt_curve(mol())
    p, q = (
        part.constant + straight + float(added.sum())
        for part in model.parts
        for straight, _, added in (fitted(model, part, mol()),)
    )
    middle = model.settings["curve"]["middle"]
    at = float(curve.log10_at(np.array([CELSIUS]))[0])
    half = float(curve.half_band(np.array([CELSIUS]))[0])
    a = curve.endless
    unit = 1 / (2 - a) - 1 / (4 - a)
    lines = (
        f"p = {number(p, 4)} and q = {number(q, 4)}, each a sum as at “Expansion of a clear”.",
        f"B = 100 × {number(q, 4)} ÷ (1 ÷ {number(2 - a, 3)} − 1 ÷ {number(4 - a, 3)}) = "
        f"{number(100 * q / unit, 0)} °C",
        f"T₀ = 100 × {number(p, 4)} − {number(curve.slope, 0)} ÷ {number(middle - a, 3)} = "
        f"{number(curve.zero, 0)} °C",
        f"log₁₀ η at {exact(CELSIUS)} °C = {number(a, 3)} + {number(curve.slope, 0)} ÷ "
        f"({exact(CELSIUS)} − {number(curve.zero, 0)}) = {number(at)} Pa·s, ± {number(half)}",
        f"Temperature at log₁₀ η = 3: {number(curve.zero, 0)} + {number(curve.slope, 0)} ÷ "
        f"(3 − ({number(a, 3)})) = {number(curve.celsius_at(3.0), 0)} °C",
    )
    return Example((), (), lines, at)


def _lakatos() -> Example:
    weights = weight_percent(CONTAINER)
    parts = {oxide: 100 * share / weights["SiO2"] for oxide, share in weights.items()}
    given: dict[str, dict[str, float]] = {}
    for row in table_rows(lakatos1976.FILE):
        given.setdefault(row["quantity"], {})[row["term"]] = float(row["value"])
    totals = {name: given[name]["constant"] for name in ("A", "B", "T0")}
    rows = [("constant", "", *(exact(given[name]["constant"]) for name in totals))]
    for oxide, y in parts.items():
        if oxide != "SiO2":
            rows.append((oxide, number(y), *(exact(given[name].get(oxide, 0)) for name in totals)))
            for name in totals:
                totals[name] += y * given[name].get(oxide, 0)
    rows.append(("sum", "", *(number(totals[name], 3) for name in totals)))
    value = -totals["A"] - 1 + totals["B"] / (MIDDLE - totals["T0"])
    line = (
        f"log₁₀ η at {exact(MIDDLE)} °C = −{number(totals['A'], 3)} − 1 + {number(totals['B'], 0)} "
        f"÷ ({exact(MIDDLE)} − {number(totals['T0'], 0)}) = {number(value)} Pa·s"
    )
    columns = ("container glass", "parts to 100 SiO2", "A", "B", "T0")
    return Example(columns, tuple(rows), (_told(CONTAINER), line), value)


def _fluegel() -> Example:
    level = 1.5
    rows, total = [], 0.0
    for row in table_rows(fluegel2007.FILE):
        if float(row["log10_pa_s"]) != level:
            continue
        amount = _product(row["term"], CONTAINER)
        if amount:
            total += amount * float(row["value"])
            rows.append(
                (
                    row["term"],
                    number(amount),
                    row["value"].replace("-", "−"),
                    number(amount * float(row["value"]), 1),
                )
            )
    rows.append(("sum", "", "", number(total, 1)))
    found = fluegel2007.temperatures(CONTAINER)
    constants = fluegel2007.melt_constants(CONTAINER)
    assert not isinstance(found, Outside) and not isinstance(constants, Outside)
    points = ", ".join(f"{number(t, 0)} °C at {exact(v)}" for v, t in sorted(found.items()))
    lines = (
        _told(CONTAINER),
        f"Above: the temperature at log₁₀ {exact(level)} Pa·s. All three: {points}.",
        f"Through them: A = {number(constants.A, 3)}, B = {number(constants.B, 0)}, "
        f"T₀ = {number(constants.T0, 0)} °C.",
    )
    return Example(("term", "product", "coefficient", "°C"), tuple(rows), lines, total)


def _product(term: str, glass: Mapping[str, float]) -> float:
    """The product of mol % that a term of the table names."""
    if term == "constant":
        return 1.0
    powers: Counter[str] = Counter()
    for part in term.split("*"):
        oxide, _, power = part.partition("^")
        powers[oxide] += int(power or 1)
    return math.prod(glass.get(oxide, 0.0) ** power for oxide, power in powers.items())


def _giordano() -> Example:
    glass = {oxide: RHYOLITE.get(oxide, 0.0) for oxide in giordano2008.OXIDES}
    given = {row["term"]: (row["of"], float(row["value"])) for row in table_rows(giordano2008.FILE)}
    rows, sums = [], {"b": 0.0, "c": 0.0}
    for name, term in giordano2008.TERMS.items():
        of, value = given[name]
        amount = term(glass)
        sums[name[0]] += amount * value
        if amount:
            rows.append((name, of, number(amount), exact(value), number(amount * value, 1)))
    zero = sums["c"] - giordano2008.KELVIN
    value = given["A"][1] + sums["b"] / (CELSIUS - zero)
    lines = (
        _told(RHYOLITE),
        f"B = {number(sums['b'], 1)}, C = {number(sums['c'], 1)} K = {number(zero, 1)} °C.",
        f"log₁₀ η at {exact(CELSIUS)} °C = −4.55 + {number(sums['b'], 1)} ÷ ({exact(CELSIUS)} − "
        f"({number(zero, 1)})) = {number(value)} Pa·s",
    )
    return Example(("", "of", "mol %", "coefficient", "product"), tuple(rows), lines, value)


def _told(glass: Mapping[str, float]) -> str:
    return "mol %: " + ", ".join(f"{oxide} {exact(share)}" for oxide, share in glass.items()) + "."


EXAMPLES: dict[str, Callable[[], Example]] = {
    "viscosity": _own,
    "viscosity-lakatos": _lakatos,
    "viscosity-fluegel": _fluegel,
    "viscosity-giordano": _giordano,
}
