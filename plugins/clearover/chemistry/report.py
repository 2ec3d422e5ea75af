"""A clear's chemistry as one plain dictionary, for `glaze --json`, its text and its page.

In: the clear's record, its computed chemistry, a cone and the pigments in use. Out: the keys of the
`glaze` command. Reads no file and knows nothing of other records.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from ..firing.cone import Cone
from ..firing.temperatures import cone_temperature, why_not
from ..glass.results import Estimate
from ..records.models import Body, Clear
from .cautions import FIRST, cautions_for_glass
from .estimates import as_keys, estimates, movement
from .flags import expectation, flags_for
from .oxides import ALKALIS, is_flux
from .results import Class, ClearChemistry, Flag

_WEIGHT = {"strong": 3, "some": 2, "slight": 1}
_SAID = {
    "MgO": "magnesia",
    "CaO": "lime",
    "SrO": "strontia",
    "BaO": "baria",
    "ZnO": "zinc",
    "PbO": "lead",
    "CdO": "cadmium",
    "BeO": "beryllia",
    "B2O3": "boric oxide",
    "Al2O3": "alumina",
    "SiO2": "silica",
}


def glaze_report(
    clear: Clear,
    chem: ClearChemistry,
    *,
    cone: Cone | None = None,
    rate_c_per_h: float = 60,
    temperature_c: float | None = None,
    atmosphere: str = "oxidation",
    pigments: Iterable[str] = (),
    bodies: Iterable[Body] = (),
) -> dict[str, Any]:
    """Everything known of one clear, ready for JSON.

    `cone` defaults to the hottest the clear is meant for; `temperature_c` (°C) to that cone's at
    `rate_c_per_h` (°C/h). `pigments` are the systems in use: each gets the one flag that decides
    its colour. `bodies` are those it may lie on. What cannot be computed is None with a `reason`
    beside it. Movement is that of a usual firing to the cone, upright, in the usual coats, whatever
    `temperature_c` says.
    """
    at = cone or (clear.cones.high if clear.cones else None)
    heat = temperature_keys(at, rate_c_per_h, temperature_c)
    lengths, moves = movement(clear, chem, at, rate_c_per_h)
    why = str(heat.get("temperature_reason") or "no temperature given")
    found = estimates(chem, clear.surface, heat["temperature_c"], why)
    flags = _deciding(clear, chem, at, atmosphere, pigments) if at else []
    return {
        "clear": clear.id,
        "name": clear.name,
        "surface": clear.surface,
        "cone": at.label if at else None,
        "cones": clear.cones.label if clear.cones else None,
        **glass_keys(chem),
        "explanation": explain_unity(chem),
        **heat,
        **as_keys(found),
        **as_keys(lengths),
        "movement_word": moves.word,
        "movement_likely": moves.likely,
        "movement_reason": moves.reason,
        "movement_notes": list(moves.notes),
        "craze_risk": _on_bodies(clear, found["expansion_1e6_per_k"], bodies),
        "flags": [asdict(flag) for flag in flags],
    }


def _on_bodies(clear: Clear, expansion: Estimate, bodies: Iterable[Body]) -> list[dict[str, Any]]:
    """How it fits each body in use that is fired to a cone of its own."""
    from ..glass.crazing import risks_for

    return [
        {
            "body": body.id,
            "name": body.name,
            "word": risk.word,
            "crazing": risk.crazing,
            "shivering": risk.shivering,
            "difference_1e6_per_k": risk.difference.as_dict(),
        }
        for body, risk in risks_for(clear, expansion, bodies)
    ]


def glass_keys(chem: ClearChemistry) -> dict[str, Any]:
    """What is known of a composition without any model of glass."""
    return {
        "oxides_weight_percent": chem.oxides_weight_percent,
        "oxides_mol_percent": chem.oxides_mol_percent,
        "unity": chem.unity,
        "silica_to_alumina": chem.silica_to_alumina,
        "r2o_to_ro": chem.r2o_to_ro,
        "loss_percent": chem.loss_percent,
        "zinc": _class(chem.zinc),
        "lime": _class(chem.lime),
        "magnesia": _class(chem.magnesia),
        "boron": _class(chem.boron),
        "reason": chem.reason,
        "unknown_materials": list(chem.unknown_materials),
        "cautions": _cautions(chem),
    }


def _class(known: Class) -> dict[str, Any]:
    return {
        "class": known.value,
        "weight_percent": known.weight_percent,
        "known_from": known.known_from,
        "guessed": known.guessed,
    }


def _cautions(chem: ClearChemistry) -> list[dict[str, str]]:
    """What the glass holds that asks for care; of an unknown recipe, all its known part holds."""
    whole = chem.oxides_weight_percent or dict.fromkeys(chem.brought_by, 100.0)
    found = [{"says": c.says, "source": c.source} for c in cautions_for_glass(whole)]
    return [*found, {"says": FIRST, "source": "common practice"}]


def temperature_keys(cone: Cone | None, rate: float, given: float | None) -> dict[str, Any]:
    """The temperature the melt is looked at, °C: the one given, else the cone's at a rate."""
    if given is not None:
        return {"temperature_c": given, "rate_c_per_h": rate}
    if cone is None:
        return {"temperature_c": None, "rate_c_per_h": rate, "temperature_reason": "no cone given"}
    found = cone_temperature(cone, rate)
    extra = {} if found is not None else {"temperature_reason": why_not(cone, rate)}
    return {"temperature_c": found, "rate_c_per_h": rate, **extra}


def _deciding(
    clear: Clear, chem: ClearChemistry, cone: Cone, atmosphere: str, pigments: Iterable[str]
) -> list[Flag]:
    """For each pigment the one flag that decides whether its colour keeps."""
    found = []
    for pigment in dict.fromkeys(pigments):
        flags = flags_for(
            pigments=(pigment,),
            chem=chem,
            clear_surface=clear.surface,
            clear_cones=clear.cones,
            cone=cone,
            atmosphere=atmosphere,
        )
        own = [flag for flag in flags if flag.property == "colour"]
        if own:
            found.append(max(own, key=lambda flag: _says_most(flag, expectation(flags))))
    return found


def _says_most(flag: Flag, outcome: str) -> tuple[bool, int]:
    fits = {
        "unknown": flag.direction == "unknown",
        "bad": flag.direction == "harm",
        "good": flag.direction in ("help", "none"),
    }
    return fits[outcome], _WEIGHT[flag.strength]


def explain_unity(chem: ClearChemistry) -> str:
    """The unity formula in a few sentences for somebody who never met one.

    The silica to alumina figures are a rule of thumb. Source: common practice.
    """
    if chem.unity is None:
        return f"There is no unity formula: {chem.reason or 'nothing is known of this clear'}."
    shares = {name: part for name, part in chem.unity.items() if is_flux(name)}
    alkali = sum(shares.pop(name, 0.0) for name in ALKALIS)
    fluxes = [f"{alkali:.2f} soda, potash and lithia"] if alkali >= 0.005 else []
    fluxes += [f"{part:.2f} {_SAID[name]}" for name, part in shares.items() if part >= 0.005]
    rest = [
        f"{chem.unity[name]:.2f} {_SAID[name]}"
        for name in ("B2O3", "Al2O3", "SiO2")
        if chem.unity.get(name, 0.0) >= 0.005
    ]
    sentences = [
        "The unity formula counts molecules, not weight, for one part of flux in all.",
        f"The flux here is {_listed(fluxes)}.",
    ]
    if rest:
        sentences.append(f"To it come {_listed(rest)}.")
    if chem.silica_to_alumina is not None:
        sentences.append(
            f"There are {chem.silica_to_alumina:.1f} silica for one alumina; as a rule of thumb "
            "a clear gloss has 8 or more, a satin 5 to 8, a matte less."
        )
    return " ".join(sentences)


def _listed(parts: list[str]) -> str:
    return ", ".join(parts[:-1]) + " and " + parts[-1] if len(parts) > 1 else "".join(parts)
