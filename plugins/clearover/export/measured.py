"""What photos say, for the exports: a row's columns, and a tile's whole measurement.

In: findings with measurements. Out: texts for the table, plain values for JSON. A cell that no
photo shows has empty columns; one that a photo could not tell says why.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ..evidence.findings import Findings

Spot = tuple[int, int]
COLUMNS = (
    "lab_l",
    "lab_a",
    "lab_b",
    "delta_e_to_true",
    "contrast_ratio",
    "contrast_ratio_low",
    "contrast_ratio_high",
    "drag_mm",
    "drag_low_mm",
    "drag_high_mm",
    "measured_status",
)


def columns_of(findings: Findings, tile: str) -> dict[Spot, tuple[str, ...]]:
    """The texts of `COLUMNS` for each cell of a tile that was looked at."""
    measured = findings.measured.get(tile)
    if measured is None:
        return {}
    off, empty = findings.differences(tile), ("", "", "")
    cover = {
        (one.row, one.column): (one.contrast_ratio, one.ratio_low, one.ratio_high)
        for one in measured.cover
    }
    found = {}
    for cell in measured.cells:
        spot = (cell.row, cell.column)
        away = off[spot].delta_e if spot in off else None
        lab = tuple(_text(part, 2) for part in cell.lab) if cell.lab else empty
        hides = (_text(one, 3) for one in cover.get(spot, (None,) * 3))
        seen = (*lab, _text(away, 2), *hides)
        found[spot] = (*seen, *empty, cell.status)
    for line in measured.lines:
        drag = (line.drag_mm, line.drag_low_mm, line.drag_high_mm)
        nothing = ("",) * 7
        told = (*nothing, *(_text(one, 3) for one in drag), line.status)
        found[line.row, line.column] = told
    return found


def report_of(findings: Findings, tile: str) -> dict[str, Any] | None:
    """What `clearover measure --json` says of the tile, None where no photo was measured."""
    measured = findings.measured.get(tile)
    if measured is None:
        return None
    from ..measuring.report import measure_report

    return measure_report(
        findings.catalogue.tiles[tile],
        measured,
        findings.differences(tile),
        findings.light_doubt(tile),
        findings.looks(tile),
    )


def _text(value: float | None, digits: int) -> str:
    return "" if value is None else f"{value:.{digits}f}"
