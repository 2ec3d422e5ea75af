"""Whether a rule holds: a rule and a situation in; yes, no, or not known out.

Three-valued: a condition on something nobody knows is neither met nor broken. One broken condition
makes the rule not hold, whatever else is unknown. Where no composition was computed a rule's own
`if not computed` takes the place of its amounts.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from .amounts import Asked, Met
from .rules import Rule

ASKED = ("zinc", "lime", "magnesia", "boron", "atmosphere")
"""What a rule may ask and nobody know, so that the answer is “test it”."""


class Situation(NamedTuple):
    """One colour under one clear at one cone. None and `unknown` mean nobody knows.

    Cones are counted in whole cones (`Cone.step`); `below` and `above` say how many whole cones
    the fire lies outside the clear's range, `colour_above` the same for the colour. `amounts` says
    which amounts of the rules the clear has.
    """

    zinc: str
    lime: str
    magnesia: str
    boron: str
    atmosphere: str
    surface: str | None
    cone: float
    below: float
    above: float
    colour_above: float
    melting: bool | None
    fluid: bool | None
    near: frozenset[str]
    amounts: Met


def holds(rule: Rule, now: Situation) -> tuple[bool | None, tuple[str, ...]]:
    """(True, ()) where the rule holds, (False, ()) where not, (None, what nobody knows)."""
    truth, missing = _all(rule.when, now)
    if truth is None and rule.if_not_computed and any(map(_speaks_of_amount, missing)):
        others = (pair for pair in rule.when if not isinstance(pair[1], Asked))
        return _all((*others, *rule.if_not_computed), now)
    return truth, missing


def _all(
    conditions: Iterable[tuple[str, Any]], now: Situation
) -> tuple[bool | None, tuple[str, ...]]:
    missing = []
    for factor, wanted in conditions:
        met = _met(factor, wanted, now)
        if met is False:
            return False, ()
        if met is None:
            missing.append(factor)
    return (None, tuple(missing)) if missing else (True, ())


def _speaks_of_amount(factor: str) -> bool:
    return factor not in ASKED


def _met(factor: str, wanted: Any, now: Situation) -> bool | None:
    if factor in ASKED:
        value = getattr(now, factor)
        return True if value in wanted else None if value == "unknown" else False
    if factor == "cones":
        return bool(wanted[0] <= now.cone <= wanted[1])
    if isinstance(wanted, Asked):
        return now.amounts.says(wanted)
    if factor == "cooler than the clear's cones by":
        return bool(wanted[0] <= now.below <= wanted[1])
    if factor == "hotter than the clear's cones by":
        return bool(wanted[0] <= now.above <= wanted[1])
    if factor == "hotter than the colour's cones by":
        return bool(wanted[0] <= now.colour_above <= wanted[1])
    if factor == "near":
        return bool(wanted & now.near)
    if factor == "surface":
        return now.surface in wanted
    # Melting and fluid: yes, no, or nobody has said; a rule may ask for any of the three.
    return bool(getattr(now, factor) is wanted)


def strength_of(rule: Rule, now: Situation) -> str:
    """How strong a rule is here: by the amount where it says so and the amount is known."""
    for asked, strength in rule.grades:
        if now.amounts.says(asked):
            return strength
    return rule.strength
