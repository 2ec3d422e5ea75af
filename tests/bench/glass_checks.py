"""What the models said of unseen glasses, beside the measurement: predictions in, rows out.

Knows nothing of files.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from glass_data import FOLDS
from glass_unseen import Unseen, band_of, domain_of, inside, made_from, misses

LEVELS = {
    "temperature at log10 2": 2.0,
    "temperature at log10 3": 3.0,
    "temperature at log10 4": 4.0,
    "temperature at log10 6": 6.0,
    "temperature at log10 12": 12.0,
}
CELSIUS = {
    "viscosity at 1000 °C": 1000.0,
    "viscosity at 1100 °C": 1100.0,
    "viscosity at 1200 °C": 1200.0,
    "viscosity at 1300 °C": 1300.0,
}
PLOTTED = 300
"""At most so many points of one property in the table of checks."""


@dataclass(frozen=True, slots=True)
class Check:
    """One measurement and what a model that had not seen its publication said."""

    property: str
    glass: str
    fold: int
    measured: float
    predicted: float
    half: float
    inside: bool

    @property
    def error(self) -> float:
        return abs(self.predicted - self.measured)

    @property
    def held(self) -> bool:
        return self.error <= self.half


def checks(
    what: str, told: list[Unseen], band: dict[str, float], domain: dict[str, float]
) -> Iterator[Check]:
    """Every measurement of every unseen glass."""
    for one in told:
        within = inside(one, band, domain)
        for name, real, predicted, half in _points(what, one, band):
            yield Check(name, one.glass.id, one.fold, real, predicted, half, within)


def _points(
    what: str, one: Unseen, band: dict[str, float]
) -> Iterator[tuple[str, float, float, float]]:
    glass = one.glass
    if what == "expansion":
        if glass.expansion is not None:
            yield "expansion", glass.expansion, *one.expansion(band)
        return
    curve = one.curve(band)
    for name, level in LEVELS.items():
        if level in glass.at_isokom:
            predicted = curve.celsius_at(level)
            yield name, glass.at_isokom[level], predicted, curve.half_band_c(level)
    for name, celsius in CELSIUS.items():
        if celsius in glass.at_celsius:
            at = np.array([celsius])
            value, half = float(curve.log10_at(at)[0]), float(curve.half_band(at)[0])
            yield name, glass.at_celsius[celsius], value, half


def trimmed_mean(errors: np.ndarray) -> float:
    """Mean without the largest 5 in 100."""
    kept = np.sort(errors)[: int(np.ceil(0.95 * len(errors)))]
    return float(kept.mean())


def ours(what: str, told: list[Unseen]) -> list[Check]:
    """What our model says of unseen glasses; a fold's band and domain come from the others."""
    missed = misses(what, told)
    found: list[Check] = []
    for fold in range(FOLDS):
        others = [k for k, one in enumerate(told) if one.fold != fold]
        rest = [told[k] for k in others]
        band = band_of([missed[k] for k in others], rest)
        domain = domain_of(what, rest, band)
        found += checks(what, [one for one in told if one.fold == fold], band, domain)
    return found


def by_property(found: Iterable[Check]) -> dict[str, list[Check]]:
    """The checks of each property."""
    sorted_out: dict[str, list[Check]] = {}
    for check in found:
        sorted_out.setdefault(check.property, []).append(check)
    return sorted_out


def plotted(found: list[Check]) -> list[dict[str, Any]]:
    """Rows for plots: of each property points inside the domain, thinned by chance."""
    rows = []
    for name, every in by_property(check for check in found if check.inside).items():
        chosen = np.random.default_rng(0).permutation(len(every))[:PLOTTED]
        for one in (every[k] for k in sorted(chosen)):
            low, high = one.predicted - one.half, one.predicted + one.half
            values = {"measured": one.measured, "predicted": one.predicted}
            values |= {"low": low, "high": high}
            row = {"property": name, "glass": one.glass} | _as_text(name, values)
            rows.append(row | {"source": "SciGlass (ODbL)"})
    return rows


def recorded(found: list[Check], names: Iterable[str]) -> list[dict[str, Any]]:
    """Rows of every check of some properties."""
    sorted_out = by_property(found)
    rows = []
    for name in names:
        for one in sorted_out.get(name, []):
            values = {"measured": one.measured, "predicted": one.predicted, "half": one.half}
            row = {"property": name, "glass": one.glass, "fold": one.fold + 1}
            rows.append(
                row
                | _as_text(name, values)
                | {"inside": "yes" if one.inside else "no", "made_from": made_from()}
            )
    return rows


SOURCE = (
    "our own fit, each glass predicted without its publication; measured values of the SciGlass "
    "database (ODbL, © 2019 EPAM Systems)"
)


def summed_up(recorded_rows: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Rows of what the recorded checks show of each property inside the domain: how many of how
    many, the median error, its mean without the largest 5 in 100, what nine in ten stay under, and
    the share that the 90 % band holds."""
    by_name: dict[str, list[dict[str, Any]]] = {}
    for row in recorded_rows:
        by_name.setdefault(row["property"], []).append(row)
    rows = []
    for name, every in by_name.items():
        within = [row for row in every if row["inside"] == "yes"]
        measured, predicted, half = (
            np.array([float(row[key]) for row in within])
            for key in ("measured", "predicted", "half")
        )
        errors = np.abs(measured - predicted)
        found = {
            "median": float(np.median(errors)),
            "trimmed": trimmed_mean(errors),
            "ninetieth": float(np.quantile(errors, 0.9)),
        }
        row = {"property": name, "glasses": len(every), "inside": len(within)}
        held = f"{np.mean(errors <= half):.3f}"
        rows.append(row | _as_text(name, found) | {"held": held, "source": SOURCE})
    return rows


def _as_text(name: str, values: dict[str, float]) -> dict[str, str]:
    digits = 1 if name.startswith("temperature") else 3
    return {key: f"{value:.{digits}f}" for key, value in values.items()}
