"""What a colour difference means to an eye: ΔE00 in, words out.

The limits stand in `data/seeing-limits.csv` with their sources. They are for two fields side by
side in good light; across photos, and below the noise of a photo, nothing may be said. Knows no
photo and no tile.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from ..tables import rows
from .difference import parts

_HUES = (
    (0.0, "red"),
    (50.0, "orange"),
    (90.0, "yellow"),
    (160.0, "green"),
    (205.0, "turquoise"),
    (265.0, "blue"),
    (315.0, "purple"),
)
"""Where the hues lie, h_ab in degrees: rounded from the centroids of `data/colour-words.csv`."""


@cache
def limits() -> tuple[tuple[float, str, str], ...]:
    """(from ΔE00, word, source), rising."""
    found = [
        (float(r["from_delta_e00"]), r["word"], r["source"]) for r in rows("seeing-limits.csv")
    ]
    return tuple(sorted(found))


def seen_as(delta_e: float, noise: float = 0.0) -> str:
    """`no visible difference`, `slight`, `clear` or `different colour`.

    A difference not above the noise of its photo (ΔE00) is no visible difference, whatever it is.
    """
    if delta_e <= noise:
        return limits()[0][1]
    return [word for start, word, _ in limits() if delta_e >= start][-1]


def direction(true: ArrayLike, seen: ArrayLike) -> tuple[str, ...]:
    """How a colour changed, the largest part first: (`browner`, `darker`), ….

    Lightness, saturation and hue are told where they make more than a third of the whole change
    (CIE 1976 terms; the third is our own convention). A hue is named for what it turned to; a dark
    orange or yellow is brown, and a grey has none. Empty where nothing changed.
    """
    pair = (np.asarray(lab, dtype=np.float64)[None] for lab in (true, seen))
    return directions(*pair)[0]


def directions(true: ArrayLike, seen: ArrayLike) -> list[tuple[str, ...]]:
    """The same for several pairs of colours (n × 3 each)."""
    old, new = (np.asarray(labs, dtype=np.float64) for labs in (true, seen))
    rows = zip(parts(old, new).tolist(), old.tolist(), new.tolist(), strict=True)
    return [_direction(moved, before, after) for moved, before, after in rows]


def _direction(
    moved: Sequence[float], before: Sequence[float], after: Sequence[float]
) -> tuple[str, ...]:
    lightness, saturation, turn = moved
    whole = math.sqrt(lightness**2 + saturation**2 + turn**2)
    if whole == 0:
        return ()
    told = []
    if abs(lightness) > whole / 3:
        told.append((abs(lightness), "paler" if lightness > 0 else "darker"))
    if abs(saturation) > whole / 3:
        told.append((abs(saturation), "more saturated" if saturation > 0 else "greyer"))
    if abs(turn) > whole / 3 and math.hypot(after[1], after[2]) >= _GREY:
        told.append((abs(turn), _toward(before, after)))
    return tuple(word for _, word in sorted(told, reverse=True))


_MORE = {
    "red": "redder",
    "orange": "more orange",
    "yellow": "yellower",
    "green": "greener",
    "turquoise": "more turquoise",
    "blue": "bluer",
    "purple": "more purple",
}
_GREY = 3.0
"""C*ab: a black, grey or white with less has no hue to speak of; our own convention."""
_BROWN_BELOW = 60.0
"""L*: an orange or yellow darker than this is called brown, as the centroids of the browns are."""
_BROWN_HUES = (30.0, 100.0)


def _toward(old: Sequence[float], new: Sequence[float]) -> str:
    """The hue that the colour turned to: the landmark where it is now; where it was there before,
    the next one in the direction in which it turned."""
    before, now = _hue(old), _hue(new)
    if new[0] < _BROWN_BELOW and _BROWN_HUES[0] <= now <= _BROWN_HUES[1]:
        return "browner"
    landmark = _nearest(now)
    if landmark == _nearest(before):
        step = 1 if (now - before) % 360 < 180 else -1
        landmark = (landmark + step) % len(_HUES)
    return _MORE[_HUES[landmark][1]]


def _hue(lab: Sequence[float]) -> float:
    return math.degrees(math.atan2(lab[2], lab[1])) % 360


def _nearest(hue: float) -> int:
    """The landmark next to a hue angle, degrees."""
    gaps = [abs((hue - at + 180) % 360 - 180) for at, _ in _HUES]
    return gaps.index(min(gaps))
