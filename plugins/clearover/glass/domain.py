"""Whether a glass lies where our own models were fitted: a composition in, shares or a reason out.

Knows nothing of what is predicted.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from .composition import named_shares, split
from .fitted import Fitted, Floats

LEFT_OUT_MOST = 1.0
"""mol % that may be left out because the model does not know the oxides. Common practice."""


@dataclass(frozen=True, slots=True)
class Place:
    """A glass as the model sees it: shares, what was left out (mol %); or why it is outside."""

    shares: Floats
    left_out: float
    reason: str | None = None


def place(model: Fitted, mol: Mapping[str, float]) -> Place:
    """The shares the model knows, brought to 100; a reason where too much is foreign to it."""
    parts = split(mol, model.oxides)
    shares = np.array([[parts.kept.get(oxide, 0.0) for oxide in model.oxides]])
    if not parts.kept:
        return Place(shares, 100.0, "nothing in it that the model knows")
    if parts.left_out_share > LEFT_OUT_MOST:
        foreign = named_shares(parts.left_out)
        return Place(shares, parts.left_out_share, f"no measured glass of ours holds {foreign}")
    return Place(shares, parts.left_out_share)


def far_away(model: Fitted, shares: Floats, spread: float) -> str | None:
    """Why the glass is too far from all measured ones, or None where it is near enough."""
    if spread <= model.settings["domain"]["most_spread"]:
        return None
    apart = np.sqrt(model.inputs + model.root) - np.sqrt(shares + model.root)
    nearest = int(np.argmin(((apart / model.parts[0].lengths) ** 2).sum(1)))
    differs = (shares[0] - model.inputs[nearest]) * (np.abs(apart[nearest]) > 0)
    steps = np.abs(apart[nearest]) / model.parts[0].lengths
    words = []
    for k in np.argsort(-steps)[:2]:
        if steps[k] > 0:
            much = "much" if differs[k] > 0 else "little"
            words.append(f"so {much} {model.oxides[k]} ({shares[0, k]:.1f} mol %)")
    return f"no measured glass with {' and '.join(words)} comes near it"
