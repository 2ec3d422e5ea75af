"""A hand-held camera over the table: perspective, uneven light, reflections, cast, noise.

In: a scene and how hard the picture is meant to be. Out: 8-bit sRGB pixels, where grid and card
lie in them, and the settings used.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from .colours import Array, encode
from .noise import blur, clouds, grain, soften, step
from .scene import Corners, Scene, table

CASTS = {"neutral": (1.0, 1.0, 1.0), "warm": (1.13, 1.0, 0.76), "cool": (0.90, 1.0, 1.15)}


@dataclass(frozen=True, slots=True)
class Settings:
    """How a picture was taken. `light_ratio` is brightest to darkest across the frame."""

    tilt_deg: float
    azimuth_deg: float
    turn_deg: float
    light_ratio: float
    cast: str
    cast_strength: float
    noise: float
    glare: float
    exposure: float

    def brief(self) -> dict[str, object]:
        """For the truth file, rounded."""
        return {k: round(v, 2) if isinstance(v, float) else v for k, v in asdict(self).items()}


def settings_for(
    rng: np.random.Generator, difficulty: float, quarter_turn: bool = False
) -> Settings:
    """Draw settings; `difficulty` 0 is a copy stand, 1 the worst that should still be used."""
    tilt = float(rng.uniform(0.35, 1.0) * 25 * difficulty)
    cast = str(rng.choice(["neutral", "warm", "cool"], p=[0.34, 0.40, 0.26]))
    return Settings(
        tilt,
        float(rng.uniform(0, 360)),
        float(rng.normal(0, 3.5) * min(1.0, difficulty * 2)) + (90.0 if quarter_turn else 0.0),
        1 + float(rng.uniform(0.4, 1.0)) * difficulty,
        cast,
        float(rng.uniform(0.4, 1.0) * min(1.0, 0.3 + difficulty)),
        0.004 + 0.012 * difficulty * float(rng.uniform(0.5, 1)),
        float(rng.uniform(0.3, 1.0)) * 0.045 * min(1.0, difficulty * 1.4),
        float(rng.uniform(0.90, 1.12)),
    )


def homography(scene: Scene, s: Settings, size: tuple[int, int]) -> Array:
    """From scene px to picture px: a pinhole over a tilted plane, fitted to the frame."""
    left, top, right, bottom = scene.content
    cx, cy, half = (left + right) / 2, (top + bottom) / 2, max(right - left, bottom - top) / 2
    tilt, az, turn = (np.radians(v) for v in (s.tilt_deg, s.azimuth_deg, s.turn_deg))
    axis = np.array([np.cos(az), np.sin(az), 0.0])
    skew = np.array([[0, 0, axis[1]], [0, 0, -axis[0]], [-axis[1], axis[0], 0]])
    lean = np.eye(3) + np.sin(tilt) * skew + (1 - np.cos(tilt)) * skew @ skew
    spin = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    pose = lean @ spin
    far = 4.2 * half
    plane = np.column_stack([pose[:, 0], pose[:, 1], [0, 0, far]])
    centre = np.array([[1, 0, -cx], [0, 1, -cy], [0, 0, 1.0]])
    matrix = plane @ centre
    seen = project(matrix, [(left, top), (right, top), (right, bottom), (left, bottom)])
    low, high = seen.min(axis=0), seen.max(axis=0)
    zoom = 0.90 * min(size[0] / (high[0] - low[0]), size[1] / (high[1] - low[1]))
    middle = (low + high) / 2
    fit = np.array(
        [
            [zoom, 0, size[0] / 2 - zoom * middle[0]],
            [0, zoom, size[1] / 2 - zoom * middle[1]],
            [0, 0, 1],
        ]
    )
    return np.asarray(fit @ matrix)


def project(matrix: Array, points: Corners) -> Array:
    """Points through a homography."""
    full = np.column_stack([np.asarray(points, dtype=float), np.ones(len(points))]) @ matrix.T
    return np.asarray(full[:, :2] / full[:, 2:])


def warp(layers: tuple[Array, ...], matrix: Array, size: tuple[int, int]) -> list[Array]:
    """Every layer as the camera sees it, bilinear; nothing (0) outside the scene."""
    inverse = np.linalg.inv(matrix)
    coefficients = (inverse / inverse[2, 2]).ravel()[:8].tolist()
    seen = []
    for layer in layers:
        flat = Image.fromarray(layer.astype(np.float32), "F")
        bent = flat.transform(
            size, Image.Transform.PERSPECTIVE, coefficients, Image.Resampling.BILINEAR
        )
        seen.append(np.asarray(bent))
    return seen


def take(
    scene: Scene, backdrop: str, s: Settings, size: tuple[int, int], rng: np.random.Generator
) -> tuple[Array, dict[str, object]]:
    """The picture and its truth: `corners` and `card` in px, `glare` as a share of the grid."""
    matrix = homography(scene, s, size)
    layers = (scene.alpha, scene.shadow, scene.height, scene.gloss)
    colours = (scene.light[..., k] for k in range(3))
    alpha, shadow, height, gloss, *light_seen = warp((*layers, *colours), matrix, size)
    ground = table((size[1], size[0]), backdrop, scene.scale, rng)
    free = (1 - alpha) * (1 - shadow)
    light = [one + ground[..., k] * free for k, one in enumerate(light_seen)]
    corners, card = project(matrix, scene.grid), project(matrix, scene.card)
    shine, share = _shine(height, gloss, corners, s, rng)
    lamp = _lamp(size, s, rng)
    cast = (np.array(CASTS[s.cast]) ** s.cast_strength).astype(np.float32)
    lit = ((one * lamp + shine) * cast[k] * s.exposure for k, one in enumerate(light))
    exposed = _sensor([soften(one) for one in lit], s, rng)
    truth: dict[str, object] = {
        "size": list(size),
        "corners": np.round(corners, 2).tolist(),
        "grey_card": np.round(card, 2).tolist(),
        "glare": round(share, 4),
        "settings": s.brief(),
    }
    return np.dstack([np.round(encode(one)) for one in exposed]), truth


def _lamp(size: tuple[int, int], s: Settings, rng: np.random.Generator) -> Array:
    """One lamp to a side: the frame runs from bright to dark by the ratio, most to a corner."""
    angle = float(rng.uniform(0, 2 * np.pi))
    y, x = np.mgrid[0 : size[1], 0 : size[0]].astype(np.float32)
    x, y = x / size[0] - 0.5, y / size[1] - 0.5
    cos, sin = float(np.cos(angle)), float(np.sin(angle))
    along = (x * cos + y * sin) / (abs(cos) + abs(sin))
    field = np.exp(float(np.log(s.light_ratio)) * (along - 0.25 * along * along))
    vignette = 1 - 0.10 * (x**2 + y**2) * min(1.0, s.light_ratio - 1)
    return np.asarray(field * vignette / field.mean())


def _shine(
    height: Array, gloss: Array, corners: Array, s: Settings, rng: np.random.Generator
) -> tuple[Array, float]:
    """A window and a lamp mirrored in the glaze, broken up by its ripples."""
    shine = np.float32(0.006) * gloss
    left, top = np.maximum(np.floor(corners.min(axis=0)).astype(int), 0)
    right, bottom = np.ceil(corners.max(axis=0)).astype(int) + 1
    part = (slice(top, bottom), slice(left, right))
    gloss, height = gloss[part], height[part]
    y, x = np.mgrid[0 : height.shape[0], 0 : height.shape[1]].astype(np.float32)
    quad = [(float(px - left), float(py - top)) for px, py in corners]
    inside = _in_quad(x, y, quad)
    area = float(inside.sum())
    bend = float(np.linalg.norm(corners[2] - corners[0])) * 0.45
    down, right_slope = np.gradient(blur(height, 1.5))
    sharp = np.clip((gloss - 0.3) / 0.6, 0, 1)
    hard, veil = np.zeros_like(height), np.zeros_like(height)
    for share in (0.62, 0.26, 0.12) if s.glare > 0 else ():
        side = float(np.sqrt(s.glare * share * area / 2.0))
        cx, cy = np.mean(quad, axis=0) + rng.uniform(-0.30, 0.30, 2) * bend / 0.45
        u = (x - float(cx) + right_slope * bend) / side
        v = (y - float(cy) + down * bend) / side
        u = u + float(rng.uniform(-0.5, 0.5)) * v
        shape = step(0.62 - np.abs(u), 0, 0.06) * step(0.80 - np.abs(v), 0, 0.06)
        hard = np.maximum(hard, shape * (1 - 0.8 * np.exp(-((u / 0.06) ** 2))) * sharp)
        veil += np.exp(-(u * u + v * v) / 6) * gloss * (0.05 * share)
    shine[part] += hard * np.float32(1.1) + veil
    return shine, float(((hard > 0.3) & inside).sum() / max(area, 1))


def _in_quad(x: Array, y: Array, quad: list[tuple[float, float]]) -> NDArray[np.bool_]:
    inside = np.ones(x.shape, dtype=bool)
    for k in range(4):
        (ax, ay), (bx, by) = quad[k], quad[(k + 1) % 4]
        inside &= (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= 0
    return inside


def _sensor(light: list[Array], s: Settings, rng: np.random.Generator) -> list[Array]:
    """Shot and read noise, softened as a phone does, with a little blotch in the colour; channel
    by channel."""
    shape = light[0].shape
    fine = [grain(shape, rng) for _ in light]
    blotch = clouds(shape, rng, 7)
    seen = []
    for one, specks, share in zip(light, fine, (0.16, -0.08, 0.16), strict=True):
        spread = s.noise * np.sqrt(np.maximum(one, 0) * np.float32(0.8) + np.float32(0.03))
        seen.append(one + spread * (0.75 * specks + blotch * np.float32(share)))
    return seen
