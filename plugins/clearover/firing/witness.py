"""What the witness cones on one shelf say.

In: cones and how far each has bent. Out: the cone reached, and a sentence. Knows no tile, no log.
"""

from __future__ import annotations

from collections.abc import Mapping

from .cone import Cone

HALF_DOWN = ("half", "down", "flat")
"""Common practice: a cone counts as reached from half down."""


def witness_cone(cones: Mapping[Cone, str]) -> Cone | None:
    """The hottest cone at least half down, or None where none is."""
    bent = [cone for cone, state in cones.items() if state in HALF_DOWN]
    return max(bent) if bent else None


def witness_note(cones: Mapping[Cone, str]) -> str:
    """What the other cones add: a leaning one means a little over, a flat last one maybe more."""
    reached = witness_cone(cones)
    if reached is None:
        return ""
    leaning = [cone for cone, state in cones.items() if state == "leaning" and cone > reached]
    if leaning:
        return f"a little over {reached.shown}: {min(leaning).shown} had begun to lean"
    if cones[reached] == "flat" and reached == max(cones):
        return f"{reached.shown} lay flat and nothing hotter stood beside it: it may have been more"
    return ""
