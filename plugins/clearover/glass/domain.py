"""Whether a glass lies where our own models were fitted: a composition in, shares or a reason out.

A glass is inside where measured glasses come near it, and where the 90 % band that they allow is
narrow enough to be of use: where glasses like it were measured, and measured alike. So distance
counts, and not only the least and the most of each oxide. Limits: the `domain` of the model's file
and `data/glass-foreign-oxides.csv`. Knows nothing of what is predicted.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from ..tables import rows
from .composition import named_shares, split
from .fitted import Doubt, Fitted, Floats

FOREIGN = "glass-foreign-oxides.csv"
WORTH_NAMING = 1.0
"""mol %: a difference to the nearest measured glasses that a reason names."""
NEIGHBOURS = 5


@dataclass(frozen=True, slots=True)
class Place:
    """A glass as a model sees it: shares, how much the band widens for what was left out, and the
    share (mol %) of that; or why it is outside."""

    shares: Floats
    left_out: float
    widened: float
    reason: str | None = None


@cache
def limits(quantity: str) -> dict[str, float]:
    """What the data file says of oxides that the model for one quantity does not know."""
    return {
        row["what"]: float(row["value"]) for row in rows(FOREIGN) if row["property"] == quantity
    }


def place(model: Fitted, quantity: str, mol: Mapping[str, float]) -> Place:
    """The shares the model knows, brought to 100; a reason where too much is foreign to it."""
    parts = split(mol, model.oxides)
    shares = np.array([[parts.kept.get(oxide, 0.0) for oxide in model.oxides]])
    foreign = parts.left_out_share
    widened = foreign * limits(quantity)["band widened if left out"]
    if not parts.kept:
        return Place(shares, 100.0, widened, "there is no glass: nothing of it is known to us")
    if foreign > limits(quantity)["most left out"]:
        what = named_shares(parts.left_out)
        return Place(shares, foreign, widened, f"none of the measured glasses holds {what}")
    return Place(shares, foreign, widened)


def half_width(model: Fitted, doubt: Doubt) -> float:
    """Half the width of the first part's 90 % band, in the model's own measure."""
    terms = model.settings["band"]
    half = terms["constant"] + terms["spread"] * doubt.spread + terms["miss"] * doubt.miss
    return float(half)


def too_doubtful(model: Fitted, shares: Floats, half: float, doubt: Doubt) -> str | None:
    """Why a glass is outside, or None where it is inside; `half` is its band's half width."""
    limit = model.settings["domain"]
    moved = float(model.exchanged(shares).min())
    near = moved <= limit["most_exchanged"] and doubt.spread <= limit["widest_spread"]
    if near and half <= limit["widest_band"]:
        return None
    unlike = _unlike(model, shares)
    if near or not unlike:
        return "the measured glasses near it disagree too much"
    return f"no measured glass with {' and '.join(unlike)} comes near it"


def _unlike(model: Fitted, shares: Floats) -> list[str]:
    """In what it differs from the nearest measured glasses, the largest difference first."""
    nearest = np.argsort(model.exchanged(shares))[:NEIGHBOURS]
    more = shares[0] - model.inputs.shares[nearest].mean(0)
    found = []
    for k in np.argsort(-np.abs(more))[:2]:
        if abs(more[k]) >= WORTH_NAMING:
            much = "so much" if more[k] > 0 else "so little"
            found.append(f"{much} {model.oxides[k]} ({shares[0, k]:.1f} mol %)")
    return found
