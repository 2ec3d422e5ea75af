"""Painted lines left out of a made-up photo: the strokes go, the cells' faint edges stay."""

from types import SimpleNamespace

import numpy as np
import pytest
from clearover.measuring.find_corners import find_corners
from clearover.measuring.suggesting import mostly_lines
from clearover.measuring.unpainted import unpainted
from clearover.photos.opening import Opened
from PIL import Image, ImageDraw

ROWS, COLUMNS, WIDE, TALL, LEFT, TOP = 3, 4, 200, 120, 300, 250
SIZE = 2 * LEFT + COLUMNS * WIDE, 2 * TOP + ROWS * TALL
RING = np.array([(0, 0), (COLUMNS, 0), (COLUMNS, ROWS), (0, ROWS)]) * (WIDE, TALL) + (LEFT, TOP)
CLAY, RIDGE, LINE = (214, 205, 190), (220, 211, 196), (40, 44, 60)


@pytest.fixture(scope="module")
def picture():
    """A pale tile on a brown table: faint ridges where cells end, a broad dark line in each."""
    drawn = Image.new("RGB", SIZE, (110, 85, 60))
    pen = ImageDraw.Draw(drawn)
    pen.rectangle((LEFT - 80, TOP - 80, SIZE[0] - LEFT + 80, SIZE[1] - TOP + 120), fill=CLAY)
    for row in range(ROWS):
        for column in range(COLUMNS):
            x, y = LEFT + column * WIDE, TOP + row * TALL
            pen.rectangle((x + 2, y + 2, x + WIDE - 3, y + TALL - 3), outline=RIDGE, width=3)
            stroke = (x + 10, y + 54, x + WIDE - 10, y + 57)
            pen.line(stroke, fill=LINE, width=30 if row == 2 else 24)
    noise = np.random.default_rng(11).normal(0, 3, (SIZE[1], SIZE[0], 3))
    return Image.fromarray(np.clip(np.asarray(drawn) + noise, 0, 255).astype(np.uint8))


def test_strokes_go_and_ridges_stay(picture):
    seen = np.asarray(unpainted(picture), dtype=float)
    inside = seen[TOP - 40 : SIZE[1] - TOP + 40, LEFT - 40 : SIZE[0] - LEFT + 40]
    assert inside.min() > 150  # of the strokes the brightest channel was 60
    rows = slice(TOP + 10, TOP + 35)
    ridge, beside = seen[rows, LEFT + 2 : LEFT + 5], seen[rows, LEFT + 12 : LEFT + 30]
    assert ridge.mean() - beside.mean() > 4  # drawn with 6


@pytest.mark.parametrize(("lines", "most"), [(True, 0.005), (False, 1.0)])
def test_the_corners_of_a_line_tile_are_found(picture, lines, most):
    """Where nobody says that lines are painted, their ends are taken for cells: so it helps."""
    opened = Opened(picture, *picture.size)
    ratio = COLUMNS * WIDE / (ROWS * TALL)
    seen = find_corners(opened, ROWS, COLUMNS, ratio, lines=lines)
    off = np.abs(np.asarray(seen.corners) - RING).max() / (COLUMNS * WIDE)
    assert off < most
    assert lines or off > 0.01


@pytest.mark.parametrize(
    ("lines", "others", "told"), [(4, 4, False), (5, 3, True), (0, 6, False), (6, 0, True)]
)
def test_lines_are_left_out_where_most_cells_are_lines(lines, others, told):
    """Painted cells beside a few lines would be taken for strokes."""
    line = SimpleNamespace(where={"line": "across", "underglaze": "a"})
    wide = SimpleNamespace(where={"line width mm": 2})
    other = SimpleNamespace(where={"underglaze": "a"})
    cells = [line] * (lines // 2) + [wide] * (lines - lines // 2) + [other] * others
    assert mostly_lines(SimpleNamespace(cells=cells)) is told
