"""What a firing came to, in words: “6 and a fifth of the way to 7, ± half a cone”.

In: cones, fractions, minutes. Out: plain text. Computes nothing.
"""

from __future__ import annotations

from .cone import Cone

_PARTS = (
    (0.1, "a tenth"),
    (0.2, "a fifth"),
    (0.25, "a quarter"),
    (1 / 3, "a third"),
    (0.4, "two fifths"),
    (0.5, "half"),
    (0.6, "three fifths"),
    (2 / 3, "two thirds"),
    (0.75, "three quarters"),
    (0.8, "four fifths"),
    (0.9, "nine tenths"),
)
HARDLY = 0.05
"""A part of a cone smaller than this is not worth words."""


def part(fraction: float) -> str:
    """The nearest plain fraction: `a fifth`, `two thirds`."""
    return min(_PARTS, key=lambda one: abs(one[0] - fraction))[1]


def place(between: tuple[Cone, Cone] | None, fraction: float | None, cone: Cone) -> str:
    """Where on the scale of cones: `6`, `6 and a fifth of the way to 7`."""
    if between is None or fraction is None:
        return cone.shown
    low, high = between
    if fraction < HARDLY:
        return low.shown
    if fraction > 1 - HARDLY:
        return high.shown
    way = part(fraction)
    return f"{low.shown} and {way if way == 'half' else f'{way} of the'} way to {high.shown}"


def cones(number: float) -> str:
    """An amount of cones: `half a cone`, `0.4 of a cone`, `1.5 cones`."""
    if abs(number - 0.5) < 0.025:
        return "half a cone"
    if abs(number - 0.25) < 0.025:
        return "a quarter of a cone"
    if abs(number - 1) < 0.025:
        return "one cone"
    return f"{number:.1f} of a cone" if number < 1 else f"{number:.1f} cones"


def hold(minutes: float, worth: float | None) -> str:
    """`the 18 minutes at the top are worth 0.4 of a cone`."""
    at_top = f"the {minutes:.0f} minutes at the top"
    if worth is None:
        return f"{at_top} are not reckoned in cones"
    if worth < HARDLY:
        return f"{at_top} are worth next to nothing"
    return f"{at_top} are worth {cones(worth)}"
