"""What is seen in and on the glaze of one cell: haze, bubbles, pinholes, cracks, bare patches.

In: the cell's colour as linear light, its outcome, px per mm. Out: the colour with its faults,
a height map in mm and how glossy each point is. Knows nothing of where the cell lies.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .colours import Array, linear_of
from .noise import blur, clouds, cracks, discs, grain, step


@dataclass(slots=True)
class Skin:
    """A cell while it is being drawn. `colour` is linear light, `height` mm, `gloss` 0 to 1."""

    colour: Array
    height: Array
    gloss: Array
    bare: Array
    """Its colour without the clear, seen where the glaze is missing: one, or one a point."""


def spoil(skin: Skin, words: tuple[str, ...], scale: float, rng: np.random.Generator) -> None:
    """Draw every fault named, in place. An unknown word draws nothing."""
    for word in words:
        fault = _FAULTS.get(word)
        if fault:
            fault(skin, scale, rng)


def _veil(skin: Skin, share: Array, lab: tuple[float, float, float]) -> None:
    skin.colour[:] = skin.colour * (1 - share[..., None]) + linear_of(lab) * share[..., None]


def _hazy(skin: Skin, scale: float, rng: np.random.Generator) -> None:
    drift = clouds(skin.height.shape, rng, 5 * scale) * 0.6
    drift = drift + clouds(skin.height.shape, rng, 1.4 * scale) * 0.3
    fine = np.clip(grain(skin.height.shape, rng) - 1.2, 0, 2)
    _veil(skin, np.clip(0.14 + 0.03 * drift + 0.05 * fine, 0.05, 0.4), (76, -1.5, -3.0))


def _milky(skin: Skin, scale: float, rng: np.random.Generator) -> None:
    drift = clouds(skin.height.shape, rng, 6 * scale)
    _veil(skin, np.clip(0.46 + 0.07 * drift, 0.25, 0.7), (86, -0.8, 1.5))
    skin.gloss *= 0.35


def _dry(skin: Skin, scale: float, rng: np.random.Generator) -> None:
    grit = grain(skin.height.shape, rng)
    skin.colour *= (1 + 0.05 * grit)[..., None]
    skin.height += 0.02 * grit
    skin.gloss *= 0.05


def _bubbled(skin: Skin, scale: float, rng: np.random.Generator) -> None:
    area = skin.height.size / scale**2
    for rows, columns, away, radius in discs(
        skin.height.shape, rng, int(area * 0.75), 0.12 * scale, 0.42 * scale
    ):
        rim = np.exp(-(((away - radius) / (0.10 * scale)) ** 2))
        inside = 1 - step(away, radius, 0.05 * scale)
        window = skin.colour[rows, columns]
        window *= (1 - 0.16 * inside + 0.0 * rim)[..., None]
        window += (rim * 0.075)[..., None]
        skin.height[rows, columns] += 0.04 * inside


def _pinholed(skin: Skin, scale: float, rng: np.random.Generator) -> None:
    area = skin.height.size / scale**2
    count = int(rng.integers(5, 10) * area / 550) + 3
    for rows, columns, away, radius in discs(
        skin.height.shape, rng, count, 0.16 * scale, 0.34 * scale
    ):
        hole = (1 - step(away, radius, 0.06 * scale))[..., None]
        rim = np.exp(-(((away - 1.4 * radius) / (0.16 * scale)) ** 2))[..., None]
        window = skin.colour[rows, columns]
        window[:] = window * (1 - hole * 0.72) + rim * 0.03
        skin.height[rows, columns] -= 0.12 * hole[..., 0]


def _blistered(skin: Skin, scale: float, rng: np.random.Generator) -> None:
    area = skin.height.size / scale**2
    for rows, columns, away, radius in discs(
        skin.height.shape, rng, int(area / 34) + 3, 0.55 * scale, 1.5 * scale
    ):
        crater = 1 - step(away, radius * 0.72, 0.08 * scale)
        rim = np.exp(-(((away - radius) / (0.22 * radius)) ** 2))
        window = skin.colour[rows, columns]
        window[:] = window * (1 - 0.35 * crater + 0.10 * rim)[..., None]
        skin.height[rows, columns] += 0.30 * rim - 0.25 * crater


def _crawled(skin: Skin, scale: float, rng: np.random.Generator) -> None:
    shape = skin.height.shape
    field = clouds(shape, rng, 5.5 * scale) + 0.25 * clouds(shape, rng, 1.5 * scale)
    open_ = step(field, 1.0, 0.05)
    torn = step(clouds(shape, rng, 2 * scale), 0.1, 0.15)[..., None] * 0.7
    skin.bare = skin.bare * (1 - torn) + linear_of((80, 1.5, 9.0)) * torn
    _uncover(skin, open_)
    bead = np.exp(-(((field - 0.75) / 0.16) ** 2))
    skin.height += 0.22 * bead
    skin.colour *= (1 - 0.12 * bead)[..., None]


def _flaked(skin: Skin, scale: float, rng: np.random.Generator) -> None:
    shape = skin.height.shape
    field = clouds(shape, rng, 3.2 * scale)
    plates = cracks(shape, rng, 2.6 * scale, 0.3 * scale)
    off = step(field + 0.5 * plates, 1.35, 0.03)
    clay = linear_of((80, 1.5, 9.0))
    skin.colour[:] = skin.colour * (1 - off[..., None]) + clay * off[..., None]
    skin.gloss *= 1 - off
    skin.height -= 0.2 * off


def _uncover(skin: Skin, open_: Array) -> None:
    skin.colour[:] = skin.colour * (1 - open_[..., None]) + skin.bare * open_[..., None]
    skin.gloss *= 1 - open_
    skin.height -= 0.18 * open_


def _crazed(skin: Skin, scale: float, rng: np.random.Generator) -> None:
    net = cracks(skin.height.shape, rng, rng.uniform(4.5, 7) * scale, 0.15 * scale)
    fine = cracks(skin.height.shape, rng, 3.2 * scale, 0.11 * scale) * 0.45
    net = np.maximum(net, fine * step(clouds(skin.height.shape, rng, 8 * scale), 0.2, 0.2))
    stained = linear_of((14, 2, 3))
    share = (0.72 * net)[..., None]
    skin.colour[:] = skin.colour * (1 - share) + stained * share
    skin.height -= 0.02 * net


def _shivered(skin: Skin, scale: float, rng: np.random.Generator) -> None:
    field = clouds(skin.height.shape, rng, 2.0 * scale, 9 * scale)
    _uncover(skin, step(field, 1.6, 0.03))


_FAULTS = {
    "hazy": _hazy,
    "milky": _milky,
    "dry": _dry,
    "bubbled": _bubbled,
    "pinholed": _pinholed,
    "blistered": _blistered,
    "crawled": _crawled,
    "flaked": _flaked,
    "crazed": _crazed,
    "shivered": _shivered,
}


def relief(height: Array, scale: float, strength: float) -> Array:
    """Light and shade of a height map under a lamp from the upper left, around 1."""
    smooth = blur(height, 0.05 * scale)
    down, right = np.gradient(smooth * scale)
    return np.asarray(np.clip(1 + strength * (down + right) * -0.7, 0.55, 1.5))
