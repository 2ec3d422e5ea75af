"""A rectangle seen by a pinhole camera is known as one, and told from a wrong one."""

import math

import numpy as np
import pytest
from clearover.measuring.pinhole import unlike

SIZE = (1600, 1200)
ROWS, COLUMNS, WIDE, TALL = 3, 4, 112.0, 72.0


def seen(tilt, turn, mm=26.0, middle=(800.0, 600.0)):
    """From cells to px: a phone of this focal length (of a 36 × 24 mm frame) over a tilted tile."""
    focal = mm * math.hypot(*SIZE) / math.hypot(36, 24)
    a, b = math.radians(tilt), math.radians(turn)
    lean = np.array([[1, 0, 0], [0, math.cos(a), -math.sin(a)], [0, math.sin(a), math.cos(a)]])
    spin = np.array([[math.cos(b), -math.sin(b), 0], [math.sin(b), math.cos(b), 0], [0, 0, 1]])
    pose = spin @ lean
    plane = np.column_stack([pose[:, 0], pose[:, 1], [-50.0, -30.0, 180.0]])
    lens = np.array([[focal, 0, middle[0]], [0, focal, middle[1]], [0, 0, 1]])
    return lens @ plane @ np.diag([WIDE / COLUMNS, TALL / ROWS, 1])


@pytest.mark.parametrize("tilt", [0, 8, 25])
@pytest.mark.parametrize("turn", [0, 4, 90])
@pytest.mark.parametrize("mm", [24, 70])
def test_a_rectangle_is_like_itself(tilt, turn, mm):
    off = unlike(seen(tilt, turn, mm), ROWS, COLUMNS, WIDE / TALL, SIZE)
    assert np.allclose(off, 0, atol=1e-9)


@pytest.mark.parametrize("tilt", [0, 8])
def test_another_width_shows_as_such(tilt):
    lean, stretch = unlike(seen(tilt, 3), ROWS, COLUMNS, 1.1 * WIDE / TALL, SIZE)
    assert abs(stretch) > 0.03 and abs(lean) < 0.03
    assert stretch < 0  # narrower than stated


def test_a_leaning_grid_shows_as_such():
    leaning = seen(0, 0) @ np.array([[1, 0.1, 0], [0, 1, 0], [0, 0, 1]])
    assert abs(unlike(leaning, ROWS, COLUMNS, WIDE / TALL, SIZE)[0]) > 0.05


def test_a_photo_cut_to_one_side_is_still_like():
    off = unlike(seen(12, 3, middle=(880.0, 560.0)), ROWS, COLUMNS, WIDE / TALL, SIZE)
    assert math.hypot(*off) < 0.03
