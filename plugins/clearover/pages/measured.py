"""What a tile's photo says, beside what people judged: swatch and words a cell, and one section.

In: the look-ups and a tile. Out: plain values for `_measured.html`. It measures nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from ..measuring.against import true_cell
from ..measuring.disagree import Disagreement, disagreements
from ..measuring.hiding import UNSURE
from ..measuring.remedies import help_for
from ..measuring.results import MEASURED, Balance, Cover, TileMeasurement
from ..photos.results import Image
from ..records.models import Underglaze
from ..records.tile import Tile
from . import words
from .lookup import ROOT, Lookup
from .measured_words import (
    MeasuredCell,
    balance_words,
    colour_cell,
    drag_of,
    line_cell,
    spots,
)
from .pictures import FOLDER

Spot = tuple[int, int]
Contradictions = Mapping[Spot, tuple[Disagreement, ...]]
COMPARE = "assets/clearover/js/compare.js"
ZOOM = "assets/clearover/js/zoom.js"


def contradictions(known: Lookup, tile: Tile) -> Contradictions:
    """The cells where the photo and a verdict do not go together, and how."""
    measured = known.findings.measured.get(tile.id)
    if measured is None:
        return {}
    verdicts = {spot: seen.verdicts for spot, seen in known.cells.get(tile.id, {}).items()}
    return disagreements(verdicts, measured, known.findings.differences(tile.id))


def cells(known: Lookup, tile: Tile, but: Contradictions) -> dict[Spot, MeasuredCell]:
    """Every measured cell of the tile; empty where its photo was not measured. Where the light on
    the card is doubted no colour is shown or named: it would be too pale or too dark."""
    measured = known.findings.measured.get(tile.id)
    if measured is None:
        return {}
    off = known.findings.differences(tile.id)
    cover = {(one.row, one.column): one for one in measured.cover}
    looks = known.findings.looks(tile.id)
    found = {}
    for cell in measured.cells:
        spot = (cell.row, cell.column)
        found[spot] = colour_cell(
            cell, looks.get(spot), off.get(spot), cover.get(spot), but.get(spot, ())
        )
    for line in measured.lines:
        spot = (line.row, line.column)
        found[spot] = line_cell(line, but.get(spot, ()))
    if known.findings.light_doubt(tile.id):
        return {spot: replace(one, fill=None, word="") for spot, one in found.items()}
    return found


def true_colour(known: Lookup, colour: Underglaze) -> dict[str, Any] | None:
    """The colour as its agreed tile shows it: what to fill a swatch with, its word, its numbers."""
    tile = known.catalogue.tiles.get(colour.true_colour or "")
    found = known.findings.measured.get(tile.id) if tile else None
    true = true_cell(tile, colour.id, named=True) if tile else None
    if tile is None or found is None or true is None or found.balance.doubt:
        return None
    here = (true.row, true.column)
    lab = next((one.lab for one in found.cells if (one.row, one.column) == here), None)
    look = known.findings.looks(tile.id).get(here)
    if lab is None or look is None:
        return None
    light, a, b = (f"{part:.0f}".replace("-", "−") for part in lab)
    return {
        "fill": look.fill,
        "word": look.word,
        "numbers": f"L* {light}, a* {a}, b* {b}",
        "tile": known.link("tile", tile.id),
    }


def section(known: Lookup, tile: Tile, but: Contradictions) -> dict[str, Any] | None:
    """The section of a tile's page; None where there is no photo."""
    found = known.photos.get(tile.id)
    if found is None or not found.photos:
        return None
    measured = known.findings.measured.get(tile.id)
    if measured is None and any(photo.corners for photo in found.photos):
        return None  # it has all that measuring needs, and was not measured in this run
    if measured is None:
        return {"missing": "none of its photos has the grid's corners", "views": None}
    return {
        "missing": "",
        "told": _told(known, tile, measured),
        "but": _grouped(but),
        "views": _views(found.straight, found.balanced, words.first_upper(measured.tile)),
        "colours": _colours(known, tile, measured),
        "lines": _lines(measured),
        "why": _why(known, tile, measured),
    }


def scripts(view: dict[str, Any]) -> tuple[str, ...]:
    """What a tile's page loads: to look closer, and to slide between the two views."""
    compared = view["measured"] and view["measured"]["views"]
    return (*((COMPARE,) if compared else ()), *((ZOOM,) if view["photos"] else ()))


def _grouped(but: Contradictions) -> list[tuple[str, str, str]]:
    """Each contradiction once: (first cell's anchor, text, where), the cells that share it told."""
    places: dict[tuple[str, str], list[Spot]] = {}
    texts: dict[tuple[str, str], str] = {}
    for spot, all_ in but.items():
        for one in all_:
            key = one.judged, one.measured.partition(":")[0]
            places.setdefault(key, []).append(spot)
            texts.setdefault(key, one.text)
    return [
        (f"r{cells[0][0]}c{cells[0][1]}", texts[key], spots(cells)) for key, cells in places.items()
    ]


def _told(known: Lookup, tile: Tile, measured: TileMeasurement) -> list[str]:
    """How far the numbers can be trusted, in a few sentences."""
    balance = measured.balance
    if balance.by is None:
        return [f"Colours not measured: {balance.reason}. {help_for(balance.reason or '')}".strip()]
    told = [_balanced(balance)]
    if doubt := known.findings.light_doubt(tile.id):
        told.append(f"{words.first_upper(doubt)}. {help_for(doubt)}")
    if measured.noise_delta_e is not None:
        told.append(f"Colours nearer than ΔE {measured.noise_delta_e:.1f} are not told apart here.")
    differences = known.findings.differences(tile.id).values()
    others = {one.of[0] for one in differences if one.of and not one.same_photo}
    if others:
        links = words.joined([known.link("tile", id_).text for id_ in sorted(others)])
        told.append(f"True is what {links} shows: another photo, so those differences are about.")
    if any(one.wetted for one in differences):
        told.append("What wetting alone would do to a bare colour is allowed for.")
    return told + [f"{words.first_upper(note)}." for note in (*balance.notes, *measured.notes)]


def _balanced(balance: Balance) -> str:
    told = balance_words(balance.by, balance.reflectance, balance.assumed)
    if balance.error_delta_e is not None:
        told += f"; a patch that it has not seen is off by ΔE {balance.error_delta_e:.1f}"
    if balance.evened_by:
        told += f"; light evened by {words.joined(list(balance.evened_by))}"
        told += f", {balance.light_ratio:.1f} to 1 over the grid" if balance.light_ratio else ""
        return told + "."
    return told + "; nothing even in the photo shows how the light falls, so it was not evened."


def _views(straight: Image | None, balanced: Image | None, name: str) -> dict[str, Any] | None:
    """The two pictures of the slider, one size; None where there is no balanced one."""
    if straight is None or balanced is None:
        return None
    return {
        "name": name.replace("-", " "),
        "width": straight.width,
        "height": straight.height,
        "straight": f"{ROOT}{FOLDER}{straight.name}",
        "balanced": f"{ROOT}{FOLDER}{balanced.name}",
    }


def _colours(known: Lookup, tile: Tile, measured: TileMeasurement) -> list[list[str]]:
    """A row of numbers for each measured cell."""
    off = known.findings.differences(tile.id)
    cover = {(one.row, one.column): one for one in measured.cover}
    skin = {(one.row, one.column): one for one in measured.surface}
    table = []
    for cell in measured.cells:
        if cell.lab is None:
            continue
        spot = (cell.row, cell.column)
        away, hides, shows = off.get(spot), cover.get(spot), skin.get(spot)
        table.append(
            [
                f"{cell.row}, {cell.column}",
                *(_number(part, 1) for part in cell.lab),
                _number(cell.spread, 1),
                f"{cell.pixels:,}",
                f"{cell.left_out:.0%}".replace("%", " %"),
                _number(away.delta_e if away else None, 1),
                _ratio(hides),
                _number(hides.streaks if hides else None, 2),
                _number(shows.haze if shows else None, 2),
                _number(shows.pinholes_per_cm2 if shows else None, 1),
                _number(shows.bubbles_per_cm2 if shows else None, 1),
            ]
        )
    return table


def _lines(measured: TileMeasurement) -> list[list[str]]:
    table = []
    for line in measured.lines:
        if line.width_mm is None:
            continue
        numbers = (line.width_mm, line.upper_mm, line.lower_mm, line.blur_mm, line.raggedness_mm)
        table.append(
            [
                f"{line.row}, {line.column}",
                *(_number(one, 2) for one in numbers),
                _number(line.darkness, 2),
                drag_of(line) or "–",
                _number(line.limit_mm, 2),
                line.note,
            ]
        )
    return table


def _number(value: float | None, digits: int) -> str:
    return "–" if value is None else f"{value:.{digits}f}".replace("-", "−")


def _ratio(cover: Cover | None) -> str:
    """`0.91 (0.87 to 0.95)`: the contrast ratio with its 90 % range."""
    if cover is None or cover.ratio_low is None:
        return _number(cover.contrast_ratio if cover else None, 2)
    low, high = _number(cover.ratio_low, 2), _number(cover.ratio_high, 2)
    return f"{_number(cover.contrast_ratio, 2)} ({low} to {high})"


def _why(known: Lookup, tile: Tile, measured: TileMeasurement) -> list[tuple[str, str, str]]:
    """What was not measured: (why, where, what would help), each reason once."""
    if measured.balance.by is None:
        return []
    reasons: dict[str, list[Spot]] = {}
    parts: Iterable[Any] = (*measured.cells, *measured.lines, *measured.cover, *measured.surface)
    for one in parts:
        for status in one.status.split("; "):
            if status != MEASURED:
                reasons.setdefault(status, []).append((one.row, one.column))
    for hides in measured.cover:
        if hides.hides == UNSURE:
            told = f"Whether it hides its ground: {UNSURE}"
            reasons.setdefault(told, []).append((hides.row, hides.column))
    for spot, off in known.findings.differences(tile.id).items():
        if off.reason and help_for(off.reason):
            reasons.setdefault(off.reason, []).append(spot)
    everywhere = len(tile.cells)
    return [
        (
            words.first_upper(reason),
            "every cell" if len(places) == everywhere else spots(places),
            help_for(reason),
        )
        for reason, places in reasons.items()
    ]
