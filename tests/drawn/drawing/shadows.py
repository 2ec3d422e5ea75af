"""Shadows on the grey card, as hands, phones and window bars throw them: a photo in, a darker one
out.

In: a finished photo and its truth. Out: the photo with a part of its light taken away. Light of a
shadow at a window comes from the sky and is bluer.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from .colours import encode

Spoil = Callable[[Image.Image, dict[str, Any]], Image.Image]
HALF = (0.5, 0.5, 0.5)
SKY = (0.42, 0.47, 0.54)
"""What is left of red, green and blue: a window's own light is kept off, the sky's is not."""
WEAK = (0.72, 0.74, 0.78)


def _linear_of_byte() -> np.ndarray:
    """Linear light of each sRGB code (IEC 61966-2-1)."""
    code = np.arange(256) / 255
    return np.asarray(np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4))


def lit(picture: Image.Image, by: np.ndarray) -> Image.Image:
    """The photo in so many times the light, each channel its own."""
    light = _linear_of_byte()[np.asarray(picture)] * by
    return Image.fromarray(np.clip(np.rint(encode(light)), 0, 255).astype(np.uint8), "RGB")


def card_alone(picture: Image.Image, truth: dict[str, Any]) -> Image.Image:
    """The card alone, evenly: it stands in a box, or is bent away from the lamp."""
    return _shaded(picture, [_card(truth, 1.0)], HALF, 4)


def half_the_card(picture: Image.Image, truth: dict[str, Any]) -> Image.Image:
    """A sharp edge across the card, the far half and what lies beyond it dark."""
    return _shaded(picture, [_beyond(truth, 0.0)], HALF, _px(picture, 0.002))


def a_hand(picture: Image.Image, truth: dict[str, Any]) -> Image.Image:
    """Card and table round it, out to the border of the photo; an edge a few mm soft."""
    return _shaded(picture, [_beyond(truth, -1.4)], SKY, _px(picture, 0.008))


def soft(picture: Image.Image, truth: dict[str, Any]) -> Image.Image:
    """A blot without an edge, as large as the card, thrown from afar."""
    return _shaded(picture, [_card(truth, 1.5)], SKY, _px(picture, 0.03))


def weak(picture: Image.Image, truth: dict[str, Any]) -> Image.Image:
    """The same as the hand's, but three quarters of the light are left."""
    return _shaded(picture, [_beyond(truth, -1.4)], WEAK, _px(picture, 0.008))


def the_tile(picture: Image.Image, truth: dict[str, Any]) -> Image.Image:
    """The other way round: the phone's shadow on the tile and round it, the card in full light."""
    corners = np.asarray(truth["corners"])
    middle = corners.mean(axis=0)
    return _shaded(picture, [middle + 1.45 * (corners - middle)], HALF, _px(picture, 0.012))


KINDS: dict[str, Spoil] = {
    "the card alone": card_alone,
    "half the card": half_the_card,
    "a hand's, at a window": a_hand,
    "a soft one": soft,
    "a weak one": weak,
    "on the tile, not the card": the_tile,
}


def _px(picture: Image.Image, share: float) -> float:
    return share * picture.width


def _card(truth: dict[str, Any], by: float) -> np.ndarray:
    corners = np.asarray(truth["grey_card"])
    middle = corners.mean(axis=0)
    return np.asarray(middle + by * (corners - middle))


def _beyond(truth: dict[str, Any], at: float) -> np.ndarray:
    """Everything beyond a line across the card, at right angles to the way from tile to card; `at`
    counts from the card's middle outward, 1 at its border."""
    card, tile = np.asarray(truth["grey_card"]), np.asarray(truth["corners"])
    middle = card.mean(axis=0)
    way = middle - tile.mean(axis=0)
    way /= np.hypot(*way)
    side = np.array([-way[1], way[0]])
    half = float(np.abs((card - middle) @ way).max())
    start, far = middle + at * half * way, 5000.0
    ends = [start - far * side, start + far * side]
    return np.array([*ends, ends[1] + far * way, ends[0] + far * way])


def _shaded(
    picture: Image.Image, parts: list[np.ndarray], left: tuple[float, ...], blur: float
) -> Image.Image:
    mask = Image.new("L", picture.size)
    for part in parts:
        ImageDraw.Draw(mask).polygon([(float(x), float(y)) for x, y in part], fill=255)
    share = np.asarray(mask.filter(ImageFilter.GaussianBlur(blur)), dtype=float)[..., None] / 255
    return lit(picture, 1 - share * (1 - np.array(left)))
