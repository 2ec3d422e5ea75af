"""Where each published model holds: a model's name and a glass in, a reason or None out.

The limits, each with its source, are `data/glass-model-ranges.csv`. Most are the range of the
glasses a model was made from. Analyses are rounded, so a limit is kept to one part in a hundred.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache

from ...tables import rows
from ..composition import Split, named_shares, split
from .outside import Outside

FILE = "glass-model-ranges.csv"
NO_FACTOR = "no factor"
VISCOSITY = "log10 Pa·s"
TEMPERATURE = "°C"
ROUNDING = 0.01
"""How far past a limit an analysis may lie, relative. Source: common practice, rounding."""


@dataclass(frozen=True, slots=True)
class Range:
    """From `least` to `most`, in `basis` (`mol %`, `weight %`, `mol per mol SiO2`)."""

    least: float
    most: float
    basis: str

    def holds(self, value: float) -> bool:
        return self.least * (1 - ROUNDING) <= value <= self.most * (1 + ROUNDING)


@cache
def ranges(model: str) -> dict[str, Range]:
    """A model's limits by what they limit: an oxide (or a sum of oxides), `no factor`,
    the viscosity (`log10 Pa·s`) or the temperature (`°C`)."""
    return {
        row["what"]: Range(float(row["least"]), float(row["most"]), row["basis"])
        for row in rows(FILE)
        if row["model"] == model
    }


def known_part(model: str, mol: Mapping[str, float], known: Collection[str]) -> Split | Outside:
    """The part of a glass a model has factors for; Outside where too much is left out.

    Up to the limit of the data file the rest is left out and the known part brought to 100.
    """
    parts = split(mol, known)
    if not parts.kept:
        return Outside("there is no glass: nothing of it is known to the model")
    if parts.left_out_share > ranges(model)[NO_FACTOR].most:
        return Outside(f"the {model} model has no factor for {named_shares(parts.left_out)}")
    return parts


def outside_of(model: str, shares: Mapping[str, float], basis: str) -> Outside | None:
    """Why a glass lies outside a model's range, by its shares in one basis; None where inside.

    A limit may be of a sum: `Na2O+K2O`.
    """
    for what, limit in ranges(model).items():
        if limit.basis != basis or what == NO_FACTOR:
            continue
        share = sum(shares.get(oxide, 0.0) for oxide in what.split("+"))
        if not limit.holds(share):
            return Outside(
                f"the {model} model holds for {limit.least:g} to {limit.most:g} {basis} "
                f"{what.replace('+', ' + ')}; here it is {share:.3g}"
            )
    return None


def outside_temperatures(model: str, celsius: float) -> Outside | None:
    """Why a temperature lies outside a model's range; None where inside."""
    limit = ranges(model)[TEMPERATURE]
    if limit.least <= celsius <= limit.most:
        return None
    return Outside(
        f"the {model} model holds from {limit.least:g} to {limit.most:g} °C, not at {celsius:g} °C"
    )
