"""The mark scratched into the soft clay with a needle.

In: the mark's text and where it begins, mm. Out: a groove in the colour and height arrays.
Letters are our own few strokes each; other signs are left out.
"""

from __future__ import annotations

import numpy as np
from PIL import Image, ImageDraw

from .colours import Array, linear_of
from .noise import blur

TALL = 6.0
"""Height of a letter, mm."""

_SIGNS: dict[str, list[list[tuple[float, float]]]] = {
    "0": [[(1, 0), (0, 1), (0, 3), (1, 4), (2, 3), (2, 1), (1, 0)]],
    "1": [[(0, 1), (1, 0), (1, 4)]],
    "2": [[(0, 1), (1, 0), (2, 1), (0, 4), (2, 4)]],
    "3": [[(0, 0), (2, 0), (1, 1.6), (2, 2.6), (1.6, 4), (0, 3.6)]],
    "4": [[(1.4, 0), (0, 2.6), (2.2, 2.6)], [(1.5, 1.6), (1.5, 4)]],
    "5": [[(2, 0), (0.3, 0), (0.1, 1.7), (1.6, 1.8), (2, 3), (1.2, 4), (0, 3.7)]],
    "6": [[(1.6, 0), (0.2, 2), (0.2, 3.3), (1, 4), (1.9, 3.2), (1.2, 2.2), (0.2, 2.8)]],
    "7": [[(0, 0), (2, 0), (0.7, 4)]],
    "8": [[(1, 1.8), (0.2, 1), (1, 0), (1.8, 1), (1, 1.8), (0, 3), (1, 4), (2, 3), (1, 1.8)]],
    "9": [[(1.8, 1.2), (0.8, 1.9), (0.1, 1), (1, 0), (1.8, 1), (1.5, 4)]],
    "a": [[(1.8, 1.6), (0.6, 1.6), (0, 3), (0.8, 4), (1.8, 3)], [(1.8, 1.5), (1.9, 4)]],
    "b": [[(0, 0), (0, 4), (1.5, 3.9), (1.8, 2.8), (1, 2), (0, 2.5)]],
    "c": [[(1.7, 2), (0.7, 1.7), (0, 2.8), (0.7, 4), (1.7, 3.7)]],
    "d": [[(1.8, 0), (1.8, 4)], [(1.8, 2.2), (0.7, 1.8), (0, 3), (0.8, 4), (1.8, 3.4)]],
    "e": [[(0, 2.9), (1.7, 2.7), (1.2, 1.7), (0.2, 2.2), (0.2, 3.5), (1, 4), (1.8, 3.6)]],
    "f": [[(1.6, 0.3), (0.9, 0), (0.6, 1), (0.6, 4)], [(0, 1.8), (1.4, 1.7)]],
    "h": [[(0, 0), (0, 4)], [(0, 2.4), (1, 1.8), (1.6, 2.4), (1.6, 4)]],
    "i": [[(0.3, 1.8), (0.3, 4)], [(0.3, 0.8), (0.35, 1)]],
    "j": [[(0.8, 1.8), (0.8, 4.4), (0, 4.8)], [(0.8, 0.8), (0.85, 1)]],
    "k": [[(0, 0), (0, 4)], [(1.5, 1.8), (0.1, 3), (1.6, 4)]],
    "l": [[(0.3, 0), (0.3, 3.8), (0.8, 4)]],
    "m": [[(0, 4), (0, 1.8), (0.9, 2), (0.9, 4)], [(0.9, 2.2), (1.7, 1.8), (1.9, 4)]],
    "n": [[(0, 1.8), (0, 4)], [(0, 2.4), (1, 1.8), (1.6, 2.4), (1.6, 4)]],
    "o": [[(0.9, 1.7), (0, 2.7), (0.8, 4), (1.8, 3), (0.9, 1.7)]],
    "r": [[(0, 1.8), (0, 4)], [(0, 2.6), (0.8, 1.8), (1.4, 2)]],
    "s": [[(1.6, 1.9), (0.6, 1.7), (0.2, 2.4), (1.5, 3.2), (1.1, 4), (0, 3.8)]],
    "t": [[(0.8, 0.4), (0.8, 3.7), (1.4, 4)], [(0, 1.7), (1.5, 1.6)]],
    "u": [[(0, 1.8), (0.1, 3.6), (1, 4), (1.7, 3.3)], [(1.7, 1.8), (1.8, 4)]],
    "y": [[(0, 1.8), (0.8, 3.4)], [(1.7, 1.8), (0.4, 5)]],
}


def scratch(
    colour: Array,
    height: Array,
    text: str,
    start_mm: tuple[float, float],
    scale: float,
    rng: np.random.Generator,
) -> None:
    """Scratch the text, in place."""
    strip = slice(max(0, round((start_mm[1] - 2) * scale)), colour.shape[0])
    colour, height = colour[strip], height[strip]
    canvas = Image.new("L", (colour.shape[1], colour.shape[0]), 0)
    pen = ImageDraw.Draw(canvas)
    unit = TALL / 4 * scale
    x, y = start_mm[0] * scale, start_mm[1] * scale - strip.start
    width = max(2, round(0.5 * scale))
    for sign in text.lower():
        for stroke in _SIGNS.get(sign, []):
            points = [
                (x + (px + rng.normal(0, 0.07)) * unit * 0.8, y + (py + rng.normal(0, 0.07)) * unit)
                for px, py in stroke
            ]
            pen.line(points, fill=255, width=width, joint="curve")
        x += (1.2 if sign in " il1" else 2.3) * unit
    groove = blur(np.asarray(canvas, dtype=np.float32) / 255, 0.10 * scale)
    shade = linear_of((30, 6, 10))
    share = (0.75 * np.clip(groove, 0, 1))[..., None]
    colour[:] = colour * (1 - share) + shade * share * (0.3 + colour.mean(axis=(0, 1)))
    height -= 0.5 * groove
