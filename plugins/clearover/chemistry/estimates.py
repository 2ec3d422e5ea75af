"""What the models of glass say of one composition, as the `glaze` command's computed keys.

In: a clear's chemistry, a temperature, a cone. Out: `Estimate`s by key, each a value with its band
or “not computed” and why. A satin or a matte crystallises as it cools: its expansion and its
movement are not those of a glass, so there is no number for them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..firing.cone import Cone
from ..glass.results import Estimate, not_computed
from ..records.models import Clear
from .results import ClearChemistry

LOG10_MELTED = 3.0
"""log10 of the viscosity (Pa·s) whose temperature is told beside the others: about where a glaze
has smoothed out. Source: common practice; `data/movement-words.csv` for what runs."""

WHOLE_KEYS = (
    "expansion_1e6_per_k",
    "viscosity_log10_pa_s",
    "temperature_c_at_log10_3_pa_s",
    "surface_tension_mn_per_m",
    "density_kg_per_m3",
)
MOVING_KEYS = ("surface_run_mm", "line_drag_mm")


@dataclass(frozen=True, slots=True)
class Moves:
    """The movement of a clear in words: `word` over its whole range, `likely` for the value alone;
    `reason` where nothing was computed."""

    word: str | None
    likely: str | None
    reason: str | None
    notes: tuple[str, ...] = ()


def estimates(
    chem: ClearChemistry, surface: str | None, temperature_c: float | None, no_temperature: str
) -> dict[str, Estimate]:
    """Expansion, viscosity, the temperature at log10 3 Pa·s, surface tension and density.

    `temperature_c` in °C; where it is None, `no_temperature` says why.
    """
    from ..glass.crazing import glaze_expansion
    from ..glass.density import density
    from ..glass.surface_tension import surface_tension
    from ..glass.viscosity import temperature_at, viscosity

    mol = chem.oxides_mol_percent
    if mol is None:
        return dict.fromkeys(WHOLE_KEYS, not_computed(chem.reason or "nobody knows what is in it"))
    at = temperature_c
    cold = not_computed(no_temperature.removeprefix("not computed: "))
    return {
        "expansion_1e6_per_k": glaze_expansion(surface, chem),
        "viscosity_log10_pa_s": cold if at is None else viscosity(mol, at),
        "temperature_c_at_log10_3_pa_s": temperature_at(mol, LOG10_MELTED),
        "surface_tension_mn_per_m": cold if at is None else surface_tension(mol, at),
        "density_kg_per_m3": cold if at is None else density(mol, at),
    }


def movement(
    clear: Clear, chem: ClearChemistry, cone: Cone | None, rate_c_per_h: float
) -> tuple[dict[str, Estimate], Moves]:
    """How far the surface runs and a line is dragged in a usual firing to a cone, mm."""
    from ..glass.movement import nominal, why_none

    if cone is None:
        missing = not_computed(why_none(clear, chem) or "no cone given")
        return dict.fromkeys(MOVING_KEYS, missing), Moves(None, None, missing.reason)
    found = nominal(clear, chem, cone, rate_c_per_h=rate_c_per_h)
    lengths = {"surface_run_mm": found.surface_run, "line_drag_mm": found.line_drag}
    return lengths, Moves(found.word, found.likely, found.reason, found.notes)


def as_keys(found: Mapping[str, Estimate]) -> dict[str, dict[str, float | str | None]]:
    """The estimates as scripts get them."""
    return {key: estimate.as_dict() for key, estimate in found.items()}
