"""What a photo says of one cell, as pages say it: a colour to show, and a few words.

In: the measurement of a cell, its difference from true, the contradictions. Out: a `MeasuredCell`.
Decides nothing: the words for a difference come from `colour.seeing`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from ..colour.seeing import limits
from ..measuring.against import Against
from ..measuring.disagree import Disagreement
from ..measuring.looks import Look
from ..measuring.results import MEASURED, CellColour, Cover, LineMeasure
from . import words


@dataclass(frozen=True, slots=True)
class MeasuredCell:
    """One cell. `fill` is its colour for an SVG, `word` the colour's word; `says` are the measured
    things as (text, number in small), `but` the contradictions, `missing` why there is nothing."""

    fill: str | None = None
    word: str = ""
    says: tuple[tuple[str, str], ...] = ()
    but: tuple[str, ...] = ()
    missing: str = ""


def colour_cell(
    cell: CellColour,
    look: Look | None,
    off: Against | None,
    cover: Cover | None,
    but: Sequence[Disagreement],
) -> MeasuredCell:
    """An evenly coloured cell; a measurement that contradicts the verdict is told by `but`."""
    if look is None:
        return MeasuredCell(missing=cell.status)
    told = {one.prop for one in but}
    says = [] if "colour" in told else [_difference(off)]
    if cover and cover.contrast_ratio is not None and "cover" not in told:
        says.append((f"hides {100 * cover.contrast_ratio:.0f} % of its ground", hides_of(cover)))
    return MeasuredCell(
        look.fill,
        look.word,
        tuple(part for part in says if part[0]),
        tuple(one.text for one in but),
    )


def hides_of(cover: Cover) -> str:
    """`93 to 100 %: cannot tell yet`: the 90 % range, and what it says; empty where none is.
    A ratio above 1 is the photo's noise: nothing hides more than all."""
    if cover.ratio_low is None or cover.ratio_high is None:
        return ""
    low, high = (f"{100 * min(1.0, end):.0f}" for end in (cover.ratio_low, cover.ratio_high))
    return f"{low} to {high} %: {cover.hides}"


def _difference(off: Against | None) -> tuple[str, str]:
    if off is None or off.delta_e is None or off.seen is None:
        own = off is not None and off.reason == "this cell itself is what true means"
        return ("this is its true colour", "") if own else ("", "")
    about = "" if off.same_photo else "about "
    number = f"ΔE {about}{off.delta_e:.1f}"
    none, slight, clear, _ = (word for _, word, _ in limits())
    changes = ", ".join(off.changes) or "than true"
    if off.seen == none:
        return "as true", number
    if off.seen == slight:
        return (f"slightly {changes}" if off.changes else "a slight difference"), number
    if off.seen == clear:
        return (f"clearly {changes}" if off.changes else "a clear difference"), number
    return (f"a different colour: {changes}" if off.changes else "a different colour"), number


def line_cell(line: LineMeasure, but: Sequence[Disagreement]) -> MeasuredCell:
    """A painted line."""
    if line.width_mm is None:
        return MeasuredCell(missing=line.status)
    told = {one.prop for one in but}
    says = [(f"line {line.width_mm:.1f} mm wide", "")]
    drag = drag_of(line)
    if line.kind and "line" not in told and not (drag and line.kind == "dragged"):
        says.append((line.kind, ""))
    if drag:
        says.append((f"no drag ({drag})" if drag.startswith("less") else f"dragged {drag}", ""))
    elif line.status != MEASURED:
        says.append((line.status.removeprefix("measured, but "), ""))
    return MeasuredCell(says=tuple(says), but=tuple(one.text for one in but))


def drag_of(line: LineMeasure) -> str:
    """`3.4 mm (3.2 to 3.7)`; `less than 0.2 mm` below what the photo can show; empty where nothing
    was measured."""
    if line.drag_mm is None or line.drag_low_mm is None or line.drag_high_mm is None:
        return ""
    least = max(line.limit_mm or 0.0, 0.1)
    if line.drag_mm < least:
        return f"less than {least:.1f} mm"
    return f"{line.drag_mm:.1f} mm ({max(line.drag_low_mm, 0):.1f} to {line.drag_high_mm:.1f})"


@lru_cache(maxsize=256)
def balance_words(by: str | None, reflectance: float | None, assumed: bool) -> str:
    """`Balanced by the grey card of 18 % reflectance (assumed: the record does not say)`."""
    told = f"Balanced by the {'colour chart' if by == 'chart' else by}"
    if reflectance is not None:
        told += f" of {reflectance:.0%} reflectance".replace("%", " %")
        told += ", assumed, for the record does not say" if assumed else ""
    return told


def spots(places: Sequence[tuple[int, int]]) -> str:
    """`row 1, column 2` and how many more there are."""
    first = f"row {places[0][0]}, column {places[0][1]}"
    more = len(places) - 1
    return f"{first} and {words.count(more, 'more cell')}" if more else first
