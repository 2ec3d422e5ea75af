"""From a photo to its light and its balance: what every pixel is divided by and multiplied with.

In: an opened photo and a request. Out: a field, a matrix and a `Balance` that tells what was done.
Knows nothing of cells.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..colour.srgb import LINEAR_OF_BYTE
from ..photos.opening import Opened
from ..photos.straighten import apply, homography
from .card import gains_for, sample
from .chart import COLUMNS, ROWS, ChartFit, fit_chart, patches
from .clay_ring import clay_colour, ring
from .light import Field, brightest_channel, fit_field
from .limits import limit
from .other_light import Blocks, doubt_of, too_white
from .regions import inside, resized
from .request import Request
from .results import Balance

Floats = NDArray[np.float64]
_BAND = 8
"""So many rows of blocks are worked on at once."""


def balance_of(opened: Opened, request: Request) -> tuple[Field, Floats, Balance]:
    """The light over the photo, the balance (3 × 3, linear RGB rows), and what they rest on.

    A chart is used before a card. Without either, or where it cannot be used, the matrix is one.
    """
    pixels = np.asarray(opened.picture)
    step = max(1, round(limit("field_step") * pixels.shape[1] / 1600))
    blocks, brightest = _blocks(pixels, step)
    seen = _seen(opened, blocks, brightest, step)
    field = _field(seen, request, (opened.width, opened.height))
    ratio = _ratio(field, request) if field.used else None
    told = Balance(None, evened_by=field.used, light_ratio=ratio)
    why = "there is no grey card or chart in the photo to tell its colours from its light's"
    if request.chart is not None:
        found = _by_chart(opened, request, field, pixels)
        if isinstance(found, ChartFit):
            told = replace(told, by=found.by, error_delta_e=_error(found))
            return field, found.matrix, _doubted(told, seen, field, request, found.matrix)
        why = found
    if request.grey_card is not None:
        gains = _by_card(opened, request, field, blocks, brightest, step)
        if not isinstance(gains, str):
            red, green, blue = (float(gain) for gain in gains)
            told = replace(told, by="grey card", gains=(red, green, blue))
            told = replace(told, reflectance=request.reflectance)
            told = replace(told, assumed=request.reflectance_assumed)
            return field, np.diag(gains), _doubted(told, seen, field, request, np.diag(gains))
        why = gains
    return field, np.eye(3), replace(told, reason=why)


def _doubted(
    told: Balance, seen: Blocks, field: Field, request: Request, matrix: Floats
) -> Balance:
    """The balance with the bare clay's colour by it, and what speaks against it."""
    by = "card" if told.by == "grey card" else "chart"
    clay = clay_colour(seen, field, request, matrix)
    doubt = doubt_of(seen, field, request, by)
    if doubt is None and clay is not None:
        doubt = too_white(clay[0], by, "the bare clay")
    return replace(told, clay=clay, doubt=doubt)


def _error(fit: ChartFit) -> float:
    return fit.error if fit.by == "chart" else fit.error_of_grey


def _by_card(
    opened: Opened,
    request: Request,
    field: Field,
    blocks: NDArray[np.float32],
    brightest: NDArray[np.uint8],
    step: int,
) -> Floats | str:
    """The gains, or why the card is of no use."""
    corners = request.grey_card or ()
    card = [(x / step, y / step) for x, y in opened.inside(corners)]
    seen = sample(blocks, brightest >= limit("clipped_from"), card)
    if seen is None:
        return "the grey card is too bright, in glare, or not in the photo"
    if seen.max() < LINEAR_OF_BYTE[int(limit("black_below"))]:
        return "the grey card is all but black in the photo"
    middle = np.mean(np.asarray(corners), axis=0)
    there = float(field.at(middle[:1], middle[1:])[0])
    return gains_for(seen / there, request.reflectance)


def _by_chart(
    opened: Opened, request: Request, field: Field, pixels: NDArray[np.uint8]
) -> ChartFit | str:
    corners = request.chart or ()
    light = LINEAR_OF_BYTE.astype(np.float32)[pixels]
    seen = patches(light, opened.inside(corners))
    if seen is None:
        return "the colour chart is not wholly in the photo"
    carry = homography([(0, 0), (COLUMNS, 0), (COLUMNS, ROWS), (0, ROWS)], corners)
    row, column = np.divmod(np.arange(COLUMNS * ROWS), COLUMNS)
    middles = apply(carry, np.stack([column + 0.5, row + 0.5], axis=1))
    fit = fit_chart(seen / field.at(middles[:, 0], middles[:, 1])[:, None])
    if _error(fit) > limit("chart_error_most"):
        return "what is marked as the colour chart does not look like one"
    return fit


def _blocks(pixels: NDArray[np.uint8], step: int) -> tuple[NDArray[np.float32], NDArray[np.uint8]]:
    """Mean linear light and brightest code of each block of the picture.

    Band by band: a large photo in floating point would fill the memory.
    """
    tall, wide = pixels.shape[0] // step, pixels.shape[1] // step
    light = np.empty((tall, wide, 3), dtype=np.float32)
    brightest = np.empty((tall, wide), dtype=np.uint8)
    table = (LINEAR_OF_BYTE / step**2).astype(np.float32)
    for top in range(0, tall, _BAND):
        rows = slice(top, min(top + _BAND, tall))
        cut = pixels[rows.start * step : rows.stop * step, : wide * step]
        shape = (rows.stop - rows.start, step, wide * step)
        for channel in range(3):
            down = table.take(cut[..., channel], mode="clip").reshape(shape).sum(axis=1)
            light[rows, :, channel] = _over(np.add, down, step)
        most = brightest_channel(cut).reshape(shape).max(axis=1)
        brightest[rows] = _over(np.maximum, most, step)
    return light, brightest


def _over(how: np.ufunc, values: NDArray[Any], step: int) -> NDArray[Any]:
    """Each `step` columns taken together."""
    found = values[:, ::step].copy()
    for at in range(1, step):
        how(found, values[:, at::step], out=found)
    return found


def _seen(
    opened: Opened, blocks: NDArray[np.float32], brightest: NDArray[np.uint8], step: int
) -> Blocks:
    """The blocks with their places in the full photo."""
    y, x = np.ogrid[0 : blocks.shape[0], 0 : blocks.shape[1]]
    x = ((x + 0.5) * step - opened.shift[0]) * opened.factor
    y = ((y + 0.5) * step - opened.shift[1]) * opened.factor
    return Blocks(blocks, brightest < limit("clipped_from"), x, y)


def _field(seen: Blocks, request: Request, size: tuple[int, int]) -> Field:
    x, y, free = seen.x, seen.y, seen.free
    if request.grey_card:
        free = free & ~inside(x, y, resized(request.grey_card, limit("card_around")))
    regions = {"the clay round the grid": free & ring(x, y, request)}
    if request.plain_backdrop:
        away = ~inside(x, y, resized(request.corners, limit("backdrop_around")))
        regions["the backdrop"] = free & away
    if request.grey_card:
        on_card = inside(x, y, resized(request.grey_card, limit("card_inside")))
        regions["the grey card"] = seen.free & on_card
    return fit_field(seen.light, x, y, regions, size, limit("even_enough"))


def _ratio(field: Field, request: Request) -> float:
    """Brightest to darkest over the grid's corners, edges and middle."""
    corners = np.asarray(request.corners)
    points = np.concatenate([corners, (corners + np.roll(corners, 1, axis=0)) / 2])
    points = np.concatenate([points, corners.mean(axis=0)[None, :]])
    light = field.at(points[:, 0], points[:, 1])
    return float(light.max() / light.min())
