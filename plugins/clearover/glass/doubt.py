"""A product whose factors each have a 90 % range: factors in, one value with its range out.

A factor is kept as the logarithm of its middle and the squares of what lies below and above it.
Multiplying adds all three; the ends of the product lie the roots of the sums away: log low =
log value - √Σ d². That is exact for independent factors whose logarithms are normal; one whose
range reaches farther to one side keeps its sides apart. Knows no physics.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from .results import Estimate

NOTHING = -12.0
"""What stands for the logarithm of 0 at an end of a range."""


class Factor(NamedTuple):
    """`log10` of the middle; `down` and `up`: squares of the logarithm's range to either side."""

    log10: float
    down: float
    up: float


def factor(value: float, *ends: float) -> Factor:
    """A factor > 0 with the ends of its 90 % range, in either order; none: it is sure."""
    middle = math.log10(value)
    away = [(math.log10(end) if end > 0 else NOTHING) - middle for end in ends]
    return Factor(middle, min(0.0, *away, 0.0) ** 2, max(0.0, *away, 0.0) ** 2)


def of(one: Estimate) -> Factor:
    """An estimate as a factor; it must have a value."""
    assert one.value is not None and one.low is not None and one.high is not None
    return factor(one.value, one.low, one.high)


def product(*factors: Factor) -> Factor:
    """All of them multiplied."""
    return Factor(*(sum(parts) for parts in zip(*factors, strict=True)))


def ends(one: Factor) -> tuple[float, float, float]:
    """Value, low and high."""
    down, up = one.log10 - math.sqrt(one.down), one.log10 + math.sqrt(one.up)
    return float(10**one.log10), float(10**down), float(10**up)
