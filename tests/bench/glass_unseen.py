"""What the models say of glasses whose publications they have not seen.

Each fold is fitted without its publications, written down and read again as the committed model
is; what is predicted here comes from the running code. The settings of the fits are read from
`data/glass-settings.json`: chosen by the likelihood of the whole set (`search_glass_settings.py`).
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from hashlib import sha256
from typing import Any

import numpy as np
from clearover.glass.domain import half_width
from clearover.glass.fitted import Doubt, Fitted, from_document
from clearover.glass.melt_curve import MeltCurve
from clearover.glass.melt_model import curve_of
from glass_data import (
    DATA,
    FOLDS,
    Curve,
    Glass,
    expansion_data,
    folds,
    melt_data,
    with_expansion,
    with_melt,
)
from glass_document import document
from glass_process import Fit, Floats, Measured, PartSettings, Scale, Settings, scale_of
from numpy.typing import NDArray

NO_BAND = {"constant": 1.0, "spread": 0.0, "miss": 0.0}
NO_DOMAIN = {"widest_band": 1e9, "widest_spread": 1e9, "most_exchanged": 100.0}


@cache
def chosen(what: str) -> dict[str, Any]:
    """What was chosen before the fits of one model."""
    text = (DATA / "glass-settings.json").read_text(encoding="utf-8")
    found: dict[str, Any] = json.loads(text)[what]
    return found


def settings(what: str) -> Settings:
    """The settings of one model's process."""
    given = chosen(what)
    parts = tuple(
        PartSettings(**(part | {"lengths": np.array(part["lengths"])})) for part in given["parts"]
    )
    return Settings(parts, given["root"], given["smoothness"], given["tails"])


@cache
def measured(what: str) -> tuple[list[Glass], Measured, Scale]:
    """The glasses of one model, what was observed of them, and the scale of their oxides."""
    given = chosen(what)
    if what == "expansion":
        found = with_expansion()
        data = expansion_data(found, given["mean"])
    else:
        found = with_melt()
        data = melt_data(found, Curve(**given["curve"]), given["misfit"])
    return found, data, scale_of(data.shares)


def everything(what: str) -> NDArray[np.bool_]:
    """All the glasses of a model."""
    return np.ones(len(measured(what)[0]), dtype=bool)


def process(what: str, keep: NDArray[np.bool_], own: Settings | None = None) -> Fit:
    """The process fitted to some of the glasses, with the file's settings or its own."""
    _, data, scale = measured(what)
    return Fit(data.only(keep), own or settings(what), scale)


def constants(what: str) -> list[float]:
    """What was taken off the observations, a part each."""
    given = chosen(what)
    if what == "expansion":
        return [given["mean"]]
    return [given["curve"]["first"], given["curve"]["second"]]


def fitted(
    what: str,
    keep: NDArray[np.bool_],
    band: dict[str, float],
    domain: dict[str, float],
    own: Settings | None = None,
) -> dict[str, Any]:
    """The document of a model fitted to some of the glasses."""
    given = chosen(what)
    running = {name: given[name] for name in ("miss", "curve", "misfit") if name in given}
    running |= {"band": band, "domain": domain, "made_from": made_from()}
    return document(process(what, keep, own), constants(what), running)


@cache
def made_from() -> str:
    """A short sum of the glasses, what is left out of them, and the settings."""
    names = ("measured_glasses.csv", "left-out-glasses.csv", "glass-settings.json")
    return sha256(b"".join((DATA / name).read_bytes() for name in names)).hexdigest()[:12]


@dataclass(frozen=True, slots=True)
class Unseen:
    """One glass as a model without its publication sees it."""

    glass: Glass
    fold: int
    model: Fitted
    means: Floats
    doubt: Doubt
    moved: float
    """mol % that would have to be exchanged to make the nearest measured glass."""

    def expansion(self, band: dict[str, float]) -> tuple[float, float]:
        """Value and half width, 1e-6/K."""
        return float(self.means[0]), half_width(with_band(self.model, band), self.doubt)

    def curve(self, band: dict[str, float]) -> MeltCurve:
        """The melt curve."""
        return curve_of(with_band(self.model, band), self.means, self.doubt)


def with_band(model: Fitted, band: dict[str, float]) -> Fitted:
    """The model with another band."""
    return replace(model, settings=dict(model.settings) | {"band": band})


Choose = Callable[[str, NDArray[np.bool_]], Settings | None]


def as_in_file(what: str, keep: NDArray[np.bool_]) -> Settings | None:
    """The settings of the file for every fold."""
    return None


def unseen(
    what: str, seed: int = 0, by: str = "publication", choose: Choose = as_in_file
) -> list[Unseen]:
    """Every glass of a model, predicted without its publication (or without its first author).

    `choose` finds the settings of a fold from the glasses it may see.
    """
    found, data, _ = measured(what)
    groups = data.publications
    if by == "author":
        groups = np.array([glass.author for glass in found])
    fold = folds(groups, seed)
    told: list[Unseen] = []
    for number in range(FOLDS):
        keep = fold != number
        model = from_document(fitted(what, keep, NO_BAND, NO_DOMAIN, choose(what, keep)))
        for k in np.flatnonzero(fold == number):
            row = data.shares[k : k + 1]
            moved = float(model.exchanged(row).min())
            means, doubt = model.means(row)[0], model.doubt(row)
            told.append(Unseen(found[k], number, model, means, doubt, moved))
    return told


def misses(what: str, told: list[Unseen]) -> list[list[float]]:
    """By how much each glass is missed, every point of it brought to the first part's measure."""
    if what == "expansion":
        return [[abs(float(one.means[0]) - (one.glass.expansion or 0.0))] for one in told]
    found = []
    for one in told:
        curve = one.curve(NO_BAND)
        points = [p for p in one.glass.curve() if p[0] < 9]
        found.append(
            [abs(curve.celsius_at(level) - t) / curve.half_band_c(level) for level, t in points]
        )
    return found


def band_of(missed: list[list[float]], told: list[Unseen]) -> dict[str, float]:
    """The half width of a 90 % band: a sum of a constant, the spread and the miss near by.

    The usual error is fitted by least squares (errors over four times the median count as that,
    terms below nothing are left out), then brought up until it holds 90 of 100.
    """
    flat = np.array([error for errors in missed for error in errors])
    rows = [
        [1.0, one.doubt.spread, one.doubt.miss]
        for one, errors in zip(told, missed, strict=True)
        for _ in errors
    ]
    design = np.array(rows)
    errors = np.minimum(flat, 4 * np.median(flat))
    terms = np.zeros(3)
    kept = [0, 1, 2]
    while True:
        found = np.linalg.lstsq(design[:, kept], errors, rcond=None)[0]
        if (found >= 0).all():
            terms[kept] = found
            break
        kept = [k for k, value in zip(kept, found, strict=True) if value >= 0]
    terms = terms * np.quantile(flat / (design @ terms), 0.9)
    names = ("constant", "spread", "miss")
    return {name: float(f"{term:.4g}") for name, term in zip(names, terms, strict=True)}


def half_of(band: dict[str, float], one: Unseen) -> float:
    """The half width in the first part's own measure."""
    return half_width(with_band(one.model, band), one.doubt)


def domain_of(what: str, told: list[Unseen], band: dict[str, float]) -> dict[str, float]:
    """How wide a band, how wide a spread and how far from the nearest glass is still inside: by
    the share of the unseen glasses that keep within each."""
    given = chosen(what)["domain"]
    halves = [half_of(band, one) for one in told]
    spreads = [one.doubt.spread for one in told]
    moved = [one.moved for one in told]
    return {
        "widest_band": float(f"{np.quantile(halves, given['share_by_band']):.3g}"),
        "widest_spread": float(f"{np.quantile(spreads, given['share_by_spread']):.3g}"),
        "most_exchanged": float(f"{np.quantile(moved, given['share_by_exchange']):.3g}"),
    }


def inside(one: Unseen, band: dict[str, float], domain: dict[str, float]) -> bool:
    """Whether a glass lies inside the domain, as the running code decides it."""
    near = one.moved <= domain["most_exchanged"] and one.doubt.spread <= domain["widest_spread"]
    return near and half_of(band, one) <= domain["widest_band"]
