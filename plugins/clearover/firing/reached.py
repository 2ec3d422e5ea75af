"""The cone a tile reached, and how that is known.

In: the tile and its last firing. Out: `Reached`. A witness cone on the tile's own shelf outranks
the kiln's log, the log outranks what was aimed at.
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
    """What the next hotter cone adds: a leaning one means a little over."""
    reached = witness_cone(cones)
    hotter = [cone for cone, state in cones.items() if state == "leaning"]
    if reached and any(cone > reached for cone in hotter):
        return f"a little over {reached.shown}: {min(hotter).shown} had begun to lean"
    if reached and cones[reached] == "flat" and reached == max(cones):
        return f"{reached.shown} lay flat and nothing hotter stood beside it: it may have been more"
    return ""
