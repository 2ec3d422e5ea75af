"""Crops and grids: the window of a cell, and lines that follow the perspective."""

from __future__ import annotations

import pytest
from clearover.pages.pictures import crop, grid_path, perspective, through
from hypothesis import assume, given
from hypothesis import strategies as st

SQUARE = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
jitter = st.floats(-0.2, 0.2)


@given(st.lists(st.tuples(jitter, jitter), min_size=4, max_size=4))
def test_corners_go_to_corners(moves: list[tuple[float, float]]) -> None:
    corners = [(x + dx, y + dy) for (x, y), (dx, dy) in zip(SQUARE, moves, strict=True)]
    matrix = perspective(corners)
    assume(matrix is not None)
    assert matrix is not None
    for place, corner in zip(SQUARE, corners, strict=True):
        assert through(matrix, place) == pytest.approx(corner, abs=1e-9)


def test_a_point_is_where_diagonals_cross() -> None:
    corners = ((0.1, 0.1), (0.9, 0.12), (0.95, 0.8), (0.05, 0.78))
    matrix = perspective(corners)
    assert matrix is not None
    x, y = through(matrix, (0.5, 0.5))
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    # a projective map keeps lines, so the middle lies on both diagonals
    assert (x - x0) * (y2 - y0) == pytest.approx((y - y0) * (x2 - x0))
    assert (x - x1) * (y3 - y1) == pytest.approx((y - y1) * (x3 - x1))


def test_grid_of_a_square_picture() -> None:
    path = grid_path(SQUARE, rows=1, columns=2, width=200, height=100)
    assert path == "M0 0L200 0M0 100L200 100M0 0L0 100M100 0L100 100M200 0L200 100"


def test_corners_on_one_line_draw_nothing() -> None:
    assert grid_path(((0, 0), (0.5, 0.5), (1, 1), (0.2, 0.2)), 2, 2, 10, 10) == ""


def test_crop_is_the_cell_s_own_window(photos) -> None:
    found = crop(photos["hedge-bottom-clears"], 2, 3, "words", "../")
    assert found is not None
    assert (found.x, found.y, found.w, found.h) == (240, 96, 120, 96)
    assert (found.width, found.height) == (360, 192)
    assert found.href == "../assets/photos/a-sprite.jpg"


def test_no_picture_no_crop(photos) -> None:
    assert crop(None, 1, 1, "", "../") is None
    assert crop(photos["hedge-bottom-clears"], 3, 1, "", "../") is None
