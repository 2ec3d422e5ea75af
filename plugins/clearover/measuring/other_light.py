"""Whether the grey card (or chart) lies in the light of the tile: a photo's blocks in, a doubt out.

Everything is reckoned from the card, so a shadow on it makes every cell too pale, and one on the
tile too dark. What tells: a shadow's edge across the card; the ground round the card against the
ground on the tile's far side, its brightness and its tint (a shadow beside a window is bluer); and
bare clay whiter than anything is. Knows nothing of cells or of other photos; `clays` compares with
those.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..photos.straighten import Point, apply, homography
from .light import LUMA, Field
from .limits import limit
from .regions import inside, resized
from .request import Request

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
ANOTHER = "the {} lies in another light than the tile"
ROBUST = 1.4826
"""A normal distribution's standard deviation by its median deviation from the median."""
_DARKEST = 1e-5
"""Linear light: nothing in a photo is darker, and its logarithm is finite."""


@dataclass(frozen=True, slots=True)
class Blocks:
    """A photo in blocks: linear RGB, which are not clipped, their centres in px of the photo (a row
    of x, a column of y)."""

    light: NDArray[np.float32]
    free: Mask
    x: Floats
    y: Floats

    def thinned(self, by: int) -> Blocks:
        """Every so manieth block: enough to tell a median."""
        few = slice(None, None, by)
        return Blocks(self.light[few, few], self.free[few, few], self.x[:, few], self.y[few])

    def at(self, mask: Mask) -> Blocks:
        """The blocks of a mask alone, in a row."""
        x, y = (np.broadcast_to(one, mask.shape)[mask] for one in (self.x, self.y))
        return Blocks(self.light[mask], self.free[mask], x, y)


def doubt_of(blocks: Blocks, field: Field, request: Request, by: str) -> str | None:
    """What speaks against the light on what the photo was balanced by; None where nothing does.

    `by` is `card` or `chart`. `field` is the light over the photo as it was evened by.
    """
    lies = request.grey_card if by == "card" else request.chart
    if lies is None:
        return None
    why = _across(blocks, field, lies) if by == "card" else None
    why = why or _round_it(blocks.thinned(2), field, request, lies)
    return f"{ANOTHER.format(by)}: {why}" if why else None


def too_white(lightest: float, by: str, what: str) -> str | None:
    """The same from a lightness (L*) that nothing has: of `bare clay` or `cells`."""
    if lightest <= limit(f"{what.split()[-1]}_lightest"):
        return None
    return f"{ANOTHER.format(by)}: by it {what} would be lighter than paper (L* {lightest:.0f})"


def _across(blocks: Blocks, field: Field, card: Sequence[Point]) -> str | None:
    """A step, or a slope that the light over the photo does not have, on the card itself."""
    on = blocks.at(blocks.free & inside(blocks.x, blocks.y, resized(card, limit("card_looked_at"))))
    parts = int(limit("card_parts"))
    carry = homography(card, [(0, 0), (parts, 0), (parts, parts), (0, parts)])
    at = apply(carry, np.stack([on.x, on.y], axis=1))
    column, row = np.clip(np.floor(at), 0, parts - 1).astype(int).T
    logs, part = _logs(on, field), row * parts + column
    found = [
        (one // parts, one % parts, float(np.median(logs[part == one])))
        for one in range(parts**2)
        if (part == one).sum() >= limit("card_part_blocks")
    ]
    if len(found) < parts**2 // 2:
        return None
    rows, columns, light = np.array(found).T
    terms = np.stack([np.ones_like(rows), rows, columns], axis=1)
    bent = light - terms @ np.linalg.lstsq(terms, light, rcond=None)[0]
    if float(np.abs(bent).max()) > limit("card_bent_most") or float(np.ptp(light)) > limit(
        "card_slope_most"
    ):
        return f"parts of it are {np.exp(np.ptp(light)):.1f} times as light as others"
    return None


def _round_it(blocks: Blocks, field: Field, request: Request, lies: Sequence[Point]) -> str | None:
    """The ground round the card against the ground beyond the tile, seen from the card."""
    x, y = blocks.x, blocks.y
    tile = np.asarray(request.corners).mean(axis=0)
    way = np.asarray(lies).mean(axis=0) - tile
    far_side = (x - tile[0]) * way[0] + (y - tile[1]) * way[1] < 0
    rim = limit("backdrop_border") * max(field.width, field.height)
    border = (x < rim) | (y < rim) | (x > field.width - rim) | (y > field.height - rim)
    border &= ~inside(x, y, resized(request.corners, limit("grid_margin")))
    clear = ~inside(x, y, resized(request.corners, limit("backdrop_around")))
    ground = blocks.free.copy()
    for corners in (request.grey_card, request.chart):
        if corners is not None:
            ground &= ~inside(x, y, resized(corners, limit("card_shadow")))
    round_it = ground & clear & inside(x, y, resized(lies, limit("card_ring")))
    beyond = ground & far_side & (clear | border)
    beyond &= ~inside(x, y, resized(lies, limit("card_ring")))
    if min(round_it.sum(), beyond.sum()) < limit("ground_blocks"):
        return None
    logs = _logs(blocks, field)
    tints = _tints(blocks)
    brighter, scatter = _apart(logs, round_it, beyond)
    warmer, tint_scatter = _apart(tints, round_it, beyond)
    plain = request.plain_backdrop
    least = max(
        limit("ground_step" if plain else "ground_step_unstated"),
        limit("ground_scatters") * scatter,
    )
    tinted = abs(warmer) > max(limit("ground_tint"), limit("ground_scatters") * tint_scatter)
    if abs(brighter) <= least and not (tinted and (plain or brighter < -limit("ground_step"))):
        return None
    words = [f"{np.exp(abs(brighter)):.1f} times {'lighter' if brighter > 0 else 'darker'}"]
    words = words if abs(brighter) > limit("ground_step") else []
    words += [("warmer" if warmer > 0 else "bluer") + " in light"] if tinted else []
    return f"the ground round it is {' and '.join(words)} than beyond the tile"


def _logs(blocks: Blocks, field: Field) -> Floats:
    """The logarithm of light, evened."""
    light = np.log(blocks.light.astype(np.float64) @ LUMA + _DARKEST)
    return np.asarray(light - np.log(field.at(blocks.x, blocks.y)))


def _tints(blocks: Blocks) -> Floats:
    """The logarithm of red by blue."""
    light = np.maximum(blocks.light.astype(np.float64), _DARKEST)
    return np.asarray(np.log(light[..., 0] / light[..., 2]))


def _apart(values: Floats, here: Mask, there: Mask) -> tuple[float, float]:
    """How much higher the median is here than there, and the robust deviation there."""
    base = float(np.median(values[there]))
    scatter = ROBUST * float(np.median(np.abs(values[there] - base)))
    return float(np.median(values[here])) - base, scatter
