"""Where a tile may lie in a photo: quadrangles round what does not look like the backdrop.

In: pixels of a small picture. Out: quadrangles, the largest first. Knows nothing of grids: a grey
card is as good a quadrangle here as a tile.
"""

from __future__ import annotations

from math import dist

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter

from .limits import limit

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
Quad = list[tuple[float, float]]
_ROUNDS = 6
_DARK = 0.02
"""Added before a logarithm is taken, of white: below it is noise."""


def outlines(small: Image.Image, most: int = 3) -> list[Quad]:
    """Quadrangles in px of `small`, clockwise from the upper left; none where nothing stands out.

    The backdrop is what the photo's border shows, its light a smooth curve. A thing is what differs
    from it; several thresholds are tried, for paper is even and wood is not.
    """
    odd = strangeness(np.asarray(small, dtype=np.float64))
    found: list[Quad] = []
    for times in (1.0, 2.0, 4.0):
        mask = _opened(odd > times * limit("backdrop_odd"))
        for part in _parts(mask, limit("outline_least_share") * mask.size)[:2]:
            quad = quadrangle(part)
            if quad is not None and not any(_alike(quad, other) for other in found):
                found.append(quad)
    return sorted(found, key=_area, reverse=True)[:most]


def strangeness(pixels: Floats) -> Floats:
    """How far each pixel is from the backdrop, in robust standard deviations of the backdrop."""
    logs = np.log(np.square(pixels / 255) + _DARK)
    parts = np.stack(
        [logs.mean(axis=2), logs[..., 0] - logs[..., 1], logs[..., 2] - logs[..., :2].mean(axis=2)],
        axis=2,
    )
    tall, wide = parts.shape[:2]
    y, x = np.mgrid[-1 : 1 : tall * 1j, -1 : 1 : wide * 1j]
    terms = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)
    border = np.ones((tall, wide), dtype=bool)
    edge = max(3, round(limit("backdrop_border") * max(tall, wide)))
    border[edge:-edge, edge:-edge] = False
    total = np.zeros((tall, wide))
    for part, floor, columns in zip(range(3), (0.06, 0.03, 0.03), (6, 3, 3), strict=True):
        rest, spread = _rest(parts[..., part], terms[..., :columns], border)
        total += np.square(rest / max(spread, floor))
    return np.asarray(np.sqrt(total))


def _rest(values: Floats, terms: Floats, border: Mask) -> tuple[Floats, float]:
    """What a smooth curve through the border leaves everywhere, and its spread on the border."""
    a, b = terms[border], values[border]
    weight = np.ones_like(b)
    spread = 1.0
    for _ in range(_ROUNDS):
        scaled = a * weight[:, None]
        fit = np.linalg.solve(scaled.T @ a + 1e-9 * np.eye(a.shape[1]), scaled.T @ b)
        off = b - a @ fit
        spread = 1.4826 * float(np.median(np.abs(off))) + 1e-6
        weight = 1 / (1 + np.square(off / (2 * spread)))
    return values - terms @ fit, spread


def _opened(mask: Mask) -> Mask:
    """Without specks: what is thinner than three pixels goes, holes that small are filled."""
    picture = Image.fromarray(mask.astype(np.uint8) * 255)
    picture = picture.filter(ImageFilter.MaxFilter(3)).filter(ImageFilter.MinFilter(5))
    return np.asarray(picture.filter(ImageFilter.MaxFilter(3))) > 127


def _parts(mask: Mask, least: float) -> list[Floats]:
    """Connected parts of at least so many pixels, largest first, each as its runs' ends (x, y)."""
    runs = _runs(mask)
    owner = list(range(len(runs)))

    def root(index: int) -> int:
        while owner[index] != index:
            owner[index] = owner[owner[index]]
            index = owner[index]
        return index

    above: list[int] = []
    here: list[int] = []
    last = -1
    for index, (row, start, stop) in enumerate(runs):
        if row != last:
            above, here, last = (here if row == last + 1 else []), [], row
        for other in above:
            if runs[other][1] < stop and start < runs[other][2]:
                owner[root(index)] = root(other)
        here.append(index)
    groups: dict[int, list[tuple[int, int, int]]] = {}
    for index, run in enumerate(runs):
        groups.setdefault(root(index), []).append(run)
    sizes = {key: sum(stop - start for _, start, stop in group) for key, group in groups.items()}
    large = sorted((key for key in groups if sizes[key] >= least), key=lambda k: -sizes[k])
    return [_ends(groups[key]) for key in large]


def _runs(mask: Mask) -> list[tuple[int, int, int]]:
    """Row, start and stop of each stretch of a row that is set."""
    padded = np.zeros((mask.shape[0], mask.shape[1] + 2), dtype=np.int8)
    padded[:, 1:-1] = mask
    step = np.diff(padded, axis=1)
    rows, starts = np.nonzero(step == 1)
    _, stops = np.nonzero(step == -1)
    return list(zip(rows.tolist(), starts.tolist(), stops.tolist(), strict=True))


def _ends(runs: list[tuple[int, int, int]]) -> Floats:
    points = [(x, y + dy) for y, start, stop in runs for x in (start, stop) for dy in (0, 1)]
    return np.asarray(points, dtype=float)


def quadrangle(points: Floats) -> Quad | None:
    """The quadrangle round points: their hull, its sides dropped one by one, least added area
    first."""
    hull = _hull(points)
    while len(hull) > 4:
        best: tuple[float, int, tuple[float, float]] | None = None
        for at in range(len(hull)):
            a, b, c, d = (hull[(at + k) % len(hull)] for k in range(4))
            meet = _meeting(a, b, c, d)
            if meet is None:
                continue
            added = abs((c[0] - b[0]) * (meet[1] - b[1]) - (c[1] - b[1]) * (meet[0] - b[0]))
            if best is None or added < best[0]:
                best = (added, at, meet)
        if best is None:
            return None
        _, at, meet = best
        hull[(at + 1) % len(hull)] = meet
        del hull[(at + 2) % len(hull)]
    return ordered(hull) if len(hull) == 4 else None


def _hull(points: Floats) -> Quad:
    """Andrew's monotone chain, clockwise on the screen."""
    unique = sorted({(float(x), float(y)) for x, y in points})
    halves = []
    for walk in (unique, unique[::-1]):
        chain: Quad = []
        for x, y in walk:
            while len(chain) > 1:
                (ax, ay), (bx, by) = chain[-2:]
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 1e-6:
                    break
                chain.pop()
            chain.append((x, y))
        halves.append(chain[:-1])
    return halves[0] + halves[1]


def _meeting(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> tuple[float, float] | None:
    """Where the side a to b, run on, meets the side d to c run on; None where it never does."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], c[0] - d[0], c[1] - d[1]
    cross = ux * vy - uy * vx
    if abs(cross) < 1e-9:
        return None
    along = ((d[0] - a[0]) * vy - (d[1] - a[1]) * vx) / cross
    back = ((d[0] - a[0]) * uy - (d[1] - a[1]) * ux) / cross
    if along < 1 or back < 1:
        return None
    return a[0] + along * ux, a[1] + along * uy


def ordered(quad: Quad) -> Quad:
    """Clockwise on the screen, from the corner nearest to the upper left."""
    points = np.asarray(quad)
    middle = points.mean(axis=0)
    turn = np.arctan2(points[:, 1] - middle[1], points[:, 0] - middle[0])
    ring = [quad[int(k)] for k in np.argsort(turn)]
    first = min(range(4), key=lambda k: ring[k][0] + ring[k][1])
    return ring[first:] + ring[:first]


def _area(quad: Quad) -> float:
    total = 0.0
    for (ax, ay), (bx, by) in zip(quad, [*quad[1:], quad[0]], strict=True):
        total += ax * by - ay * bx
    return abs(total) / 2


def _alike(one: Quad, other: Quad) -> bool:
    size = np.sqrt(_area(one)) + 1e-9
    return bool(max(dist(a, b) for a, b in zip(one, other, strict=True)) < 0.02 * size)
