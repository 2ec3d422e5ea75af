"""What a photo says of a tile, as one plain dictionary for `measure --json` and the exports.

In: the tile, its measurement, the differences from true. Out: the keys of the `measure` command.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..records.tile import Cell, Tile
from .against import Against, Spot
from .looks import Look, looks_of
from .remedies import remedies
from .results import Balance, CellColour, Cover, LineMeasure, Surface, TileMeasurement

NOTHING = Against(None, reason="not measured")


def measure_report(
    tile: Tile,
    measured: TileMeasurement,
    differences: Mapping[Spot, Against],
    doubt: str | None = None,
    looks: Mapping[Spot, Look] | None = None,
) -> dict[str, Any]:
    """Everything measured, ready for JSON. Lab is CIE 1976, D65, 2°; `lab_d50` the same for D50.

    `doubt` is what other photos say against the light on the card, where this one says nothing; in
    doubt no colour gets a word. `looks` spares it working out again what is known.
    """
    doubt = measured.balance.doubt or doubt
    where = {(cell.row, cell.column): cell for cell in tile.cells}
    cover = {(one.row, one.column): one for one in measured.cover}
    surface = {(one.row, one.column): one for one in measured.surface}
    looks = looks_of(measured) if looks is None else looks
    return {
        "tile": measured.tile,
        "photo": measured.photo,
        "px_per_mm": _round(measured.px_per_mm, 2),
        "balance": _balance(measured.balance, doubt),
        "noise_delta_e": _round(measured.noise_delta_e, 2),
        "cells": [
            _cell(one, where, looks, differences, cover, surface)
            | ({"colour_word": None} if doubt else {})
            for one in measured.cells
        ],
        "lines": [_line(one, where) for one in measured.lines],
        "would_help": remedies(measured, [doubt, *(one.reason for one in differences.values())]),
        "notes": list(measured.notes),
    }


def _balance(balance: Balance, doubt: str | None) -> dict[str, Any]:
    clay = None if balance.clay is None else [round(part, 2) for part in balance.clay]
    told = {**_fields(balance), "clay": clay, "doubt": doubt}
    return {**told, "observer": "2 degrees", "illuminant": "D65"}


def _place(cell: Cell | None, row: int, column: int) -> dict[str, Any]:
    stated = {} if cell is None else cell.where
    where = {
        name.replace(" ", "_"): value if isinstance(value, int) else str(value)
        for name, value in stated.items()
    }
    return {"where": where, "row": row, "column": column}


def _cell(
    one: CellColour,
    where: Mapping[Spot, Cell],
    looks: Mapping[Spot, Look],
    differences: Mapping[Spot, Against],
    cover: Mapping[Spot, Cover],
    surface: Mapping[Spot, Surface],
) -> dict[str, Any]:
    spot = (one.row, one.column)
    look, off = looks.get(spot), differences.get(spot, NOTHING)
    hides, skin = cover.get(spot), surface.get(spot)
    return {
        **_place(where.get(spot), *spot),
        "lab": None if one.lab is None else [round(part, 2) for part in one.lab],
        "lab_d50": None if look is None else [round(part, 2) for part in look.lab_d50],
        "spread": _round(one.spread, 2),
        "pixels": one.pixels,
        "left_out": round(one.left_out, 3),
        "delta_e_to_true": _round(off.delta_e, 2),
        "seen_as": off.seen,
        "changes": list(off.changes),
        "wetting_allowed_for": off.wetted,
        "true_is": None
        if off.of is None
        else dict(zip(("tile", "row", "column"), off.of, strict=True)),
        "approximate": not off.same_photo,
        "true_reason": off.reason,
        "colour_word": None if look is None else look.word,
        "contrast_ratio": None if hides is None else _round(hides.contrast_ratio, 3),
        "contrast_ratio_low": None if hides is None else _round(hides.ratio_low, 3),
        "contrast_ratio_high": None if hides is None else _round(hides.ratio_high, 3),
        "hides": None if hides is None else hides.hides,
        "streaks": None if hides is None else _round(hides.streaks, 3),
        "coats_to_hide": None if hides is None else hides.coats_to_hide,
        "coats_to_hide_low": None if hides is None else hides.coats_low,
        "coats_to_hide_high": None if hides is None else hides.coats_high,
        "coats_reason": None if hides is None else hides.coats_reason or None,
        "haze": None if skin is None else _round(skin.haze, 2),
        "pinholes_per_cm2": None if skin is None else _round(skin.pinholes_per_cm2, 1),
        "bubbles_per_cm2": None if skin is None else _round(skin.bubbles_per_cm2, 1),
        "spot_mm": None if skin is None else _round(skin.size_mm, 2),
        "cover_status": None if hides is None else hides.status,
        "surface_status": None if skin is None else skin.status,
        "status": one.status,
    }


def _line(one: LineMeasure, where: Mapping[Spot, Cell]) -> dict[str, Any]:
    values = {
        name: _round(value, 3) if isinstance(value, float) else value
        for name, value in _fields(one).items()
        if name not in ("row", "column")
    }
    return {**_place(where.get((one.row, one.column)), one.row, one.column), **values}


def _fields(one: Balance | LineMeasure) -> dict[str, Any]:
    """Their values are plain, so nothing need be copied as `asdict` would."""
    return {name: getattr(one, name) for name in one.__slots__}


def _round(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)
