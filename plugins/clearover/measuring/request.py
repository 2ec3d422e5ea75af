"""What is asked of one photo: plain values from its record, so that a worker process can have them.

Knows nothing of pixels.
"""

from __future__ import annotations

from dataclasses import dataclass

Corners = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class CellRequest:
    """One cell of the grid. `line` says that a line is painted on it, `line_mm` how wide if the
    record says; `bare` that it has no clear. `where` holds every factor the record states for it,
    by name in order, as text."""

    row: int
    column: int
    line: bool = False
    line_mm: float | None = None
    bare: bool = False
    where: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Request:
    """One photo and its grid. Corners in px of the full upright photo, clockwise from the tile's
    own top left. `lower` is the edge of the grid that was down in the kiln, None where nobody said;
    `upright` False where the tile lay flat; `shape` as the record says: flat, curved, textured."""

    tile: str
    photo: str
    rows: int
    columns: int
    corners: Corners
    cells: tuple[CellRequest, ...]
    width_mm: float | None = None
    height_mm: float | None = None
    grey_card: Corners | None = None
    reflectance: float = 0.18
    reflectance_assumed: bool = True
    chart: Corners | None = None
    plain_backdrop: bool = False
    lower: str | None = None
    upright: bool = True
    shape: str | None = None
