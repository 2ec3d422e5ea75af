"""One cell of a tile: ground, colour, clear, in the order they were put on.

In: the clay under it, the tile's record, what became of the cell. Out: its skin (colour, height,
gloss) and what was really drawn.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from clearover.records.catalogue import Catalogue
from clearover.records.tile import Cell, Tile

from .colours import Array, Lab, changed, dressed, linear_of, mix, toned
from .happens import Outcome, glass_of, paint_of
from .lines import draw_line
from .noise import blur, clouds, grain, step
from .surface import Skin, spoil

GROUNDS: dict[str, Lab] = {"white slip": (88, 0, 5), "dark slip": (22, 3, 4)}
OPACITY = {"opaque": (0.985, 0.012), "streaky": (0.80, 0.13), "sheer": (0.52, 0.12)}
GAP = 0.45
"""Half the width of the strip that stays free between two cells, mm."""


@dataclass(slots=True)
class Place:
    """Where a cell is drawn: its clay under the clear and bare, and which edge was down."""

    clay: Array
    bare_lab: Lab
    clay_lab: Lab
    scale: float
    lower: str


def draw_cell(
    place: Place,
    tile: Tile,
    cell: Cell,
    catalogue: Catalogue,
    what: Outcome,
    rng: np.random.Generator,
) -> tuple[Skin, dict[str, object]]:
    """The finished cell and the truth about it (`drag`, `bleed`, `core` of a line)."""
    glass = glass_of(catalogue.clears.get(cell.clear))
    gloss = glass.gloss if glass else None
    shape = place.clay.shape[:2]
    ground, ground_lab = _ground(place, cell, gloss, rng)
    true = _paint(tile, cell, catalogue)
    flat = np.full(shape, gloss or 0.03, dtype=np.float32)
    skin = Skin(ground.copy(), np.zeros(shape, dtype=np.float32), flat, linear_of(place.bare_lab))
    drawn: dict[str, object] = {}
    if true is not None:
        lab = changed(true, what.colour, what.amount, ground_lab)
        lab = _scattered(dressed(lab, gloss), cell, gloss, rng)
        cover = _cover(place, cell, what, rng, drawn)
        _lay(skin, ground, lab, dressed(true, None), cover, place.scale, rng)
    coats = cell.clear_coats or 2
    if gloss is not None:
        skin.height += _glaze_height(shape, coats, place.scale, rng)
    else:
        skin.height += 0.008 * grain(shape, rng)
    spoil(skin, what.surface, place.scale, rng)
    return skin, drawn


def _ground(
    place: Place, cell: Cell, gloss: float | None, rng: np.random.Generator
) -> tuple[Array, Lab]:
    slip = GROUNDS.get(str(cell.where.get("ground")))
    if slip is None:
        return place.clay, place.clay_lab
    shape = place.clay.shape[:2]
    lift = 0.8 * clouds(shape, rng, 4 * place.scale, 12 * place.scale)
    edge = _inside(shape, place.scale, rng, 0.1)[..., None]
    return place.clay * (1 - edge) + toned(dressed(slip, gloss), lift) * edge, dressed(slip, gloss)


def _paint(tile: Tile, cell: Cell, catalogue: Catalogue) -> Lab | None:
    """The colour as it should be: of one underglaze, of a stack's top or of a mixture."""
    name = cell.underglaze
    if name in tile.stacks:
        layers = [
            paint_of(catalogue.underglazes.get(lay.underglaze)).lab for lay in tile.stacks[name]
        ]
        coats = tile.stacks[name][-1].coats or 2
        return mix(layers[0], layers[-1], {1: 0.55, 2: 0.82}.get(coats, 0.94))
    if name in tile.mixes:
        parts = tile.mixes[name]
        whole = sum(parts.values())
        labs = [(paint_of(catalogue.underglazes.get(i)).lab, n / whole) for i, n in parts.items()]
        return tuple(sum(lab[k] * n for lab, n in labs) for k in range(3))  # type: ignore[return-value]
    if name in ("none", "unknown"):
        return None
    return paint_of(catalogue.underglazes.get(name)).lab


def _scattered(lab: Lab, cell: Cell, gloss: float | None, rng: np.random.Generator) -> Lab:
    """No two cells of a tile are quite alike; each coat of clear takes a little light."""
    coats = (cell.clear_coats or 2) - 2 if gloss is not None else 0
    off = rng.normal(0, (0.8, 0.6, 0.7))
    return (lab[0] + off[0] - 0.7 * coats, lab[1] + off[1], lab[2] + off[2])


def _cover(
    place: Place, cell: Cell, what: Outcome, rng: np.random.Generator, drawn: dict[str, object]
) -> Array:
    """How much colour lies at each point, 0 to 1."""
    shape, scale = place.clay.shape[:2], place.scale
    mean, sway = OPACITY[what.cover]
    streaks = _streaks(shape, scale, rng)
    opacity = np.clip(mean + sway * streaks, 0.12, 1.0)
    width = line_width(cell)
    if width is None:
        drawn["drag"], drawn["bleed"] = 0.0, 0.0
        return np.asarray(opacity * _inside(shape, scale, rng, 0.1 + 0.5 * min(1.0, what.bleed_mm)))
    line = draw_line(shape, scale, width, what, place.lower, rng)
    drawn["drag"] = round(line.drag_mm, 2)
    drawn["bleed"] = round(min(line.upper_mm, line.lower_mm), 2)
    drawn["width"] = width
    drawn["core"] = line.cover > 0.93 * float(line.cover.max())
    return np.asarray(line.cover * np.clip(max(mean, 0.95) + 0.02 * streaks, 0.88, 1.0))


def _streaks(shape: tuple[int, int], scale: float, rng: np.random.Generator) -> Array:
    """Brush strokes, mostly along the rows, each a little askew, over clouds of thickness."""
    hairs = blur(rng.standard_normal(shape, dtype=np.float32), 0.12 * scale, 3.5 * scale)
    broad = clouds(shape, rng, 1.1 * scale, 10 * scale)
    lean = np.linspace(-0.6, 0.6, shape[1]) * scale * rng.normal(0, 0.8)
    rows = (np.arange(shape[0])[:, None] + np.rint(lean).astype(int)[None, :]) % shape[0]
    mixed = 0.55 * hairs / (hairs.std() + 1e-9) + 0.6 * broad + 0.4 * clouds(shape, rng, 4 * scale)
    return np.asarray(mixed[rows, np.arange(shape[1])[None, :]])


def line_width(cell: Cell) -> float | None:
    """How wide the painted line is, mm; None where the whole cell is painted."""
    if "line width mm" in cell.where:
        return float(cell.where["line width mm"])
    return {"thin": 0.9, "thick": 3.0}.get(str(cell.where.get("line")))


def _inside(shape: tuple[int, int], scale: float, rng: np.random.Generator, soft: float) -> Array:
    """1 inside the cell, 0 in the gap round it, with a hand-painted edge."""
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    edge = np.minimum(np.minimum(x, shape[1] - 1 - x), np.minimum(y, shape[0] - 1 - y)) / scale
    wobble = 0.12 * clouds(shape, rng, 3 * scale) + 0.05 * clouds(shape, rng, 0.8 * scale)
    return step(edge + wobble, GAP, soft / 1.7)


def _lay(
    skin: Skin,
    ground: Array,
    lab: Lab,
    dry: Lab,
    cover: Array,
    scale: float,
    rng: np.random.Generator,
) -> None:
    """Put the colour on the ground: brush marks, clouds of tone, and the bare state beside it."""
    shape = cover.shape
    ridges = clouds(shape, rng, 0.7 * scale, 9 * scale)
    lift = 0.75 * clouds(shape, rng, 6 * scale) + 0.6 * ridges + 0.5 * grain(shape, rng)
    share = cover[..., None].astype(np.float32)
    skin.colour[:] = ground * (1 - share) + toned(lab, lift) * share
    skin.bare = skin.bare * (1 - share.mean()) + linear_of(dry) * share.mean()


def _glaze_height(
    shape: tuple[int, int], coats: int, scale: float, rng: np.random.Generator
) -> Array:
    """Glaze stands a little proud of the gap and is never quite flat."""
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    edge = np.minimum(np.minimum(x, shape[1] - 1 - x), np.minimum(y, shape[0] - 1 - y)) / scale
    swell = 0.09 * coats * step(edge, 0.55, 0.16)
    ripple = 0.012 * coats * clouds(shape, rng, 2.2 * scale) + 0.05 * clouds(shape, rng, 9 * scale)
    return np.asarray(swell + blur(ripple, 0.15 * scale))
