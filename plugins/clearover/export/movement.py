"""How far clears move, computed, for the exports: a clear's own usual firings, each tile's own.

In: findings. Out: texts for the table, plain values for JSON, lengths in mm. What was not computed
is empty or null and says why. Computed is not measured: `drag_mm` is what a photo shows.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..glass.moving import NO_CLEAR
from ..glass.results import Estimate, not_computed

if TYPE_CHECKING:
    from ..evidence.findings import Findings
    from ..glass.moving import Movement
    from ..records.models import Clear
    from ..records.tile import Tile

Spot = tuple[int, int]
LENGTHS = ("surface_run", "line_drag")
ENDS = ("value", "low", "high")
COMPUTED = "computed"
COLUMNS = (
    *(f"{name}{end}_mm" for name in LENGTHS for end in ("", "_low", "_high")),
    "movement_status",
)
DIGITS = 3
"""Of a millimetre: more than the model can be trusted with, as `clearover measure` tells it."""


def usual(findings: Findings, clear: Clear) -> list[dict[str, Any]]:
    """A clear on an upright wall in the usual coats, at each of the studio's cones that it is meant
    for, in a usual firing; with model and source."""
    cones = findings.catalogue.studio.cones
    found = []
    for cone in cones:
        if clear.cones is None or cone in clear.cones:
            moved = findings.movement(clear.id, cone)
            told = {"cone": cone.label, **_told(moved), "movement_notes": list(moved.notes)}
            for name, one in _lengths(moved).items():
                if one.value is not None:
                    told[name] |= {"model": one.model, "source": one.source}
            found.append(told)
    return found


def on_tile(findings: Findings, tile: Tile) -> dict[str, Any]:
    """Each kind of wall on a tile, as it was put on, stood and fired, and the cells that are it.
    What was taken for granted of all of them is noted once."""
    walls = findings.movements_on(tile)
    notes = list(walls[0][0].notes) if walls else []
    shared = [note for note in notes if all(note in moved.notes for moved, _ in walls)]
    told = [
        {
            "clear": cells[0].clear,
            "cells": [{"row": cell.row, "column": cell.column} for cell in cells],
            **_told(moved),
            "movement_notes": [note for note in moved.notes if note not in shared],
        }
        for moved, cells in walls
    ]
    return {"movement": told, "movement_notes": shared}


def columns_of(findings: Findings, tile: Tile) -> dict[Spot, tuple[str, ...]]:
    """The texts of `COLUMNS` for each cell of a tile."""
    none = _texts(not_computed(NO_CLEAR), not_computed(NO_CLEAR))
    found = {(cell.row, cell.column): none for cell in tile.cells}
    for moved, cells in findings.movements_on(tile):
        texts = _texts(moved.surface_run, moved.line_drag)
        found |= {(cell.row, cell.column): texts for cell in cells}
    return found


def _texts(*lengths: Estimate) -> tuple[str, ...]:
    numbers = (getattr(one, end) for one in lengths for end in ENDS)
    told = ("" if one is None else f"{one:.{DIGITS}f}" for one in numbers)
    return *told, lengths[0].reason or COMPUTED


def _told(moved: Movement) -> dict[str, Any]:
    told: dict[str, Any] = {name: _length(one) for name, one in _lengths(moved).items()}
    return told | {"movement_word": moved.word, "movement_likely": moved.likely}


def _lengths(moved: Movement) -> dict[str, Estimate]:
    return {"surface_run_mm": moved.surface_run, "line_drag_mm": moved.line_drag}


def _length(one: Estimate) -> dict[str, float | str | None]:
    if one.value is None:
        return one.as_dict()
    return {end: round(getattr(one, end), DIGITS) for end in ENDS}
