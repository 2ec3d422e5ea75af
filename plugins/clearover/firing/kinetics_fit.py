"""Makes `data/cone-kinetics.csv` from `data/cones.csv`: `python -m clearover.firing.kinetics_fit`.

For each cone a curve K(T) through its published temperatures (`kinetics` says what K is), whose
slope k is continuous and never falls: a degree hotter must never bring less heat work, in any
firing. Two published rates settle one slope E. Three leave one choice: k at the slowest rate's
temperature. It is made so that the slopes between the published temperatures, and what has to give
below them, stay as near as they can to the slope over the whole span (least squares of logarithms).
Beyond the fastest rate the slope over the whole span goes on. Below the slowest it does too, after
2 °C in which k joins up; or a lesser one where k would else have to fall.

The chart's own figures do not follow one line, so the slopes differ. Four cones rise more after
60 °C/h than before it (012, 05, 03, 14): there k doubles within those 2 °C.

Used off line only; a test makes the table again and compares.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from pathlib import Path

from ..tables import rows
from .kinetics import GAS_CONSTANT, KELVIN, TABLE, Curve, Piece

HEADING = "cone,kind,piece,anchor_c,heat_c_per_h,gain_per_h,slope_kj_per_mol,known,source"
SOURCE = "Fitted to the temperatures of cones.csv by clearover.firing.kinetics_fit"
JOIN_C = 2.0
"""Within so much below the slowest rate's temperature k joins up, °C."""
TRIALS = 50
SMOOTHEST_K, STEEPEST = 100.0, 50.0
"""The least E/R that is tried, kelvin, and the most that k may rise in one piece, ln."""

Point = tuple[float, float]
"""A published figure: heating rate, °C/h, and end temperature, °C."""


def overall_slope(slow: Point, fast: Point) -> float:
    """E/R, kelvin, of Kissinger's line through two figures: ln(r/T²) = a - E/RT."""
    (rate, celsius), (faster, hotter) = slow, fast
    one, other = celsius + KELVIN, hotter + KELVIN
    rise = math.log(faster / other**2) - math.log(rate / one**2)
    return rise / (1 / one - 1 / other)


def fit(points: tuple[Point, ...]) -> Curve:
    """The curve of one cone through its two or three figures, slowest first."""
    overall = overall_slope(points[0], points[-1])
    below = _from_rest(points[0], overall)
    if len(points) == 2:
        first = Piece(below.anchor_c, below.heat, below.gain, overall)
        return Curve((below, first, _beyond(first, points[-1], overall)))
    ceiling = (points[1][0] - points[0][0]) / (points[1][1] - points[0][1])

    def uneven(share: float) -> float:
        found = _three(points, overall, ceiling * share)
        return math.inf if found is None else found[0]

    near = min((n / TRIALS for n in range(1, TRIALS)), key=uneven)
    best = _three(points, overall, ceiling * _lowest(uneven, near - 1 / TRIALS, near + 1 / TRIALS))
    assert best is not None
    return _joined(best[1])


def _three(points: tuple[Point, ...], overall: float, gain: float) -> tuple[float, Curve] | None:
    """The curve whose k at the first figure is `gain`, and how uneven it is."""
    slow, middle, fast = points
    first = _through(Piece(slow[1], slow[0], gain, 0), middle)
    second = _through(_beyond(first, middle, 0), fast) if first else None
    if first is None or second is None:
        return None
    anchor = slow[1] + KELVIN
    smooth = anchor**2 * (gain / slow[0] - 2 / anchor)
    if smooth <= 0:
        return None
    below = _from_rest(slow, min(overall, smooth))
    slopes = (below.slope, first.slope, second.slope)
    uneven = sum(math.log(slope / overall) ** 2 for slope in slopes)
    uneven += math.log(gain / below.gain) ** 2
    return uneven, Curve((below, first, second, _beyond(second, fast, overall)))


def _joined(curve: Curve) -> Curve:
    """The same without the step of k at the first figure: k climbs within 2 °C below it instead."""
    below, first, *rest = curve.pieces
    if first.gain <= below.gain * (1 + 1e-9):
        return curve
    slow = (first.heat, first.anchor_c)
    where = first.anchor_c - JOIN_C

    def pieces(heat: float) -> tuple[Piece, Piece] | None:
        start = _from_rest((heat, where), below.slope)
        join = _through(start, slow)
        return None if join is None else (start, join)

    def arrives_low(heat: float) -> bool:
        # More heat at the start leaves less to climb, so k arrives lower.
        found = pieces(heat)
        return found is None or found[1].gain_at(slow[1]) < first.gain

    low, high = slow[0] / 1000, slow[0]
    for _ in range(60):
        heat = (low + high) / 2
        low, high = (low, heat) if arrives_low(heat) else (heat, high)
    found = pieces(low)
    assert found is not None
    return Curve((*found, first, *rest))


def _from_rest(point: Point, slope: float) -> Piece:
    """The piece that gathers all of a figure's heat work from the cold up, K = r at T."""
    rate, celsius = point
    anchor = celsius + KELVIN
    return Piece(celsius, rate, rate * (2 / anchor + slope / anchor**2), slope)


def _through(start: Piece, end: Point) -> Piece | None:
    """The piece that starts with that gain and meets the next figure; None where none does."""

    def misses(slope: float) -> float:
        return Piece(start.anchor_c, start.heat, start.gain, slope).heat_at(end[1]) - end[0]

    steepest = STEEPEST / (1 / (start.anchor_c + KELVIN) - 1 / (end[1] + KELVIN))
    if misses(SMOOTHEST_K) > 0 or misses(steepest) < 0:
        return None
    slope = _root(misses, SMOOTHEST_K, steepest)
    return Piece(start.anchor_c, start.heat, start.gain, slope)


def _beyond(piece: Piece, end: Point, slope: float) -> Piece:
    """The piece that goes on from a figure with the gain that the one before it ends with."""
    return Piece(end[1], end[0], piece.gain_at(end[1]), slope)


def _root(misses: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising function of a slope is 0: by halves in the logarithm, then by secants."""
    while high / low > 1.2:
        middle = math.sqrt(low * high)
        low, high = (low, middle) if misses(middle) > 0 else (middle, high)
    one, other = low, high
    at_one, at_other = misses(one), misses(other)
    for _ in range(30):
        if at_one == at_other or abs(other - one) < 1e-9 * other:
            break
        one, other = other, other - at_other * (other - one) / (at_other - at_one)
        at_one, at_other = at_other, misses(other)
    return other


def _lowest(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a function with one dip is lowest, by golden section."""
    golden = (math.sqrt(5) - 1) / 2
    for _ in range(35):
        one, other = high - golden * (high - low), low + golden * (high - low)
        low, high = (low, other) if function(one) < function(other) else (one, high)
    return (low + high) / 2


def table() -> str:
    """The whole data file as text."""
    found: dict[tuple[str, str], list[Point]] = {}
    for row in rows("cones.csv"):
        point = (float(row["rate_c_per_h"]), float(row["temperature_c"]))
        found.setdefault((row["cone"], row["kind"]), []).append(point)
    lines = [HEADING]
    for (cone, kind), points in found.items():
        if len(points) > 1:
            pieces = fit(tuple(sorted(points))).pieces
            join = ("join",) if len(pieces) > len(points) + 1 else ()
            names = ("below", *join, *("first", "second")[: len(points) - 1], "beyond")
            for name, piece in zip(names, pieces, strict=True):
                figures = (piece.anchor_c, piece.heat, piece.gain, piece.slope * GAS_CONSTANT)
                numbers = ",".join(f"{figure:.12g}" for figure in figures)
                lines.append(f"{cone},{kind},{name},{numbers},computed,{SOURCE}")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    where = Path(__file__).parents[1] / "data" / TABLE
    where.write_text(table(), encoding="utf-8")
    sys.stdout.write(f"{where.name} written\n")
