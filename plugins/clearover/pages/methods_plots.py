"""Plots of predicted against measured for the Methods page, each with the figures of its caption.

In: the shipped tables of checks. Out: a `Figure` by the name the methods file gives it. No figure
of a caption is typed, and no glass was used for its own prediction.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from statistics import median

from markupsafe import Markup

from ..firing.cone import parse_cone
from ..firing.kinetics_fit import fit
from ..firing.temperatures import charted, published
from ..glass import checks
from ..tables import rows
from .plot import Axis, fitting, misses, parity

Pairs = Sequence[tuple[float, float]]
"""(measured, predicted)."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A plot and the caption below it."""

    svg: Markup
    caption: str


@dataclass(frozen=True, slots=True)
class Errors:
    """What a set of points shows: how many, the median of the misses without their sign, the mean
    of the smaller 95 %, and what nine in ten stay under. In the unit of the points."""

    count: int
    middle: float
    trimmed: float
    ninety: float


def errors(pairs: Pairs) -> Errors:
    """The errors of (measured, predicted) pairs. Needs one pair at least."""
    off = sorted(abs(predicted - measured) for measured, predicted in pairs)
    kept = off[: max(1, math.floor(0.95 * len(off)))]
    return Errors(len(off), median(off), sum(kept) / len(kept), off[math.ceil(0.9 * len(off)) - 1])


def _unseen(wanted: str, title: str, words: str, places: int, what: str) -> Figure:
    """What our own fit said of glasses whose publication it had not seen: some drawn, the figures
    those of all of them."""
    pairs = [(point.measured, point.predicted) for point in checks.points()[wanted]]
    found = checks.unseen()[wanted]
    axis = fitting(words, [one for pair in pairs for one in pair])
    caption = (
        f"{len(pairs)} of {found.inside:,} {what} inside the domain, each predicted by a fit that "
        f"had not seen its publication. Of all of these: median error {found.median:.{places}f}, "
        f"mean of the smaller 95 % {found.trimmed:.{places}f}, nine in ten within "
        f"{found.ninetieth:.{places}f} (shaded); {100 * found.held:.0f} % lie inside their own "
        "stated 90 % band."
    )
    return Figure(parity(title, caption, pairs, axis, found.ninetieth, False), caption)


def _expansion() -> Figure:
    words = "measured, 10⁻⁶ per K"
    return _unseen("expansion", "Expansion, predicted against measured", words, 2, "glasses")


def _viscosity() -> Figure:
    title = "Viscosity at 1200 °C, predicted against measured"
    return _unseen("viscosity at 1200 °C", title, "measured, log10 Pa·s", 2, "melts at 1200 °C")


def _melting() -> Figure:
    title = "Temperature at log10 3 Pa·s, predicted against measured"
    return _unseen("temperature at log10 3", title, "measured, °C", 0, "melts")


def _tension() -> Figure:
    table = rows("surface-tension-checks.csv")
    pairs = [(float(row["measured"]), float(row["predicted"])) for row in table]
    found = errors(pairs)
    shares = errors([(1.0, predicted / measured) for measured, predicted in pairs])
    papers = len({_author(row["source"]) for row in table})
    axis = fitting("measured, mN/m", [one for pair in pairs for one in pair])
    caption = (
        f"{found.count} melts of {papers} publications, each by the model that would speak if its "
        f"publication were not known. Half of them within {found.middle:.0f} mN/m "
        f"({100 * shares.middle:.0f} %), nine in ten within {found.ninety:.0f} mN/m (shaded)."
    )
    title = "Surface tension, predicted against measured"
    return Figure(parity(title, caption, pairs, axis, found.ninety, False), caption)


def _author(source: str) -> str:
    return ", ".join(source.split(", ")[:2])


def middle_rate() -> list[tuple[str, float, float]]:
    """(cone, published, predicted) °C at 60 °C/h, by the curve through 15 and 150 °C/h alone."""
    found = []
    for cone in charted():
        points = published(cone)
        if len(points) == 3:
            curve = fit((points[0], points[2]))
            found.append((cone.label, points[1][1], curve.temperature_for(points[1][0])))
    return found


def _cones() -> Figure:
    found = middle_rate()
    off = [(true, predicted - true) for _, true, predicted in found]
    rms = math.sqrt(sum(miss**2 for _, miss in off) / len(off))
    worst = max(found, key=lambda one: abs(one[2] - one[1]))
    across = fitting("published at 60 °C/h, °C", [true for true, _ in off])
    up = Axis("predicted less published, °C", -8, 8)
    caption = (
        f"{len(found)} self-supporting cones at 60 °C/h, predicted by a curve through their "
        f"temperatures at 15 and 150 °C/h alone: {rms:.1f} °C root mean square, at most "
        f"{abs(worst[2] - worst[1]):.1f} °C (cone {parse_cone(worst[0]).shown}). The curve in use "
        "goes through all three."
    )
    return Figure(misses("Cones at the middle rate", caption, off, across, up), caption)


PLOTS: dict[str, Callable[[], Figure]] = {
    "expansion": _expansion,
    "viscosity": _viscosity,
    "melting": _melting,
    "surface-tension": _tension,
    "cone-temperature": _cones,
}


@cache
def figure(name: str) -> Figure:
    """The plot of that name. KeyError for a name nobody wrote."""
    return PLOTS[name]()


__all__ = ["Errors", "Figure", "errors", "figure", "middle_rate"]
