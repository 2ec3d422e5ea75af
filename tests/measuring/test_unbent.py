"""A curved tile's bowed lines bent straight, and its corners found where they lie in the photo."""

from pathlib import Path

import numpy as np
import pytest
from clearover.catalogue import read
from clearover.measuring.lattice import carry_of
from clearover.measuring.suggesting import suggest_corners
from clearover.measuring.unbent import Bow, unbent
from PIL import Image, ImageDraw

COMBOS = Path(__file__).resolve().parents[2] / "combos"
RING = np.array([(80, 60), (520, 90), (500, 380), (70, 350)], dtype=float)


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("depth", [0.1, -0.06])
def test_a_bowed_line_becomes_straight(upright, depth):
    """The middle line, from the middle of one side to that of the other, drawn bowed."""
    bow = Bow(carry_of(RING, 2, 2), 2, 2, upright, depth)
    sides = (RING[[0, 1]], RING[[3, 2]]) if upright else (RING[[0, 3]], RING[[1, 2]])
    straight = np.linspace(*(_middle_of(side, bow) for side in sides), 60)
    drawn = Image.new("L", (600, 450))
    ImageDraw.Draw(drawn).line([tuple(at) for at in bow.before(straight)], fill=255, width=5)
    y, x = np.nonzero(np.asarray(unbent(drawn, bow)) > 128)
    start, stop = straight[0], straight[-1]
    along = (stop - start) / np.hypot(*(stop - start))
    off = (x - start[0]) * along[1] - (y - start[1]) * along[0]
    assert len(off) > 900
    assert np.abs(off).max() < 4.5  # half the line's width and a px or two
    y, x = np.nonzero(np.asarray(drawn) > 128)
    assert np.abs((x - start[0]) * along[1] - (y - start[1]) * along[0]).max() > 10


def _middle_of(side, bow):
    """Of a side that does not bow: its middle, seen in perspective."""
    back = np.linalg.inv(bow.carry)
    ends = np.column_stack([side, np.ones(2)]) @ back.T
    middle = np.r_[(ends[:, :2] / ends[:, 2:]).mean(axis=0), 1] @ bow.carry.T
    return middle[:2] / middle[2]


def test_corners_do_not_move():
    for upright in (False, True):
        bow = Bow(carry_of(RING, 2, 3), 2, 3, upright, 0.1)
        assert np.allclose(bow.before(RING), RING, atol=1e-6)


def test_the_corners_of_a_curved_tile_are_found():
    """The demo's cup: where its lines were taken for straight the corners were 2 to 5 % off."""
    catalogue = read(COMBOS)
    tile = catalogue.tiles["cup-side-greens"]
    assert tile.shape == "curved"
    _, found = suggest_corners(catalogue, tile)
    true = np.asarray(tile.measured_photo.corners)
    off = np.hypot(*(np.asarray(found.corners) - true).T).max() / np.hypot(*(true[1] - true[0]))
    assert off < 0.006, off  # the record's corners are whole px
    assert found.confidence == "doubtful"
    assert "curved" in found.reason
