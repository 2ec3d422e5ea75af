"""How thick a clear lies once fired, from how it was put on; and how high a line of colour lies.

In: coats, the way they were put on, seconds of dip, specific gravity, or a measured thickness. Out:
an `Estimate` in mm with an honest range: about four times from low to high where only coats are
known. Knows no glass. The numbers stand in `data/movement-values.csv`.

**Dip.** A porous body draws water v = S √t through its surface (the square-root law of suction:
E. W. Washburn, 1921, "The Dynamics of Capillary Flow", Physical Review 17, 273; from memory). The
slip it came from holds solids to the share φ by volume, which follows from its specific gravity
and the grains' density by A. Brongniart's rule (1844, "Traité des arts céramiques"; from memory):
φ = (SG - 1)/(ρ_grain - 1). What stays outside is a coat packed to φ_c. Solids counted once in and
once out, φ (v + L) = φ_c L, give the raw coat L = φ v/(φ_c - φ); fired it is φ_c L thick, its pores
closed:

    h = S √t · φ φ_c / (φ_c - φ).

S is set so that 3 s at 1.45 leave the usual dip's thickness. A slip with φ near φ_c is a paste:
not computed.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache

from .movement_data import Value, number, values
from .results import Estimate, not_computed

MODEL = "thickness from how it was put on"
_STEP = re.compile(r"^(?P<by>\D+?)(?:\s+(?P<seconds>\d+(?:\.\d+)?)\s*s)?$")
PASTE = 0.95
"""A slip this near the packed coat's share of solids does not drain: a paste."""


@lru_cache(maxsize=1024)
def thickness(
    coats: int | None,
    by: str | None = None,
    specific_gravity: float | None = None,
    measured_mm: float | None = None,
) -> Estimate:
    """The fired thickness of a clear, mm.

    `by` as a record writes it (`brush`, `dip 3 s`, `sponge then brush`: the first coat sponged, the
    rest brushed). `coats` None: nobody counted. A measured thickness outranks everything.
    """
    if measured_mm is not None:
        factor = number("measured", "factor")
        return _estimate(measured_mm, factor, factor, "measured")
    steps = [_STEP.match(step) for step in (by or "unknown").split(" then ")]
    if any(step is None or step["by"] not in values("coat") for step in steps):
        return not_computed(f"nobody knows how thick a coat by {by} lies")
    once = by is not None and by.startswith(("dip", "pour"))  # a dip nobody counted is one dip
    many = coats if coats is not None else 1 if once else int(number("usual", "coats"))
    layers = [steps[min(i, len(steps) - 1)] for i in range(many)]
    total = low = high = 0.0
    for layer in layers:
        assert layer is not None
        seconds = float(layer["seconds"]) if layer["seconds"] else None
        one = _coat(layer["by"], seconds, specific_gravity)
        if isinstance(one, Estimate):
            return one
        total, low, high = total + one.value, low + one.low, high + one.high
    if total == 0:
        return Estimate(0.0, 0.0, 0.0, MODEL, "Definition: no coat")
    wider = number("coats unknown", "factor") if coats is None and not once else 1.0
    return _estimate(total, total / low * wider, high / total * wider, "common practice")


def _estimate(value: float, down: float, up: float, source: str) -> Estimate:
    return Estimate(value, value / down, value * up, MODEL, source)


def _coat(by: str, seconds: float | None, gravity: float | None) -> Value | Estimate:
    """One coat, mm; an Estimate without a value where the bucket is a paste or water."""
    plain = values("coat")[by]
    if by not in ("dip", "pour") or (seconds is None and gravity is None):
        return plain
    usual = number("dip", "seconds"), number("dip", "specific gravity")
    gain = _gain(gravity if gravity is not None else usual[1])
    if gain is None:
        return not_computed(f"a bucket of specific gravity {gravity:g} is no glaze to dip into")
    reference = _gain(usual[1])
    assert reference is not None
    scale = math.sqrt((usual[0] if seconds is None else seconds) / usual[0]) * gain / reference
    known = seconds is not None and gravity is not None
    factor = number("dip", "factor both known" if known else "factor one known")
    value = number("dip", "thickness") * scale
    return Value(value, value / factor, value * factor, plain.source)


def _gain(gravity: float) -> float | None:
    """mm of fired glass left for each mm of water drawn; None for a paste and for mere water."""
    share = (gravity - 1) / (number("dip", "grain density") - 1)
    packed = number("dip", "packed share")
    if not 0 < share < PASTE * packed:
        return None
    return share * packed / (packed - share)


@lru_cache(maxsize=256)
def line_height(line: str | None, coats: int | None = None) -> Estimate:
    """How high a line of colour lies once fired, mm: `thin`, `thick` or None (nobody said)."""
    one = values("line")[line or "usual"]
    many = coats if coats is not None else number("line", "coats")
    return Estimate(
        one.value * many, one.low * many, one.high * many, "height of a line", one.source
    )
