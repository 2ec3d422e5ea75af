"""The camera's lens: how far the grid's edges are bowed, and the photo with that taken out.

In: an opened photo and a request. Out: both with straight lines again, and a note; or just as they
came where the edges do not clearly say that the lens bends them. Knows nothing of colours.

Model: one radial term, p' = p + k1 r² p from the photo's middle, r 1 at its corner; D. C. Brown,
Close-range camera calibration, Photogrammetric Engineering 37, 1971.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from ..photos.opening import Opened
from ..photos.straighten import Matrix, apply
from .lattice import Pieces, Square, both, carry_of
from .lattice_fit import fit, solve
from .limits import limit
from .request import Corners, Request
from .rough import Rough, rough_of

Floats = NDArray[np.float64]
_PLAN = ((520.0, 0.06, 3), (520.0, 0.04, 3))
_GAP = 0.015
"""Half the free strip between two cells, of a cell's shorter side, to begin with."""
_WORTH_BOW, _WORTH_F, _NEARLY_ALL = 0.5, 0.15, 0.9
"""What it takes, seen roughly, to look closer: a bow and an F value of so much of the limits that
they are believed from, or fewer edges than that where straight lines have them. Chosen on 18 photos
of the demo studio, bent by nine lenses each; on 15 others, by five lenses each, the rough look
missed none of 27 bows, and sent 5 of 15 straight photos on."""
_THROUGH = 1.5
"""Px of the square view: so near a line goes through an edge."""
_MESH = 24
"""Patches across and down that the photo is bent back in."""


def lens_of(opened: Opened, request: Request, rough: Rough | None = None) -> float:
    """k1 as the grid's edges say; 0 where they say nothing clear. `rough` is the grid where it was
    seen already.

    It is believed only where it lessens what is left of the edges by more than chance would (an F
    value with its limit in the table) and moves a corner by more than edges can be off.
    """
    rows, columns = request.rows, request.columns
    try:
        if _seems_straight(rough or rough_of(opened, request)):
            return 0.0
        step = max(1, round(max(opened.picture.size) / 1600))
        small = opened.picture if step == 1 else opened.picture.reduce(step)
        corners = np.asarray(opened.inside(request.corners)) / step
        found = fit(small, carry_of(corners, rows, columns), rows, columns, _GAP, _PLAN)
        if found is None or float(found.support.mean()) < limit("lens_least_support"):
            return 0.0
        size = np.asarray(small.size, dtype=float)
        bow = _bow(found.pieces, found.square, found.carry, size)
        bent = _bent(found.pieces, found.square, found.gap, bow, fine=True)
    except (ValueError, np.linalg.LinAlgError):
        return 0.0
    if bent is None or bent.value < limit("lens_least_f") or bent.moved < limit("lens_least_bow"):
        return 0.0
    return bent.k1 if abs(bent.k1) <= limit("lens_most") else 0.0


def _seems_straight(rough: Rough) -> bool:
    """Whether a rough look leaves so little room for a bow that a closer one is not worth its time.

    Edges that a strong bow takes out of sight make the rough fit worthless: nearly all must be seen
    where straight lines have them.
    """
    square = rough.square
    short = min(square.cell)
    pieces = both(*rough.steps, square, _GAP * short, max(2.0, _PLAN[0][1] * short))
    bow = _bow(pieces, square, rough.carry, np.asarray(rough.picture.size, dtype=float))
    bent = _bent(pieces, square, _GAP * short, bow, fine=False)
    if bent is None:
        return True
    if bent.straight < _NEARLY_ALL:
        return False
    return bent.moved < _WORTH_BOW * limit("lens_least_bow") or (
        bent.value < _WORTH_F * limit("lens_least_f")
    )


@dataclass(frozen=True, slots=True)
class _Bent:
    """A grid fitted with a bowed lens: k1, the F value of it, and how far it moves the edges, of
    the grid's width; `straight` is the share of edges that the grid fitted without it goes
    through."""

    k1: float
    value: float
    moved: float
    straight: float


def _bent(pieces: Pieces, square: Square, gap: float, bow: Floats, *, fine: bool) -> _Bent | None:
    plain = solve(pieces, square, gap, fine=fine)
    bent = solve(pieces, square, gap, bow[:, None], fine=fine)
    if plain is None or bent is None:
        return None
    k1 = float(bent[0][9])
    seen = np.isfinite(plain[4]) & np.isfinite(bent[4])
    scale = max(bent[2], 0.5)
    before, after = (_left(one[4][seen] / scale) for one in (plain, bent))
    value = (before - after) / max(after, 1e-9) * (int(seen.sum()) - 10)
    moved = abs(k1) * float(np.ptp(bow)) / (square.columns * square.cell[0])
    return _Bent(k1, value, moved, float((np.abs(plain[4]) < _THROUGH).mean()))


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


def straightened(
    opened: Opened, request: Request, rough: Rough | None = None
) -> tuple[Opened, Request, str | None]:
    """The photo and the request with the lens's bow taken out, and what is told of it."""
    k1 = lens_of(opened, request, rough)
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
