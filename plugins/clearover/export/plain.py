"""Typed values as plain JSON values.

In: records, cones, dates, results. Out: dicts, lists, texts, numbers, None, with keys in
lower_snake_case, cones in their one spelling and days as year-month-day.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from pydantic import BaseModel

from ..chemistry.results import ClearChemistry, Flag
from ..evidence.results import Reached
from ..firing.cone import Cone, ConeRange
from ..records.factors import Value


def plain(value: Any) -> Any:
    """A value as JSON has it. Raises TypeError for what has no plain form."""
    if value is None or isinstance(value, str | int | float):
        return value
    if isinstance(value, Cone | ConeRange):
        return value.label
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(plain(key)): plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [plain(each) for each in value]
    if isinstance(value, BaseModel):
        names = type(value).model_fields
        return {name.rstrip("_"): plain(getattr(value, name)) for name in names}
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    raise TypeError(f"no plain form of {type(value).__name__}")


def where(factors: Mapping[str, Value]) -> dict[str, str | int]:
    """A cell's factors for scripts: `_` for the space, coats as integers, the rest as text."""
    return {
        name.replace(" ", "_"): given if isinstance(given, int) else _text(given)
        for name, given in factors.items()
    }


def _text(given: str | float) -> str:
    return f"{given:g}" if isinstance(given, float) else given


def flag_json(flag: Flag) -> dict[str, Any]:
    """One flag as scripts rely on it."""
    return {
        "rule": flag.rule,
        "pigment": flag.pigment,
        "underglaze": flag.underglaze,
        "effect": flag.effect,
        "direction": flag.direction,
        "property": flag.property,
        "strength": flag.strength,
        "because": flag.because,
        "source": flag.source,
        "evidence": flag.evidence,
        "disagrees": flag.disagrees,
    }


def reached_json(reached: Reached | None) -> dict[str, Any]:
    """The cone a tile reached and how it is known."""
    found = reached or Reached(None, "unknown", "unknown")
    return {
        "cone": plain(found.cone),
        "by": found.by,
        "atmosphere": found.atmosphere,
        "note": found.note or None,
    }


def chemistry_json(chemistry: ClearChemistry) -> dict[str, Any]:
    """A clear's oxides and classes, numbers rounded to what a recipe can carry."""
    return {
        "oxides_weight_percent": _rounded(chemistry.oxides_weight_percent, 3),
        "oxides_mol_percent": _rounded(chemistry.oxides_mol_percent, 3),
        "unity": _rounded(chemistry.unity, 4),
        "silica_to_alumina": _round(chemistry.silica_to_alumina, 2),
        "loss_percent": _round(chemistry.loss_percent, 2),
        "zinc": _class(chemistry.zinc),
        "lime": _class(chemistry.lime),
        "magnesia": _class(chemistry.magnesia),
        "boron": _class(chemistry.boron),
        "reason": chemistry.reason,
        "unknown_materials": list(chemistry.unknown_materials),
    }


def _class(found: Any) -> dict[str, Any]:
    return {
        "class": found.value,
        "weight_percent": _round(found.weight_percent, 3),
        "known_from": found.known_from,
        "guessed": found.guessed,
    }


def _round(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)


def _rounded(values: Mapping[str, float] | None, digits: int) -> dict[str, float] | None:
    return None if values is None else {k: round(v, digits) for k, v in values.items()}
