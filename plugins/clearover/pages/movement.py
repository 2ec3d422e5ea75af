"""How far a clear moves, as pages say it: on a clear's page cone by cone, on a tile's cell by cell.

In: movements, and on a tile what people judged of its lines. Out: the section as finished HTML,
empty where there is nothing to say. It computes nothing and judges nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from markupsafe import Markup

from ..firing.cone import Cone
from ..glass.movement_data import ladder, number, step_of
from ..glass.moving import FLAT, Movement
from ..glass.results import Estimate
from ..records.models import Clear
from ..records.tile import Cell, Tile
from . import words
from .environment import body_environment
from .lookup import Lookup
from .movement_drawing import depth_of, wall_svg

COMPUTED = "How far the clear moved, computed"
LAY_FLAT = words.first_upper(FLAT) + ". No line was dragged and no surface ran."
COATS = (1, 2, 3)
"""The coats a clear's page shows side by side."""
MOST_DRAWN = 6
"""A tile with more kinds of wall than this tells them in a table only."""
VARIES = ("clear", "clear coats", "clear by", "specific gravity", "line", "underglaze coats")
"""Factors of a tile on which the movement depends."""
FITS = {"crisp": (0, 1), "softened": (1, 2), "dragged": (2, 3)}
"""From which to which word of the ladder a verdict on a line speaks; the others, of other causes,
say nothing of movement (bled, smudged, gone)."""


@dataclass(frozen=True, slots=True)
class Part:
    """One cone of a clear, or one tile: why there is nothing, or walls and what they rest on."""

    cone: str
    reason: str | None = None
    walls: tuple[Markup, ...] = ()
    drawn: bool = True
    meanings: tuple[tuple[str, str], ...] = ()
    rests: str = ""
    notes: tuple[str, ...] = ()


def clear_section(known: Lookup, clear: Clear) -> Markup:
    """The section of a clear's page: one part for each cone it is meant for."""
    cones = dict.fromkeys(cone for cone, _ in known.places if _meant(known, clear, cone))
    parts = []
    for cone in cones:
        several = [known.findings.movement(clear.id, cone, coats) for coats in COATS]
        first = several[0]
        if first.reason is not None:
            parts.append(Part(words.cone(cone), first.reason))
            continue
        depth = depth_of(several)
        walls = tuple(
            _wall(words.coats(coats), one, depth) for coats, one in zip(COATS, several, strict=True)
        )
        rests = f"Brushed on an upright wall, a line of two coats. {_heat(first)}"
        meanings = _meanings(several)
        parts.append(Part(words.cone(cone), None, walls, True, meanings, rests, first.notes))
    if len({part.reason for part in parts}) == 1 and parts[0].reason:
        parts = [Part("", parts[0].reason)]  # the same reason at every cone: said once
    return _html("How far it moves", tuple(parts), "")


def _meant(known: Lookup, clear: Clear, cone: Cone) -> bool:
    own = cone in known.catalogue.studio.cones
    return own and (clear.cones is None or cone in clear.cones)


def tile_section(known: Lookup, tile: Tile) -> Markup:
    """The section of a tile's page: one wall for each kind on it, lines judged beside."""
    groups = known.findings.movements_on(tile)
    if not groups:
        return Markup("")
    told = [(one, cells) for one, cells in groups if one.reason is None]
    missing = {
        (known.link("clear", cells[0].clear).text, one.reason)
        for one, cells in groups
        if one.reason is not None
    }
    named = "; ".join(f"{name}: {reason}" for name, reason in sorted(missing))
    if not told:
        return _html(COMPUTED, (), named)
    if tile.stood == "flat":
        return _html(COMPUTED, (Part("", LAY_FLAT),), named)
    varying = _varying([cells[0] for _, cells in groups])
    drawn = len(told) <= MOST_DRAWN
    depth = depth_of([one for one, _ in told]) if drawn else 0.0
    walls = tuple(
        _wall(
            _what(known, cells[0], varying),
            one,
            depth,
            _judged(tile, cells, one),
            _measured(known, tile, cells),
        )
        for one, cells in told
    )
    first = told[0][0]
    part = Part("", None, walls, drawn, (), _heat(first), first.notes)
    return _html(COMPUTED, (part,), named)


def _varying(cells: list[Cell]) -> tuple[str, ...]:
    varying = tuple(
        name for name in VARIES if len({str(cell.where.get(name)) for cell in cells}) > 1
    )
    return varying or ("clear coats",)


def _what(known: Lookup, cell: Cell, varying: tuple[str, ...]) -> str:
    parts = []
    for name in varying:
        given = cell.where.get(name)
        if given is not None:
            clear = known.link("clear", str(given)).text if name == "clear" else ""
            parts.append(clear or words.value(name, given))
    return words.first_upper(", ".join(parts)) or "All of it"


def _wall(
    what: str, one: Movement, depth: float, judged: str = "", measured: str | None = None
) -> Markup:
    """One wall as HTML: drawn where `depth` is more than 0, else a row of a table."""
    word, whole = said(one)
    return _wall_html(what, word, whole, one.surface_run, one.line_drag, depth, judged, measured)


@lru_cache(maxsize=8192)
def _wall_html(
    what: str,
    word: str,
    whole: str,
    run: Estimate,
    drag: Estimate,
    depth: float,
    judged: str,
    measured: str | None = None,
) -> Markup:
    """`measured` is the drag read from the photo, in words; None where none was."""
    shared = {
        "what": what,
        "word": word,
        "range": whole,
        "run": span(run),
        "drag": span(drag),
        "judged": judged,
        "measured": measured,
    }
    if not depth:
        return Markup(_template().row(shared))
    label = f"To scale: a line dragged {shared['drag']}; the surface runs {shared['run']}."
    return Markup(_template().wall(shared, wall_svg(run, drag, depth, label)))


def _measured(known: Lookup, tile: Tile, cells: list[Cell]) -> str | None:
    """The drag that the photo shows on the lines of some cells, in words; None where it shows none.
    Not told apart from what was computed: the computed range is wide, the reader sees both."""
    measured = known.findings.measured.get(tile.id)
    if measured is None or not measured.lines:
        return None
    from .measured_words import drag_of

    here = {(cell.row, cell.column) for cell in cells}
    told = [drag_of(line) for line in measured.lines if (line.row, line.column) in here]
    return ", ".join(dict.fromkeys(one for one in told if one)) or None


def _judged(tile: Tile, cells: list[Cell], one: Movement) -> str:
    """The line verdicts on some cells, and whether they go with what was computed."""
    found: dict[str, None] = {}
    for cell in cells:
        for judged in tile.judged:
            verdict = judged.verdict("line", cell.row, cell.column)
            if verdict:
                found |= dict.fromkeys(verdict.words)
    return judged_beside(tuple(found), one.line_drag)


def judged_beside(verdicts: tuple[str, ...], drag: Estimate) -> str:
    """`softened, as computed; bled has another cause`."""
    speaking = [word for word in verdicts if word in FITS]
    others = [word for word in verdicts if word not in FITS]
    parts = []
    if speaking:
        parts.append(f"{words.joined(speaking)}, {agreement(tuple(speaking), drag)}")
    if others:
        parts.append(f"{words.joined(others)}: another cause than running")
    return "; ".join(parts)


@lru_cache(maxsize=1024)
def agreement(verdicts: tuple[str, ...], drag: Estimate) -> str:
    """Whether line verdicts go with a computed drag: with its middle, within its range, or not."""
    spoken = [FITS[word] for word in verdicts if word in FITS]
    if not spoken:
        return ""
    low, middle, high = (step_of(0, one or 0.0) for one in (drag.low, drag.value, drag.high))
    if all(first <= middle <= last for first, last in spoken):
        return "as computed"
    if all(low <= last and first <= high for first, last in spoken):
        return "within the range computed"
    return "not as computed"


def said(one: Movement) -> tuple[str, str]:
    """(`most likely soft`, `from still to moving`); (`soft`, ``) where the whole range says so."""
    if one.word == one.likely or one.word is None:
        return one.word or "", ""
    return f"most likely {one.likely}", f"from {one.word}"


def span(length: Estimate) -> str:
    """`1.3 mm (0.4 to 4)`."""
    if length.value is None:
        return length.reason or "not computed"
    if not length.high:
        return "0 mm"
    return f"{_mm(length.value)} mm ({_mm(length.low)} to {_mm(length.high)})"


def _mm(value: float | None) -> str:
    """Two figures, as far as the model can be trusted with any."""
    value = value or 0.0
    if value > number("shown", "longest run"):
        return f"more than {number('shown', 'longest run'):g}"
    if value < 0.05:
        return "less than 0.1"
    return f"{value:.1f}" if value < 9.95 else f"{value:.0f}"


def _heat(one: Movement) -> str:
    if one.peak_c is None or one.log10_pa_s is None or one.minutes_at_peak is None:
        return ""
    return (
        f"At its hottest, {one.peak_c:.0f} °C, the melt's viscosity is log "
        f"{one.log10_pa_s:.1f} Pa·s; the whole firing, the way down included, moves it as far as "
        f"{one.minutes_at_peak:.0f} minutes there would."
    )


def _meanings(movements: list[Movement]) -> tuple[tuple[str, str], ...]:
    """What the likely words mean: [(`Soft`, `The edge of a line …`), …]."""
    likely = {one.likely for one in movements}
    return tuple((words.first_upper(one.word), one.means) for one in ladder() if one.word in likely)


@lru_cache(maxsize=4096)
def _html(heading: str, parts: tuple[Part, ...], missing: str) -> Markup:
    """The section; many tiles say the same."""
    if not parts and not missing:
        return Markup("")
    return Markup(_template().section(heading, parts, missing))


@cache
def _template() -> Any:
    """The macros of the section's template."""
    return body_environment().get_template("_movement.html").module
