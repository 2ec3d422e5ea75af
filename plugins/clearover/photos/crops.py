"""Where each cell of a grid lies in its straight picture.

In: the picture's size, rows, columns, an inset. Out: boxes in px, fractions allowed. Knows nothing
of pixels or files. The picture was straightened before, so the grid is even.
"""

from __future__ import annotations

Box = tuple[float, float, float, float]


def cell_box(
    size: tuple[int, int], rows: int, columns: int, place: tuple[int, int], inset: float
) -> Box:
    """Left, top, right, bottom of the cell at `place` (row, column from 1), px.

    `inset` is the share of the cell's shorter side that is left out at each edge, where the
    neighbour's glaze and a corner marked a little off would show.
    """
    width, height = size[0] / columns, size[1] / rows
    row, column = place
    edge = inset * min(width, height)
    left, top = (column - 1) * width, (row - 1) * height
    return (left + edge, top + edge, left + width - edge, top + height - edge)


def centred(box: Box, ratio: float) -> Box:
    """The largest box of width ÷ height = `ratio` in the middle of `box`: cut, never stretched."""
    left, top, right, bottom = box
    width, height = right - left, bottom - top
    if width > ratio * height:
        spare = (width - ratio * height) / 2
        return (left + spare, top, right - spare, bottom)
    spare = (height - width / ratio) / 2
    return (left, top + spare, right, bottom - spare)
