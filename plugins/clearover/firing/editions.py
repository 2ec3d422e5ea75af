"""Two editions of the cone chart: a cone and a rate in, what the older chart said out.

The older figures are `data/cones-old-edition.csv`, large cones, each row with its source and how it
is known; much of the 60 °C/h column is from memory. A temperature without rate and chart names no
cone: 1222 °C is cone 6 at 60 °C/h today, and cone 6 at 150 °C/h in the older chart.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from ..tables import rows
from .cone import Cone, parse_cone
from .temperatures import EDITION, charted, cone_temperature, published

OLDER = "older"
NINETY = 1.645
"""Standard deviations on either side that hold 90 % of a normal distribution."""
UNSURE = ("memory", "memory-unsure")


@dataclass(frozen=True, slots=True)
class OlderFigure:
    """What the older chart gives for a cone at a rate, and how far that is from today's chart.

    °C; `less_current_c` is older minus current, None where today's chart lacks the cone. `known` is
    seen, memory or memory-unsure.
    """

    cone: Cone
    rate_c_per_h: float
    temperature_c: float
    less_current_c: float | None
    known: str
    source: str

    @property
    def unsure(self) -> bool:
        """Whether nobody read the figure in its source."""
        return self.known in UNSURE


@cache
def older_figures(kind: str = "self_supporting") -> tuple[OlderFigure, ...]:
    """Every row of the older chart, compared with today's cones of a kind."""
    return tuple(_figure(row, kind) for row in rows("cones-old-edition.csv"))


def _figure(row: dict[str, str], kind: str) -> OlderFigure:
    cone, rate = parse_cone(row["cone"]), float(row["rate_c_per_h"])
    temperature, now = float(row["temperature_c"]), cone_temperature(cone, rate, kind)
    less = None if now is None else temperature - now
    return OlderFigure(cone, rate, temperature, less, row["known"], row["source"])


def older(cone: Cone, kind: str = "self_supporting") -> tuple[OlderFigure, ...]:
    """The older chart's figures for a cone, slowest rate first; none where it lacks the cone.

    Compared with today's self-supporting or large cones; small ones are fired too fast for that.
    """
    if kind not in ("self_supporting", "large"):
        return ()
    found = [figure for figure in older_figures(kind) if figure.cone == cone]
    return tuple(sorted(found, key=lambda figure: figure.rate_c_per_h))


def readings_of(temperature_c: float, within_c: float = 1.0) -> tuple[tuple[str, float, Cone], ...]:
    """Every (edition, rate °C/h, cone) whose printed end temperature is within a few °C of this."""
    found = [
        (abs(temperature - temperature_c), EDITION, rate, cone)
        for cone in charted()
        for rate, temperature in published(cone)
    ]
    found += [
        (abs(one.temperature_c - temperature_c), OLDER, one.rate_c_per_h, one.cone)
        for one in older_figures()
    ]
    return tuple((edition, rate, cone) for far, edition, rate, cone in found if far <= within_c)


@cache
def scatter_c() -> float:
    """How far one edition's figure may be from the truth, °C, 90 % bound.

    From the differences between both editions where both were read (not from memory); each edition
    is given an equal share of the difference.
    """
    found = [
        one.less_current_c
        for one in older_figures()
        if one.less_current_c is not None and not one.unsure
    ]
    return NINETY * math.sqrt(sum(less**2 for less in found) / len(found) / 2)
