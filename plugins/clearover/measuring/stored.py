"""A measurement as plain JSON values, to be kept beside the pictures, and back.

In: a `TileMeasurement`, or what was kept of one. Out: the other. Knows nothing of photos or caches.
`fingerprint` tells whether a kept one is still what measuring would give today.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import asdict, fields
from functools import cache
from importlib.resources import files
from math import isfinite
from sys import intern
from typing import Any, TypeVar

from ..tables import read_text
from .request import Request
from .results import Balance, CellColour, Cover, LineMeasure, Surface, TileMeasurement

DATA = ("measuring-limits.csv", "colour-chart.csv")
"""The data files that decide what is measured. Words for what was measured are found later."""
CODE = ("measuring", "colour")
_PARTS = {"cells": CellColour, "lines": LineMeasure, "cover": Cover, "surface": Surface}
T = TypeVar("T")


@cache
def fingerprint() -> str:
    """A digest of everything that measures: our code for it and its data files."""
    found = hashlib.sha256()
    for folder in CODE:
        modules = files("clearover").joinpath(folder).iterdir()
        for module in sorted((m for m in modules if m.name.endswith(".py")), key=lambda m: m.name):
            found.update(module.read_bytes())
    for name in DATA:
        found.update(read_text(name).encode("utf-8"))
    return found.hexdigest()


def as_kept(measured: TileMeasurement) -> dict[str, Any]:
    """Plain values; a number that is none (not finite) is kept as None."""
    found: dict[str, Any] = _plain(asdict(measured))
    return found


def from_kept(kept: Mapping[str, Any]) -> TileMeasurement:
    """The measurement again. Raises ValueError where something else was kept."""
    try:
        values = dict(kept)
        for name, kind in _PARTS.items():
            values[name] = tuple(_made(kind, row) for row in values[name])
        values["balance"] = _made(Balance, values["balance"])
        return _made(TileMeasurement, values)
    except (TypeError, KeyError, AttributeError) as error:
        raise ValueError("not a measurement") from error


def failed(request: Request, why: str) -> TileMeasurement:
    """A measurement of which nothing came: every cell and line says why."""
    status = f"not measured: {why}"
    return TileMeasurement(
        tile=request.tile,
        photo=request.photo,
        px_per_mm=None,
        balance=Balance(None, reason=why),
        noise_delta_e=None,
        cells=tuple(
            CellColour(cell.row, cell.column, None, None, 0, 0.0, status)
            for cell in request.cells
            if not cell.line
        ),
        lines=tuple(_no_line(cell.row, cell.column, status) for cell in request.cells if cell.line),
    )


def _no_line(row: int, column: int, status: str) -> LineMeasure:
    numbers: dict[str, Any] = dict.fromkeys(field.name for field in fields(LineMeasure))
    return LineMeasure(**{**numbers, "row": row, "column": column, "status": status, "note": ""})


def _made(kind: type[T], values: Mapping[str, Any]) -> T:
    """Texts are shared: thousands of cells say the same."""
    return kind(**{name: _shared(value) for name, value in values.items()})


def _shared(value: Any) -> Any:
    if isinstance(value, list):
        return tuple(_shared(one) for one in value)
    return intern(value) if isinstance(value, str) else value


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _plain(one) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    if isinstance(value, float):
        return float(value) if isfinite(value) else None
    return value
