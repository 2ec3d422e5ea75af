"""A line of many points as one of few that looks the same. Knows no firing.

In: points in order of their first value. Out: some of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heappop, heappush
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

Point = tuple[float, float]

TOLERANCE_C = 0.9
"""How far the drawn line may lie from the readings, °C."""
MOST_POINTS = 110
"""A restless log is drawn coarser, so that the drawing stays small."""


def simplified(points: Sequence[Point], tolerance: float = TOLERANCE_C) -> list[Point]:
    """Fewer points, none of those left out farther than the tolerance, °C, from the line.

    D. H. Douglas and T. K. Peucker, 1973, "Algorithms for the reduction of the number of points
    required to represent a digitized line", Cartographica 10, 112 (from memory), with the distance
    taken straight up and down, and the worst point first: at most `MOST_POINTS` are kept, so a
    restless log is drawn somewhat coarser.
    """
    import numpy as np

    table = np.asarray(points, dtype=np.float64)
    keep = {0, len(points) - 1}
    todo = [_worst(table, 0, len(points) - 1)]
    while todo and len(keep) < MOST_POINTS:
        off, at, first, last = heappop(todo)
        if -off <= tolerance:
            break
        keep.add(at)
        heappush(todo, _worst(table, first, at))
        heappush(todo, _worst(table, at, last))
    return [points[i] for i in sorted(keep)]


def _worst(table: Floats, first: int, last: int) -> tuple[float, int, int, int]:
    """The point between two that lies farthest from their line: (-distance, its place, both)."""
    import numpy as np

    if last - first < 2:
        return 0.0, first, first, last
    (hour, t), (later, u) = table[first], table[last]
    slope = (u - t) / (later - hour) if later > hour else 0.0
    inner = table[first + 1 : last]
    off = np.abs(inner[:, 1] - t - slope * (inner[:, 0] - hour))
    at = int(off.argmax())
    return -float(off[at]), first + 1 + at, first, last
