"""Whether a clear may craze on a body or shiver off it: two expansions in, words and chances out.

In: the clear's computed expansion and the body's figure as its record gives it. Out: a `CrazeRisk`.
Knows no tile and no verdict; what was seen stands in `evidence/crazed.py`.

    d = body's expansion - clear's expansion            1e-6/K; positive: the clear is squeezed
    s = √(b_clear² + b_body² + b_range²) / 1.645        each b half the width of a 90 % band

d is taken as normally distributed with the standard deviation s, and the limit m as spread evenly
from m1 to m2 (`data/crazing-limits.csv`: 0.5 to 1.0 for crazing, 1.5 to 2.0 for shivering). Then

    P(d < m) = s / (m2 - m1) · [G((m2 - d)/s) - G((m1 - d)/s)],   G(z) = z Φ(z) + φ(z)

“Crazing likely” is said where the clear is under tension at all, P(d < 0), by 90 %; “unlikely”
where the chance of less squeeze than the margin, P(d < m), is at most 10 %. Shivering likewise
with P(d > m). Whatever lies between is “cannot tell”, and that is most of it: the bands alone are
wider than the margin.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from ..chemistry.results import ClearChemistry
from ..records.models import Body, Clear
from ..tables import rows
from .crystals import crystallises
from .results import Estimate, not_computed

LIKELY, UNLIKELY, CANNOT_TELL = "likely", "unlikely", "cannot tell"
Z90 = 1.645
"""A normal distribution holds 90 % within ± 1.645 standard deviations."""
MODEL = "difference of two expansions"
OTHERWISE = "the crystals expand otherwise than the glass of its recipe"


@dataclass(frozen=True, slots=True)
class Limit:
    """One row of the table of limits, in its own unit; low = high = value where it has no range."""

    value: float
    low: float
    high: float
    source: str


@dataclass(frozen=True, slots=True)
class BodyExpansion:
    """A body's figure, linear, 1e-6/K, and where it is from: measured, maker, guess or None.

    `absorption` is water taken up, per cent of the weight.
    """

    value: float | None
    known_from: str | None
    absorption: float | None = None


@dataclass(frozen=True, slots=True)
class CrazeRisk:
    """What the numbers say of one clear on one body.

    `word` is what comes first: `crazing likely`, `shivering likely`, `unlikely` (both), or `cannot
    tell`; `crazing` and `shivering` say it of each. `difference` is the body's expansion less the
    clear's, 1e-6/K. The chances run from 0 to 1: `tension` that the clear is stretched at all,
    `too_little` that it is squeezed less than the margin, `too_much` that it is squeezed enough to
    shiver. None, with `reason`, where nothing was computed.
    """

    word: str
    crazing: str
    shivering: str
    difference: Estimate
    tension: float | None = None
    too_little: float | None = None
    too_much: float | None = None
    reason: str | None = None
    notes: tuple[str, ...] = ()


@cache
def limits(kind: str) -> dict[str, Limit]:
    """All limits of one kind, by name."""
    return {
        row["name"]: Limit(
            float(row["value"]),
            float(row["low"] or row["value"]),
            float(row["high"] or row["value"]),
            row["source"],
        )
        for row in rows("crazing-limits.csv")
        if row["kind"] == kind
    }


def body_expansion(body: Body) -> BodyExpansion:
    """What a body's record says that bears on fit."""
    return BodyExpansion(body.expansion, body.expansion_from, body.absorption)


def glaze_expansion(surface: str | None, chem: ClearChemistry) -> Estimate:
    """A clear's linear expansion, 1e-6/K; not computed for what crystallises or nobody knows."""
    crystals = crystallises(surface, OTHERWISE)
    if crystals is not None:
        return not_computed(crystals)
    if chem.oxides_mol_percent is None:
        return not_computed(chem.reason or "nobody knows what is in it")
    from .expansion import expansion

    return expansion(chem.oxides_mol_percent)


def risk(glaze: Estimate, body: BodyExpansion) -> CrazeRisk:
    """What two expansions say of crazing and shivering. Raises nothing; says why it cannot."""
    notes = _moisture(body)
    why = _why_not(glaze, body)
    half = _half_width(body)
    if why is not None or half is None or body.value is None or glaze.value is None:
        return CrazeRisk(
            *(CANNOT_TELL,) * 3, not_computed(why or ""), reason=why, notes=tuple(notes)
        )
    spread = _spread(glaze, half)
    difference = body.value - glaze.value
    tension = below(difference, spread, 0.0, 0.0)
    margin, shiver = limits("margin")["crazing"], limits("margin")["shivering"]
    too_little = below(difference, spread, margin.low, margin.high)
    too_much = 1 - below(difference, spread, shiver.low, shiver.high)
    swells = swelling_loss() if _porous(body) else 0.0
    later = below(difference - swells, spread, margin.low, margin.high)
    crazing = _said(tension, later)
    if swells and crazing != _said(tension, too_little):
        notes.append("dry, its squeeze would be enough; moisture may take it away")
    shivering = _said(too_much, too_much)
    return CrazeRisk(
        _word(crazing, shivering),
        crazing,
        shivering,
        Estimate(
            difference,
            difference - Z90 * spread,
            difference + Z90 * spread,
            MODEL,
            f"{glaze.source}; {margin.source}",
        ),
        tension,
        too_little,
        too_much,
        notes=tuple(notes),
    )


def risks_for(
    clear: Clear, estimate: Estimate, bodies: Iterable[Body]
) -> list[tuple[Body, CrazeRisk]]:
    """The risk on each body that is in use and fired to a cone of the clear's, in their order."""
    return [
        (body, risk(estimate, body_expansion(body)))
        for body in bodies
        if body.status == "in use" and share_a_cone(clear, body)
    ]


def share_a_cone(clear: Clear, body: Body) -> bool:
    """Whether some cone suits both; where nobody said which, nothing speaks against it."""
    if clear.cones is None or body.cones is None:
        return True
    return clear.cones.low <= body.cones.high and body.cones.low <= clear.cones.high


def below(value: float, spread: float, low: float, high: float) -> float:
    """P(d < m): d normal about `value` with deviation `spread` > 0, m even from `low` to `high`."""
    if high - low < 1e-9:
        return _phi_sum((low - value) / spread)
    rise = _gain((high - value) / spread) - _gain((low - value) / spread)
    return min(1.0, max(0.0, spread / (high - low) * rise))


def stress_mpa(difference: float) -> float:
    """The stress in a thin clear on a thick body, MPa, from d in 1e-6/K; positive: squeezed.

    E · d · ΔT / (1 - ν), with the constants of `data/crazing-limits.csv` (thin film on a thick
    base, after S. Timoshenko, 1925, from memory). Bubbles, edges and layers of reaction are left
    out.
    """
    given = limits("stress")
    by_kelvin = 1000 * given["stiffness"].value / (1 - given["poisson"].value)
    return by_kelvin * difference * 1e-6 * given["span"].value


def swelling_loss() -> float:
    """The squeeze that a porous body loses by moisture, 1e-6/K: its swelling over the span."""
    return 1000 * limits("moisture")["swelling"].value / limits("stress")["span"].value


def _phi_sum(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))


def _gain(z: float) -> float:
    """G(z) = z Φ(z) + φ(z), whose slope is Φ."""
    return z * _phi_sum(z) + math.exp(-z * z / 2) / math.sqrt(2 * math.pi)


def _half_width(body: BodyExpansion) -> float | None:
    """Half of the 90 % band of a body's figure, 1e-6/K; None where nobody said where it is from."""
    if body.value is None or body.known_from not in limits("doubt"):
        return None
    doubt = limits("doubt")[body.known_from].value
    return body.value * doubt / 100 if body.known_from == "measured" else doubt


def _spread(glaze: Estimate, body_half: float) -> float:
    low, high = glaze.low, glaze.high
    glaze_half = 0.0 if low is None or high is None else (high - low) / 2
    ranges = limits("doubt")["range"].value
    return math.sqrt(glaze_half**2 + body_half**2 + ranges**2) / Z90


def _why_not(glaze: Estimate, body: BodyExpansion) -> str | None:
    if glaze.value is None:
        return (glaze.reason or "the clear's expansion is not known").removeprefix("not computed: ")
    if body.value is None:
        return "nobody has written down how much this body expands"
    if body.known_from not in limits("doubt"):
        return "nobody said where the body's figure is from: measured, maker or guess"
    return None


def _said(likely: float, at_all: float) -> str:
    sure = limits("surely")["share"].value
    if likely >= sure:
        return LIKELY
    return UNLIKELY if at_all <= 1 - sure else CANNOT_TELL


def _word(crazing: str, shivering: str) -> str:
    if LIKELY in (crazing, shivering):
        return "crazing likely" if crazing == LIKELY else "shivering likely"
    return UNLIKELY if crazing == shivering == UNLIKELY else CANNOT_TELL


def _porous(body: BodyExpansion) -> bool:
    return (body.absorption or 0.0) > limits("moisture")["porous from"].value


def _moisture(body: BodyExpansion) -> list[str]:
    if body.absorption is None:
        return ["nobody knows how much water this body takes up, so later crazing is open"]
    if not _porous(body):
        return []
    much = body.absorption > limits("moisture")["very porous from"].value
    how = "very porous" if much else "porous"
    return [
        f"{how}, {body.absorption:g} % of water: it may swell with moisture, and the clear may "
        "craze on it weeks or years later"
    ]
