"""Whether a kiln's log and the witness cones on a shelf can both be right.

In: what the log suggests and how the cones on one shelf stood. Out: which way they differ by more
than both are unsure of. Knows no record and no page.

How far a bent cone tells: common practice. A cone bends within about half a cone of heat work, so
one that is half down has had its cone within half a cone; one quite down has had it, and less than
the coolest one that still stands; one that leans is nearly there.
"""

from __future__ import annotations

from collections.abc import Mapping

from .cone import Cone
from .log import LogReading
from .witness import witness_cone

BEND = 0.5
"""Cones of heat work in which a cone goes from upright to down."""
BEYOND = 1.0
"""How much hotter a shelf may have been where nothing hotter stood beside the last cone down."""


def witness_range(cones: Mapping[Cone, str]) -> tuple[float, float] | None:
    """Between which places on `Cone.step`'s scale the heat work on a shelf lay; None unknown."""
    fallen = witness_cone(cones)
    upright = [cone.step for cone, state in cones.items() if state == "standing"]
    leaning = [cone.step for cone, state in cones.items() if state == "leaning"]
    if fallen is None:
        return None
    low = fallen.step - (BEND if cones[fallen] == "half" else 0.0)
    if cones[fallen] == "half":
        return low, fallen.step + BEND
    above = [step for step in (*upright, *leaning) if step > fallen.step]
    return low, max(fallen.step + BEND, min(above, default=fallen.step + BEYOND))


def differs(reading: LogReading | None, cones: Mapping[Cone, str]) -> str | None:
    """`higher` or `lower`: how the log stands to the witness, beyond what both are unsure of.

    None where they agree, or where either says nothing.
    """
    found = witness_range(cones)
    if reading is None or reading.step is None or reading.uncertainty_cones is None:
        return None
    if found is None:
        return None
    low, high = found
    if reading.step - reading.uncertainty_cones > high:
        return "higher"
    if reading.step + reading.uncertainty_cones < low:
        return "lower"
    return None
