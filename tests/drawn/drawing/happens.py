"""What became of a cell in the kiln: the record's verdicts first, else a plain model.

In: a cell of a tile and its catalogue. Out: an `Outcome` that surface and lines are drawn from.
The model is the trade's rules of thumb with invented amounts; it must not ask the program's own
flags, since the pictures are there to test them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from clearover.firing.cone import Cone, parse_cone
from clearover.records.catalogue import Catalogue
from clearover.records.models import Clear, Underglaze
from clearover.records.tile import Cell, Tile

from .tables import Glass, Paint, changes, glasses, paints

DARK_BODIES = ("dark-brown-stoneware",)
DARK_WORDS = ("black", "blue", "brown", "green", "purple")


@dataclass(frozen=True, slots=True)
class Outcome:
    """One cell as it came out. Words are those of a verdict; `amount` runs from 0 to 1."""

    colour: str = "true"
    amount: float = 0.0
    cover: str = "opaque"
    surface: tuple[str, ...] = ("clean",)
    line: str = "crisp"
    drag_mm: float = 0.0
    bleed_mm: float = 0.0


def cone_of(tile: Tile, catalogue: Catalogue) -> Cone:
    """The cone on the tile's shelf: witness, else aim, else the tile's own."""
    firing = catalogue.firings.get(tile.firings[-1]) if tile.firings else None
    if firing is None:
        return tile.cone or parse_cone("6")
    shelf = firing.witness.get(tile.shelf or "", {}) or next(iter(firing.witness.values()), {})
    met = [cone for cone, state in shelf.items() if state in ("half", "down", "flat")]
    return max(met) if met else firing.aimed or parse_cone("6")


def atmosphere_of(tile: Tile, catalogue: Catalogue) -> str:
    """Oxidation unless the last firing or the tile says reduction."""
    firing = catalogue.firings.get(tile.firings[-1]) if tile.firings else None
    said = firing.atmosphere if firing else tile.atmosphere
    return "reduction" if said == "reduction" else "oxidation"


def paint_of(underglaze: Underglaze | None) -> Paint:
    """The paint for an underglaze, by id, else by its colour word."""
    if underglaze is None:
        return paints()["grey"]
    return paints().get(underglaze.id) or paints()[underglaze.colour]


def glass_of(clear: Clear | None) -> Glass | None:
    """The glass for a clear, by id, else by surface and by what is declared of it."""
    if clear is None:
        return None
    known = glasses().get(clear.id)
    if known:
        return known
    other = glasses()[clear.surface or "gloss"]
    home = clear.cones.high if clear.cones else other.home
    zinc, magnesia = clear.zinc == "bearing", clear.magnesia == "high"
    return replace(other, zinc=zinc, magnesia=magnesia, home=home)


def _colour(ug: Underglaze, glass: Glass, cone: Cone, atmosphere: str) -> tuple[str, float]:
    classes = {"any", "zinc" if glass.zinc else "free"} | (
        {"magnesia"} if glass.magnesia else set()
    )
    for change in changes():
        hot_enough = change.coolest <= cone <= change.hottest
        same_air = change.atmosphere in ("any", atmosphere)
        if change.pigment in ug.pigment and change.clear in classes and hot_enough and same_air:
            return change.colour, change.amount
    return "true", 0.0


def _cover(tile: Tile, cell: Cell, ug: Underglaze, paint: Paint) -> str:
    coats = cell.underglaze_coats or 3
    dark_ground = cell.where.get("ground") == "dark slip" or (
        cell.where.get("body") in DARK_BODIES and cell.where.get("ground") != "white slip"
    )
    through = (1 - paint.opacity) ** coats * (2.2 if dark_ground and paint.lab[0] > 45 else 1.0)
    return "opaque" if through < 0.075 else "streaky" if through < 0.19 else "sheer"


def _surface(cell: Cell, ug: Underglaze | None, glass: Glass, cone: Cone) -> tuple[str, ...]:
    steps = cone.step - glass.home.step
    coats = cell.clear_coats or 2
    if steps < -3:
        return ("milky", "dry") if coats < 3 else ("milky",)
    raw = cell.where.get("underglaze fired") == "no"
    if raw and ug and (cell.underglaze_coats or 0) >= 4:
        return ("crawled",) if (cell.underglaze_coats or 0) == 4 else ("crawled", "flaked")
    if coats >= 3 and glass.gloss > 0.8 and ug and ug.colour in DARK_WORDS:
        return ("hazy", "bubbled") if coats > 3 else ("hazy",)
    if cell.where.get("body") in DARK_BODIES and coats >= 2 and glass.gloss > 0.8:
        return ("bubbled",)
    return ("clean",)


def _line(
    tile: Tile, cell: Cell, paint: Paint, glass: Glass, cone: Cone
) -> tuple[str, float, float]:
    coats = cell.clear_coats or 2
    thick = 0.3 if cell.where.get("line") == "thin" else 1.0
    stood = {"upright": 1.0, "leaning": 0.45, "flat": 0.0}.get(tile.stood or "flat", 0.0)
    heat = min(6.0, 2.2 ** max(-4.0, min(4.0, cone.step - glass.home.step)))
    wet = glass.run * (coats / 2) ** 1.5 * heat
    drag, bleed = wet * thick * stood, paint.spread * min(1.8, 0.25 + 0.8 * wet)
    by, along = str(cell.where.get("clear by", "")), cell.where.get("clear brushed", "along lines")
    if cell.where.get("underglaze fired") == "no" and by == "brush":
        return ("smudged" if along == "along lines" else "softened"), 0.0, 0.0
    if bleed >= 0.7:
        return "bled", drag if drag >= 1.0 else 0.0, bleed
    if drag >= 1.0:
        return "dragged", drag, 0.0
    return ("softened" if max(drag, bleed) > 0.45 else "crisp"), 0.0, 0.0


def model(tile: Tile, cell: Cell, catalogue: Catalogue) -> Outcome:
    """What the rules of thumb lead to, verdicts left aside."""
    ug = catalogue.underglazes.get(cell.underglaze)
    paint, glass = paint_of(ug), glass_of(catalogue.clears.get(cell.clear))
    cone, air = cone_of(tile, catalogue), atmosphere_of(tile, catalogue)
    cover = _cover(tile, cell, ug, paint) if ug else "opaque"
    if glass is None:
        return Outcome(cover=cover)
    colour, amount = _colour(ug, glass, cone, air) if ug else ("true", 0.0)
    line, drag, bleed = _line(tile, cell, paint, glass, cone)
    return Outcome(colour, amount, cover, _surface(cell, ug, glass, cone), line, drag, bleed)


def outcome(tile: Tile, cell: Cell, catalogue: Catalogue, judged: int = 0) -> Outcome:
    """The model, overruled by what people saw. `judged` picks the block when they disagree."""
    result = model(tile, cell, catalogue)
    blocks = [*tile.judged[judged : judged + 1], *tile.judged]
    said = {
        prop: next(
            (v for block in blocks if (v := block.verdict(prop, cell.row, cell.column))), None
        )
        for prop in ("colour", "line", "cover", "surface")
    }
    if (colour := said["colour"]) and colour.text != result.colour:
        amount = {"true": 0.0, "shifted": 0.6, "faded": 0.62, "gone": 0.95}[colour.words[0]]
        result = replace(result, colour=colour.text, amount=amount)
    if cover := said["cover"]:
        result = replace(result, cover=cover.words[0])
    if surface := said["surface"]:
        result = replace(result, surface=surface.words)
    if line := said["line"]:
        result = _as_judged(result, line.words)
    return result


def _as_judged(result: Outcome, words: tuple[str, ...]) -> Outcome:
    drag = max(result.drag_mm, 1.2) if "dragged" in words else 0.0
    bleed = max(result.bleed_mm, 0.8) if "bled" in words else 0.0
    return replace(result, line=words[0], drag_mm=drag, bleed_mm=bleed)
