"""What a tile that is no plane can tell: a measurement in, the same without what needs a plane out.

On a curved tile the four corners carry no straight grid: a millimetre is not as long at its sides
as in its middle, so widths, drags and counts on a square centimetre mean nothing; a cell's colour,
read from its middle, does. On a textured one the relief's own shadows look like pinholes. Knows no
pixels.
"""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

from .results import MEASURED, LineMeasure, Surface, TileMeasurement

CURVED, TEXTURED = "curved", "textured"
LINE = "a curved tile has no one scale for a width or a drag in mm"
SPOTS = {
    CURVED: "a curved tile has no one scale to count them by",
    TEXTURED: "a textured tile's relief throws shadows like them",
}
NOTES = {
    CURVED: "the tile is curved: colours are read from the middle of each cell; "
    "lines, pinholes and the lens's bow are not measured on it",
    TEXTURED: "the tile is textured: pinholes and bubbles are not counted on it, and streaks may "
    "be its relief",
}


def fitted(measured: TileMeasurement, shape: str | None) -> TileMeasurement:
    """The measurement as far as a tile of this shape can tell it; of a flat one, all of it."""
    if shape not in NOTES:
        return measured
    lines = measured.lines
    if shape == CURVED:
        lines = tuple(_unmeasured(one) for one in lines)
    return replace(
        measured,
        px_per_mm=None if shape == CURVED else measured.px_per_mm,
        lines=lines,
        surface=tuple(_without_spots(one, SPOTS[shape]) for one in measured.surface),
        notes=(*measured.notes, NOTES[shape]),
    )


def _unmeasured(line: LineMeasure) -> LineMeasure:
    if line.width_mm is None:
        return line
    numbers: dict[str, Any] = dict.fromkeys(field.name for field in fields(line))
    place = {"row": line.row, "column": line.column, "note": ""}
    return LineMeasure(**{**numbers, **place, "status": f"not measured: {LINE}"})


def _without_spots(one: Surface, why: str) -> Surface:
    if one.pinholes_per_cm2 is None and one.bubbles_per_cm2 is None:
        return one
    others = [part for part in one.status.split("; ") if part != MEASURED and "bubbles" not in part]
    told = "; ".join([*others, f"pinholes and bubbles not measured: {why}"])
    return replace(one, pinholes_per_cm2=None, bubbles_per_cm2=None, size_mm=None, status=told)
