"""The pyrometric cone as potters write it: `05`, `05½`, `5`, `5½`, `5.5`.

In: text. Out: a `Cone` that sorts from cool to hot. Knows no temperature (see `temperatures`).
05 and 5 are different cones, some 150 °C apart: the leading zero is part of the name and is
never dropped or added.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

_WRITTEN = re.compile(r"(?:cone|△)?\s*(0?)([1-9][0-9]?)\s*(½|\.5|\s1/2)?", re.IGNORECASE)
_RANGE = re.compile(r"\s*(.+?)\s*(?:\.\.|–|—|\bto\b)\s*(.+?)\s*", re.IGNORECASE)

COOLEST_WHOLE, HOTTEST_WHOLE = 22, 14


@dataclass(frozen=True, slots=True, order=True)
class Cone:
    """One cone. `step` counts whole cones from cool to hot: 02 is -2, 01 is -1, 1 is 0, 6 is 5.

    A half lies above its whole number in the hot series (5½ is between 5 and 6) and below it in
    the cool one (05½ is between 06 and 05), as the published charts have it.
    """

    step: float

    @property
    def cool(self) -> bool:
        """Whether the cone belongs to the series written with a leading zero."""
        return self.step < 0

    @property
    def label(self) -> str:
        """The one spelling used in data: `05`, `05.5`, `5`, `5.5`."""
        number = -self.step if self.cool else self.step + 1
        text = f"{number:g}"
        return f"0{text}" if self.cool else text

    @property
    def shown(self) -> str:
        """The spelling for people: `05½`, `5½`."""
        return self.label.replace(".5", "½")

    def __str__(self) -> str:
        return self.label


@dataclass(frozen=True, slots=True)
class ConeRange:
    """From the coolest to the hottest cone a clear, colour or body is meant for."""

    low: Cone
    high: Cone

    def __contains__(self, cone: Cone) -> bool:
        return self.low <= cone <= self.high

    @property
    def label(self) -> str:
        """`05..10`, or the bare cone where both ends are one."""
        return self.low.label if self.low == self.high else f"{self.low.label}..{self.high.label}"

    @property
    def shown(self) -> str:
        """`05 to 10` for people."""
        return self.low.shown if self.low == self.high else f"{self.low.shown} to {self.high.shown}"


@lru_cache(maxsize=1024)
def parse_cone(text: str) -> Cone:
    """Read one cone. Raises ValueError with a sentence that says what was wrong."""
    written = _WRITTEN.fullmatch(text.strip())
    if written is None:
        raise ValueError(f"“{text}” is not a cone; write it like 05, 5, 05½ or 5½")
    zero, digits, half = written.groups()
    number = int(digits) + (0.5 if half else 0.0)
    limit = COOLEST_WHOLE if zero else HOTTEST_WHOLE
    if number > limit:
        raise ValueError(
            f"there is no cone {text.strip()}; cones run from 022 to 01 and from 1 to 14"
        )
    return Cone(-number if zero else number - 1)


@lru_cache(maxsize=1024)
def parse_range(text: str) -> ConeRange:
    """Read `05..10` or a single cone. Raises ValueError, also for a range written backwards."""
    parts = _RANGE.fullmatch(text)
    if parts is None:
        only = parse_cone(text)
        return ConeRange(only, only)
    low, high = parse_cone(parts[1]), parse_cone(parts[2])
    if low > high:
        raise ValueError(f"the range {text.strip()} runs backwards: {low} is hotter than {high}")
    return ConeRange(low, high)


def same_side(one: Cone, other: Cone) -> bool:
    """Whether two cones lie on the same side of the gap between 01 and 1."""
    return one.cool == other.cool
