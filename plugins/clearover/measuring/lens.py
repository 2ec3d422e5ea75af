"""The camera's lens: how far the grid's edges are bowed, and the photo with that taken out.

In: an opened photo and a request. Out: both with straight lines again, and a note; or just as they
came where the edges do not clearly say that the lens bends them. Knows nothing of colours.

Model: one radial term, p' = p + k1 r² p from the photo's middle, r 1 at its corner; D. C. Brown,
Close-range camera calibration, Photogrammetric Engineering 37, 1971.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from ..photos.opening import Opened
from ..photos.straighten import Matrix, apply
from .lattice import Pieces, Square, carry_of
from .lattice_fit import fit, solve
from .limits import limit
from .request import Corners, Request

Floats = NDArray[np.float64]
_PLAN = ((520.0, 0.06, 3), (520.0, 0.04, 3))
_MESH = 24
"""Patches across and down that the photo is bent back in."""


def lens_of(opened: Opened, request: Request) -> float:
    """k1 as the grid's edges say; 0 where they say nothing clear.

    It is believed only where it lessens what is left of the edges by more than chance would (an F
    value with its limit in the table) and moves a corner by more than edges can be off.
    """
    step = max(1, round(max(opened.picture.size) / 1600))
    small = opened.picture.reduce(step)
    corners = np.asarray(opened.inside(request.corners)) / step
    rows, columns = request.rows, request.columns
    try:
        found = fit(small, carry_of(corners, rows, columns), rows, columns, 0.015, _PLAN)
        if found is None or float(found.support.mean()) < limit("lens_least_support"):
            return 0.0
        size = np.asarray(small.size, dtype=float)
        bow = _bow(found.pieces, found.square, found.carry, size)
        plain = solve(found.pieces, found.square, found.gap)
        bent = solve(found.pieces, found.square, found.gap, bow[:, None])
    except (ValueError, np.linalg.LinAlgError):
        return 0.0
    if plain is None or bent is None:
        return 0.0
    k1 = float(bent[0][9])
    both = np.isfinite(plain[4]) & np.isfinite(bent[4])
    scale = max(bent[2], 0.5)
    before, after = (
        float(np.log1p(np.square(one[4][both] / scale)).sum()) for one in (plain, bent)
    )
    value = (before - after) / max(after, 1e-9) * (int(both.sum()) - 10)
    moved = abs(k1) * float(np.ptp(bow)) / (columns * found.square.cell[0])
    if value < limit("lens_least_f") or moved < limit("lens_least_bow"):
        return 0.0
    return k1 if abs(k1) <= limit("lens_most") else 0.0


def _left(rest: Floats) -> float:
    """What is left of the edges, outliers held down (Cauchy's loss)."""
    return float(np.log1p(np.square(rest)).sum())


def _bow(pieces: Pieces, square: Square, carry: Matrix, size: Floats) -> Floats:
    """How far each piece moves across its line for k1 = 1, px of the square view."""
    cells = np.column_stack([pieces.u, pieces.v])
    at = np.asarray(apply(carry, cells), dtype=np.float64)
    tiny = 1e-3
    inverse = np.asarray(np.linalg.inv(carry), dtype=np.float64)
    moved = apply(inverse, at + tiny * _radial(at, size)) - cells
    axis = np.where(pieces.upright, 0, 1)
    return np.asarray(
        moved[np.arange(len(axis)), axis] / tiny * np.asarray(square.cell)[axis], dtype=float
    )


def _radial(points: Floats, size: Floats) -> Floats:
    away = points - size / 2
    return np.asarray(away * (4 * np.square(away).sum(axis=1) / np.square(size).sum())[:, None])


def straightened(opened: Opened, request: Request) -> tuple[Opened, Request, str | None]:
    """The photo and the request with the lens's bow taken out, and what is told of it."""
    k1 = lens_of(opened, request)
    if k1 == 0:
        return opened, request, None
    size = np.asarray((opened.width, opened.height), dtype=float)
    kind = "barrel" if k1 < 0 else "pincushion"
    note = (
        f"the lens bows straight lines ({kind}, k1 = {k1:.3f} at the photo's corner, from the "
        "grid's edges); it is taken out"
    )

    def back(corners: Corners | None) -> Corners | None:
        return None if corners is None else _back(corners, k1, size)

    request = replace(
        request,
        corners=_back(request.corners, k1, size),
        grey_card=back(request.grey_card),
        chart=back(request.chart),
    )
    return replace(opened, picture=_unbent(opened.picture, k1)), request, note


def _back(corners: Corners, k1: float, size: Floats) -> Corners:
    seen = np.asarray(corners, dtype=float)
    true = seen.copy()
    for _ in range(20):
        true = seen - k1 * _radial(true, size)
    return tuple((float(x), float(y)) for x, y in true)


def _unbent(picture: Image.Image, k1: float) -> Image.Image:
    """Each patch of the new picture from where the lens put it."""
    wide, tall = picture.size
    xs = np.rint(np.linspace(0, wide, _MESH + 1)).astype(int)
    ys = np.rint(np.linspace(0, tall, _MESH + 1)).astype(int)
    size = np.asarray((wide, tall), dtype=float)
    nodes = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2).astype(float)
    bent = (nodes + k1 * _radial(nodes, size)).reshape(_MESH + 1, _MESH + 1, 2)
    mesh = []
    for j in range(_MESH):
        for i in range(_MESH):
            box = (int(xs[i]), int(ys[j]), int(xs[i + 1]), int(ys[j + 1]))
            ring = (bent[j, i], bent[j + 1, i], bent[j + 1, i + 1], bent[j, i + 1])
            mesh.append((box, tuple(float(v) for at in ring for v in at)))
    return picture.transform(
        picture.size, Image.Transform.MESH, mesh, resample=Image.Resampling.BICUBIC
    )
