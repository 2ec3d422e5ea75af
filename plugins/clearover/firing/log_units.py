"""Whether a log's figures are °C or °F: what its heading says against what can be true.

In: the figures, the unit named, and the cone aimed at where that is known. Out: the unit and notes,
or a reason. 1222 read as °F would be 661 °C: a heading that makes a stoneware firing end there is
taken at its word only if nothing speaks against it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from .cone import Cone
from .log_limits import limit
from .log_text import Unreadable
from .temperatures import cone_at, cone_temperature

FEW_WILD, LEAP = 0.03, 100.0
"""Up to this share of readings may be wild if they stand this far, °C or °F, above all others."""
UNITS = ("C", "F")
SIGN = {"C": "°C", "F": "°F"}


def in_celsius(figure: float, unit: str) -> float:
    """A figure in °C."""
    return figure if unit == "C" else (figure - 32) / 1.8


@dataclass(frozen=True, slots=True)
class _Ends:
    """Where a log starts and how hot it gets, as figures without a unit."""

    start: float
    peak: float

    def possible(self, unit: str) -> bool:
        start, peak = in_celsius(self.start, unit), in_celsius(self.peak, unit)
        return start >= limit("coldest") and peak <= limit("hottest")

    def from_a_room(self, unit: str) -> bool:
        start = in_celsius(self.start, unit)
        return limit("room_low") <= start <= limit("room_high")

    def off(self, unit: str, aimed: Cone) -> float:
        """How far the peak lies from the aimed cone's temperature at 60 °C/h, °C."""
        wanted = cone_temperature(aimed) or cone_temperature(aimed, 150)
        return abs(in_celsius(self.peak, unit) - wanted) if wanted is not None else 0.0


def unit_of_log(
    figures: Sequence[float], named: str | None, told: str | None, aimed: Cone | None
) -> tuple[str, tuple[str, ...]]:
    """`C` or `F` with notes. `told` is what a person says, and ends the matter.

    Raises `Unreadable` where the log contradicts itself and nothing settles it.
    """
    if told:
        said = named and named != told
        return told, (
            (f"taken as {SIGN[told]} as told; the heading says otherwise",) if said else ()
        )
    ends = _ends(figures)
    possible = [unit for unit in UNITS if ends.possible(unit)]
    if not possible:
        raise Unreadable("the log holds no possible temperatures, neither in °C nor in °F")
    if named is None:
        return _unnamed(ends, possible, aimed)
    other = "F" if named == "C" else "C"
    if named not in possible:
        return other, (_against(named, other, ends, _impossible(ends, named)),)
    if other not in possible:
        return named, ()
    if aimed is not None and _hinted(ends, named, other, aimed):
        if ends.from_a_room(named) and not ends.from_a_room(other):
            raise Unreadable(
                f"the heading says {SIGN[named]}, but only as {SIGN[other]} does the log come near "
                f"cone {aimed.shown}, which was aimed at; it must be put right"
            )
        return other, (_against(named, other, ends, _aimed(aimed)),)
    if not ends.from_a_room(named) and ends.from_a_room(other) and aimed is None:
        start = f"{ends.start:.0f}"
        return named, (f"the log starts at {start} {SIGN[named]}; is the unit right?",)
    return named, ()


def _ends(figures: Sequence[float]) -> _Ends:
    """The start and the peak, each of a few readings, so that a wild one does not count.

    What no thermocouple measures, and what stands for a broken one, is left out.
    """
    sound = [one for one in figures if limit("coldest") < one < limit("overrange")]
    if not sound:
        raise Unreadable("the log holds no possible temperatures")
    hottest = sorted(sound)
    cool = [one for one in hottest if one <= limit("hottest")]
    few = len(hottest) - len(cool) <= FEW_WILD * len(hottest)
    if cool and few and cool[-1] < limit("hottest") - LEAP:
        hottest = cool  # nothing climbs up to the few that are too hot: they are wild
    first = [one for one in sound if one != 0][: 3 if len(sound) > 9 else 1]
    return _Ends(median(first or sound[:1]), hottest[-2 if len(hottest) > 9 else -1])


def _unnamed(ends: _Ends, possible: list[str], aimed: Cone | None) -> tuple[str, tuple[str, ...]]:
    start = "the heading names no unit; taken as "
    if len(possible) == 1:
        only = possible[0]
        other = "F" if only == "C" else "C"
        return only, (f"{start}{SIGN[only]}: {_impossible(ends, other)}",)
    if aimed is not None:
        near, far = sorted(UNITS, key=lambda unit: ends.off(unit, aimed))
        if _hinted(ends, far, near, aimed):
            return near, (
                f"{start}{SIGN[near]}: as {SIGN[far]} {_as_cone(ends, far)}{_aimed(aimed)}",
            )
    if ends.from_a_room("C") or not ends.from_a_room("F"):
        return "C", (f"{start}°C: as °F {_as_cone(ends, 'F')}",)
    raise Unreadable("the heading must say whether the temperature is °C or °F")


def _hinted(ends: _Ends, named: str, other: str, aimed: Cone) -> bool:
    """Whether the other unit brings the peak to the aimed cone and the named one does not."""
    near, far = limit("hint_near"), limit("hint_far")
    return ends.off(other, aimed) <= near and ends.off(named, aimed) >= far


def _against(named: str, other: str, ends: _Ends, why: str) -> str:
    if why.startswith(" where"):
        why = f"as {SIGN[named]} {_as_cone(ends, named)}{why}"
    return f"the heading says {SIGN[named]}; taken as {SIGN[other]}: {why}"


def _impossible(ends: _Ends, unit: str) -> str:
    if in_celsius(ends.peak, unit) > limit("hottest"):
        return f"{ends.peak:.0f} {SIGN[unit]} is hotter than any pottery kiln"
    return f"a kiln that starts at {ends.start:.0f} {SIGN[unit]} is too cold"


def _as_cone(ends: _Ends, unit: str) -> str:
    at = cone_at(in_celsius(ends.peak, unit))
    if at.cone is None:
        return "it would reach no cone"
    return f"it would be cone {at.cone.shown}"


def _aimed(aimed: Cone) -> str:
    return f" where cone {aimed.shown} was aimed at"
