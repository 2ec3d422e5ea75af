"""The table from straight above: backdrop, tile with its shadow, grey card.

In: a finished board and how the scene is set. Out: the light that tile and card send back under an
even lamp, their shadow, and where grid and card lie, px. The table itself is drawn for the frame.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .board import Board
from .colours import Array, linear_of, toned
from .noise import blur, clouds, grain, step
from .surface import relief

CARD_MM = (34.0, 22.0)
CARD_REFLECTANCE = 0.18
AROUND = 12.0
"""Free room round tile and card for their shadow, mm."""

SHEETS = ((66, 0, 1), (58, -1, -4), (72, 1, 7), (36, -1, -2), (62, 2, 9), (70, -2, 2))
"""Sheets of paper and card a tile is laid on (Lab; invented)."""

Corners = list[tuple[float, float]]


@dataclass(slots=True)
class Scene:
    """What lies on the table. `light` is already multiplied by `alpha`; `shadow` dims the table.

    `content` is (left, top, right, bottom) of tile and card.
    """

    light: Array
    alpha: Array
    shadow: Array
    height: Array
    gloss: Array
    grid: Corners
    card: Corners
    content: tuple[float, float, float, float]
    scale: float


def lay_out(board: Board, rng: np.random.Generator) -> Scene:
    """Put the tile on the table and the card below or beside it."""
    scale = board.scale
    tall, wide = board.colour.shape[:2]
    beside = wide < tall * 1.25
    card_w, card_h = (round(v * scale) for v in CARD_MM)
    around, gap = round(AROUND * scale), round(7 * scale)
    height = max(tall, card_h) if beside else tall + gap + card_h
    width = wide + gap + card_w if beside else max(wide, card_w)
    shape = (height + 2 * around, width + 2 * around)
    alpha, shadow, relief_map, gloss = (np.zeros(shape, dtype=np.float32) for _ in range(4))
    empty, nowhere = np.zeros((*shape, 3), dtype=np.float32), (0.0, 0.0, 0.0, 0.0)
    scene = Scene(empty, alpha, shadow, relief_map, gloss, [], [], nowhere, scale)
    _tile(scene, board, (around, around), rng)
    x = around + (wide + gap if beside else round(rng.uniform(0, max(1, wide - card_w))))
    y = around + (round(rng.uniform(0, tall - card_h)) if beside else tall + gap)
    scene.card = _card(scene, (y, x), (card_h, card_w), float(rng.normal(0, 2.2)), rng)
    left, top, right, bottom = (v + around for v in board.grid)
    scene.grid = [(left, top), (right, top), (right, bottom), (left, bottom)]
    scene.content = (around, around, around + width, around + height)
    return scene


def table(shape: tuple[int, int], kind: str, scale: float, rng: np.random.Generator) -> Array:
    """The table top under an even lamp: one plain sheet, or wood with clay dust on it."""
    if kind == "plain":
        sheet = SHEETS[int(rng.integers(len(SHEETS)))]
        lift = 0.6 * grain(shape, rng) + 0.7 * clouds(shape, rng, 30 * scale)
        return toned(sheet, lift + np.float32(rng.normal(0, 2)))
    boards = clouds(shape, rng, 0.9 * scale, 42 * scale)
    rings = np.sin(6 * clouds(shape, rng, 22 * scale, 150 * scale) + 1.2 * boards)
    fibres = blur(grain(shape, rng), 1, 2.6 * scale)
    light = toned((46, 11, 22), 2.2 * boards + 2.2 * rings + 9 * fibres)
    dust = 0.2 * step(clouds(shape, rng, 2.0 * scale, 3 * scale), 1.9, 0.3)[..., None]
    return np.asarray(light * (1 - dust) + linear_of((78, 1, 6)).astype(np.float32) * dust)


def _outline(shape: tuple[int, int], scale: float, rng: np.random.Generator) -> Array:
    """Rounded corners and edges cut by hand."""
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    radius = 3.5 * scale
    dx = np.maximum(radius - np.minimum(x, shape[1] - 1 - x), 0)
    dy = np.maximum(radius - np.minimum(y, shape[0] - 1 - y), 0)
    inside = radius - np.hypot(dx, dy)
    edge = np.minimum(inside, np.minimum(np.minimum(x, shape[1] - x), np.minimum(y, shape[0] - y)))
    return np.asarray((edge / scale) + 0.14 * clouds(shape, rng, 8 * scale) - 0.4)


def _tile(scene: Scene, board: Board, at: tuple[int, int], rng: np.random.Generator) -> None:
    scale, shape = board.scale, board.colour.shape[:2]
    inside = _outline(shape, scale, rng)
    alpha = step(inside, 0.0, 0.05)
    shade = np.zeros(scene.alpha.shape, dtype=np.float32)
    rows = slice(at[0], at[0] + shape[0])
    columns = slice(at[1], at[1] + shape[1])
    down, right = round(2.2 * scale), round(1.6 * scale)
    shade[rows.start + down : rows.stop + down, columns.start + right : columns.stop + right] = (
        alpha
    )
    near = np.zeros_like(shade)
    near[rows, columns] = alpha
    shade = 0.42 * blur(shade, 1.7 * scale) + 0.30 * blur(near, 0.7 * scale)
    scene.shadow[:] = np.clip(shade, 0, 0.75)
    worn = board.colour * (1 + 0.10 * (1 - step(inside, 1.0, 0.4)))[..., None]
    rounded = board.height - 0.9 * np.exp(-np.clip(inside, 0, None) / 0.7)
    worn *= relief(rounded, scale, 0.9)[..., None]
    scene.light[rows, columns] = worn * alpha[..., None]
    scene.alpha[rows, columns] = alpha
    scene.height[rows, columns] = board.height * alpha
    scene.gloss[rows, columns] = board.gloss * alpha


def _card(
    scene: Scene,
    at: tuple[int, int],
    size: tuple[int, int],
    turn: float,
    rng: np.random.Generator,
) -> Corners:
    """A matt grey card, laid down not quite straight."""
    angle = np.radians(turn)
    cy, cx = at[0] + size[0] / 2, at[1] + size[1] / 2
    reach = round(0.12 * size[1]) + 14
    rows = slice(max(0, at[0] - reach), at[0] + size[0] + reach)
    columns = slice(max(0, at[1] - reach), at[1] + size[1] + reach)
    alpha_here, shadow_here = scene.alpha[rows, columns], scene.shadow[rows, columns]
    y, x = np.indices(alpha_here.shape, dtype=np.float32)
    y, x = y + (rows.start - cy), x + (columns.start - cx)
    cos, sin = float(np.cos(angle)), float(np.sin(angle))
    away = np.minimum(
        size[1] / 2 - np.abs(x * cos + y * sin), size[0] / 2 - np.abs(y * cos - x * sin)
    )
    shadow_here[:] = 1 - (1 - shadow_here) * (1 - 0.25 * step(away, -3.0, 2.5))
    alpha = step(away, 0.0, 0.5)
    tooth = 1 + 0.012 * grain(alpha.shape, rng)
    scene.light[rows, columns] += (CARD_REFLECTANCE * tooth * alpha)[..., None]
    alpha_here[:] = np.maximum(alpha_here, alpha)
    corners = []
    for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        du, dv = a * size[1] / 2, b * size[0] / 2
        corners.append(
            (
                float(cx + du * np.cos(angle) - dv * np.sin(angle)),
                float(cy + du * np.sin(angle) + dv * np.cos(angle)),
            )
        )
    return corners
