"""The movement of a clear: its recipe's oxides and a firing in, millimetres and a word out.

Says for which clears there is none, and why: satins, mattes and opaque clears hold crystals, so
that a film of melt is no picture of them. Brings together the models of viscosity, density and
thickness; what they make of a wall stands in `moving`. Nothing here knows a tile.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from ..chemistry.results import ClearChemistry
from ..firing.cone import Cone
from ..firing.profile import Profile
from ..records.models import Clear
from .crystals import crystallises
from .flow import Flow, FlowTable, flow_over, flow_table
from .movement_data import number, values
from .moving import CRYSTALS, Movement, Wall, moved, nothing
from .results import Estimate
from .thickness import line_height, thickness

__all__ = [
    "Melt",
    "Movement",
    "Wall",
    "density_of",
    "flow_in",
    "melt_of",
    "moved",
    "nominal",
    "nothing",
    "taken_for_granted",
    "too_hot",
    "wall",
    "why_none",
]

PREFIX = "not computed: "
GLOSS = "whether it is a gloss is not written down; gloss is taken"


@dataclass(frozen=True, slots=True, eq=False)
class Melt:
    """What flows. `table` is None where the viscosity model does not reach, with `reason`."""

    table: FlowTable | None
    mol: Mapping[str, float]
    reason: str | None = None


def why_none(clear: Clear, chem: ClearChemistry) -> str | None:
    """Why there is no film to compute with: crystals, or nobody knows what is in it."""
    crystals = crystallises(clear.surface, CRYSTALS)
    if crystals is not None:
        return crystals
    weights = chem.oxides_weight_percent
    if weights is None or chem.oxides_mol_percent is None:
        return chem.reason or "nobody knows what is in it"
    for oxide, limit in values("opaque").items():
        if weights.get(oxide, 0.0) >= limit.value:
            return f"with {weights[oxide]:.1f} % {oxide} it is opaque: {CRYSTALS}"
    return None


def taken_for_granted(clear: Clear) -> tuple[str, ...]:
    """What the record of a clear leaves open and the model has to assume."""
    return () if clear.surface else (GLOSS,)


def melt_of(mol: Mapping[str, float]) -> Melt:
    """The melt of a composition in mol %, made once for each composition."""
    return _melt(tuple(sorted(mol.items())))


@lru_cache(maxsize=512)
def _melt(mol: tuple[tuple[str, float], ...]) -> Melt:
    from .viscosity import melt_curve

    oxides = dict(mol)
    curve = melt_curve(oxides)
    if curve.reason is not None:
        return Melt(None, oxides, curve.reason.removeprefix(PREFIX))
    return Melt(flow_table(curve), oxides)


def too_hot(peak_c: float) -> str | None:
    """Why a firing is beyond the viscosity model; None where it is not."""
    from .viscosity import HOTTEST

    if peak_c <= HOTTEST:
        return None
    return f"it was hotter ({peak_c:.0f} °C) than any melt was measured ({HOTTEST:.0f} °C)"


def density_of(melt: Melt, celsius: float) -> Estimate:
    """The melt's density, kg/m³; a usual one with a wide range where no model reaches it."""
    from .density import density

    found = density(melt.mol, celsius)
    if found.value is not None:
        return found
    usual = values("density")["melt"]
    return Estimate(usual.value, usual.low, usual.high, "usual density", usual.source)


def flow_in(table: FlowTable, profile: Profile, spread_c: float) -> Flow:
    """The melt's fluidity summed over a firing, with the temperatures' own doubt in °C."""
    return flow_over(table, profile.hours, profile.celsius, spread_c)


def wall(
    *,
    coats: int | None = None,
    by: str | None = None,
    specific_gravity: float | None = None,
    thickness_mm: float | None = None,
    line: str | None = None,
    line_coats: int | None = None,
    tilt: str = "upright",
) -> Wall:
    """What lies on a wall, from how it was put on, in a record's words. All None: the usual."""
    if coats is None and by is None and thickness_mm is None:
        coats, by = int(number("usual", "coats")), "brush"
    clear = thickness(coats, by, specific_gravity, thickness_mm)
    return Wall(clear, line_height(line, line_coats), tilt)


def nominal(
    clear: Clear,
    chem: ClearChemistry,
    cone: Cone,
    *,
    rate_c_per_h: float = 60,
    hold_min: float = 0,
    cooling: str = "natural",
    coats: int | None = None,
    by: str | None = None,
    specific_gravity: float | None = None,
    thickness_mm: float | None = None,
    tilt: str = "upright",
) -> Movement:
    """The movement of a clear on an upright wall in a usual firing to a cone.

    Heated over the last 100 °C at `rate_c_per_h`, held `hold_min` minutes. Coats None: three
    brushed coats, the usual (`data/movement-values.csv`). Nothing raises: what cannot be computed
    has a reason.
    """
    why = why_none(clear, chem)
    if why is not None:
        return nothing(why)
    melt = melt_of(chem.oxides_mol_percent or {})
    usual = _usual(melt, cone, rate_c_per_h, hold_min, cooling)
    if isinstance(usual, str):
        return nothing(usual)
    there = wall(
        coats=coats,
        by=by,
        specific_gravity=specific_gravity,
        thickness_mm=thickness_mm,
        tilt=tilt,
    )
    flow, density, profile = usual
    notes = (*profile.notes, *taken_for_granted(clear))
    return moved(flow, density, there, profile.peak_c, notes)


@lru_cache(maxsize=2048)
def _usual(
    melt: Melt, cone: Cone, rate_c_per_h: float, hold_min: float, cooling: str
) -> tuple[Flow, Estimate, Profile] | str:
    """A melt's flow in a usual firing, whatever wall it lies on; or why there is none."""
    from ..firing.schedule import NoSchedule, schedule

    if melt.table is None:
        return melt.reason or "no viscosity model reaches it"
    try:
        profile = schedule(cone, rate_c_per_h=rate_c_per_h, hold_min=hold_min, cooling=cooling)
    except NoSchedule as fault:
        return str(fault).removeprefix(PREFIX)
    hot = too_hot(profile.peak_c)
    if hot is not None:
        return hot
    flow = flow_in(melt.table, profile, number("spread", "nominal"))
    return flow, density_of(melt, profile.peak_c), profile
