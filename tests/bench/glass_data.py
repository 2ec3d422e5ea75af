"""The measured glasses as the fits want them: tables in, observations and folds out.

`data/measured_glasses.csv` holds the glasses (its notice beside it), `data/left-out-glasses.csv`
what is left out of a property, and why. Knows nothing of how models are fitted.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from glass_process import Floats, Measured
from numpy.typing import NDArray

DATA = Path(__file__).resolve().parent / "data"
OXIDES = ("SiO2", "Al2O3", "B2O3", "CaO", "MgO", "ZnO", "BaO", "SrO", "Na2O", "K2O", "Li2O")
ISOKOMS = (2.0, 3.0, 4.0, 5.0, 6.0, 12.0)
TEMPERATURES = (1000.0, 1100.0, 1200.0, 1300.0)
STIFFEST = 9.0
"""log10 Pa·s above which points only check the fit."""
FOLDS = 5


@dataclass(frozen=True, slots=True)
class Glass:
    """One measured glass: shares in mol %, its publication, and what was measured."""

    id: str
    publication: str
    author: str
    year: str
    shares: tuple[float, ...]
    expansion: float | None
    tg: float | None
    at_isokom: dict[float, float]
    """Temperature, °C, by log10 Pa·s."""
    at_celsius: dict[float, float]
    """log10 Pa·s by temperature, °C."""

    def curve(self) -> list[tuple[float, float]]:
        """(log10 Pa·s, °C) of every point of the melt, hottest first."""
        points = [(level, celsius) for level, celsius in self.at_isokom.items()]
        points += [(level, celsius) for celsius, level in self.at_celsius.items()]
        return sorted(points)


def _number(text: str) -> float | None:
    return float(text) if text else None


@cache
def glasses() -> tuple[Glass, ...]:
    """Every measured glass of the file."""
    with (DATA / "measured_glasses.csv").open(encoding="utf-8", newline="") as lines:
        return tuple(_glass(row) for row in csv.DictReader(lines))


def _glass(row: dict[str, str]) -> Glass:
    isokoms = {level: _number(row[f"T_at_log10_eta_Pas_{level:g}_C"]) for level in ISOKOMS}
    levels = {celsius: _number(row[f"log10_eta_Pas_at_{celsius:g}_C"]) for celsius in TEMPERATURES}
    return Glass(
        id=row["id"],
        publication=row["id"].rpartition("_")[2],
        author=row["first_author"],
        year=row["year"],
        shares=tuple(float(row[oxide]) for oxide in OXIDES),
        expansion=_number(row["cte_1e-6_per_K"]),
        tg=_number(row["Tg_C"]),
        at_isokom={level: celsius for level, celsius in isokoms.items() if celsius is not None},
        at_celsius={celsius: level for celsius, level in levels.items() if level is not None},
    )


@cache
def left_out(what: str) -> dict[str, str]:
    """Ids left out of one property, each with the reason."""
    with (DATA / "left-out-glasses.csv").open(encoding="utf-8", newline="") as lines:
        return {
            row["id"]: row["reason"] for row in csv.DictReader(lines) if row["property"] == what
        }


def with_expansion() -> list[Glass]:
    """Glasses whose expansion counts."""
    out = left_out("expansion")
    return [glass for glass in glasses() if glass.expansion is not None and glass.id not in out]


def with_melt() -> list[Glass]:
    """Glasses of whose melt something is known between 1 and 10^6 Pa·s, and counts."""
    out = left_out("viscosity")
    return [g for g in glasses() if any(p[0] < STIFFEST for p in g.curve()) and g.id not in out]


def shares_of(found: list[Glass]) -> Floats:
    """mol % of each, a row a glass, 100 in sum."""
    rows = np.array([glass.shares for glass in found])
    shares: Floats = 100 * rows / rows.sum(1, keepdims=True)
    return shares


def expansion_data(found: list[Glass], mean: float) -> Measured:
    """One observation a glass: expansion less `mean`, 1e-6/K."""
    values = np.array([glass.expansion for glass in found], dtype=np.float64)
    return Measured(
        shares=shares_of(found),
        publications=np.array([glass.publication for glass in found]),
        glass=np.arange(len(found)),
        design=np.ones((len(found), 1)),
        values=values - mean,
        noise=np.full(len(found), 0.1),
    )


@dataclass(frozen=True, slots=True)
class Curve:
    """The form of the melt curve: T(log10 η) = first + second × psi(log10 η), in 100 °C.

    psi is 0 at `middle` and changes by 1 from log10 4 to log10 2: `first` is the temperature at
    `middle`, `second` what separates those two. `endless` is log10 η of an endlessly hot melt.
    """

    endless: float
    middle: float
    first: float
    second: float
    """Usual values, taken off before a fit."""

    def psi(self, level: Floats | float) -> Floats | float:
        unit = 1 / (2 - self.endless) - 1 / (4 - self.endless)
        return (1 / (level - self.endless) - 1 / (self.middle - self.endless)) / unit


def melt_data(found: list[Glass], curve: Curve, misfit: float) -> Measured:
    """At most two observations a glass: all its points brought together (exactly, by QR).

    The columns of a glass are read off one curve with three constants, so more points than two
    say little more; each then counts for less. `misfit` is how far a point lies from the curve's
    form, in 100 °C. Points at 10^12 Pa·s are left out: they check the curve where it is
    extrapolated.
    """
    glass, design, values = [], [], []
    for number, one in enumerate(found):
        for row, value in _together(one, curve, misfit):
            glass.append(number)
            design.append(row)
            values.append(value)
    return Measured(
        shares=shares_of(found),
        publications=np.array([one.publication for one in found]),
        glass=np.array(glass),
        design=np.array(design),
        values=np.array(values),
        noise=np.ones(len(values)),
    )


def _together(one: Glass, curve: Curve, misfit: float) -> Iterator[tuple[Floats, float]]:
    points = np.array([p for p in one.curve() if p[0] < STIFFEST])
    psi = np.asarray(curve.psi(points[:, 0]))
    spread = misfit * np.sqrt(max(1.0, len(points) / 2))
    design = np.stack([np.ones(len(points)), psi], axis=1) / spread
    values = (points[:, 1] / 100 - curve.first - curve.second * psi) / spread
    if len(points) == 1:
        yield design[0], float(values[0])
        return
    q, r = np.linalg.qr(design)
    for row, value in zip(r, q.T @ values, strict=True):
        if np.abs(row).max() > 1e-6:
            yield row, float(value)


def folds(publications: NDArray[np.str_], seed: int = 0) -> NDArray[np.intp]:
    """The fold of each glass: publications dealt out by chance, whole ones only."""
    names = np.unique(publications)
    dealt = np.random.default_rng(seed).permutation(len(names)) % FOLDS
    return dealt[np.searchsorted(names, publications)]
