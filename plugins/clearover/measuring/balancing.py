"""From a photo to its light and its balance: what every pixel is divided by and multiplied with.

In: an opened photo and a request. Out: a field, gains and a `Balance` that tells what was done.
Knows nothing of cells.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..colour.srgb import LINEAR_OF_BYTE
from ..photos.opening import Opened
from .card import gains_for, sample
from .light import Field, fit_field
from .limits import limit
from .regions import inside, outside_by, resized
from .request import Request
from .results import Balance

Floats = NDArray[np.float64]


def balance_of(opened: Opened, request: Request) -> tuple[Field, Floats, Balance]:
    """The light over the photo, the gains (linear R, G, B), and what they rest on."""
    pixels = np.asarray(opened.picture)
    step = max(1, round(limit("field_step") * pixels.shape[1] / 1600))
    blocks, brightest = _blocks(pixels, step)
    field = _field(opened, request, blocks, brightest, step)
    ratio = _ratio(field, request) if field.used else None
    if request.grey_card is None:
        why = "there is no grey card in the photo: nothing tells its colours from its light's"
        return field, np.ones(3), Balance(None, evened_by=field.used, light_ratio=ratio, reason=why)
    card = [(x / step, y / step) for x, y in opened.inside(request.grey_card)]
    seen = sample(blocks, brightest >= limit("clipped_from"), card)
    if seen is None:
        why = "the grey card is too bright, in glare, or not in the photo"
        return field, np.ones(3), Balance(None, evened_by=field.used, light_ratio=ratio, reason=why)
    middle = np.mean(np.asarray(request.grey_card), axis=0)
    there = float(field.at(middle[:1], middle[1:])[0])
    gains = gains_for(seen / there, request.reflectance)
    red, green, blue = (float(gain) for gain in gains)
    told = Balance(
        "grey card",
        request.reflectance,
        request.reflectance_assumed,
        (red, green, blue),
        field.used,
        ratio,
    )
    return field, gains, told


def _blocks(pixels: NDArray[np.uint8], step: int) -> tuple[NDArray[np.float32], NDArray[np.uint8]]:
    """Mean linear light and brightest code of each block of the picture."""
    tall, wide = pixels.shape[0] // step, pixels.shape[1] // step
    cut = pixels[: tall * step, : wide * step]
    shaped = cut.reshape(tall, step, wide, step, 3)
    light = LINEAR_OF_BYTE.astype(np.float32)[shaped].mean(axis=(1, 3))
    return light, shaped.max(axis=(1, 3, 4))


def _field(
    opened: Opened,
    request: Request,
    blocks: NDArray[np.float32],
    brightest: NDArray[np.uint8],
    step: int,
) -> Field:
    factor = opened.factor
    y, x = (np.mgrid[0 : blocks.shape[0], 0 : blocks.shape[1]] + 0.5) * step
    x, y = (x - opened.shift[0]) * factor, (y - opened.shift[1]) * factor
    free = brightest < limit("clipped_from")
    if request.grey_card:
        free &= ~inside(x, y, resized(request.grey_card, limit("card_around")))
    regions = {"the clay round the grid": free & _ring(x, y, request)}
    if request.plain_backdrop:
        away = ~inside(x, y, resized(request.corners, limit("backdrop_around")))
        regions["the backdrop"] = free & away
    size = (opened.width, opened.height)
    return fit_field(blocks.astype(np.float64), x, y, regions, size, limit("even_enough"))


def _ring(x: Floats, y: Floats, request: Request) -> NDArray[np.bool_]:
    if request.width_mm and request.height_mm:
        away = outside_by(x, y, request.corners, (request.width_mm, request.height_mm))
        return (away > limit("ring_from_mm")) & (away < limit("ring_to_mm"))
    wide, high = request.columns, request.rows
    away = outside_by(x, y, request.corners, (float(wide), float(high))) / min(wide, high)
    return (away > limit("ring_from_share")) & (away < limit("ring_to_share"))


def _ratio(field: Field, request: Request) -> float:
    """Brightest to darkest over the grid's corners, edges and middle."""
    corners = np.asarray(request.corners)
    points = np.concatenate([corners, (corners + np.roll(corners, 1, axis=0)) / 2])
    points = np.concatenate([points, corners.mean(axis=0)[None, :]])
    light = field.at(points[:, 0], points[:, 1])
    return float(light.max() / light.min())
