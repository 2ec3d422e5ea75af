"""A bowed photo is found out and straightened; a straight one is left alone."""

import dataclasses

import numpy as np
import pytest
from clearover.measuring import lens
from clearover.photos.opening import Opened
from PIL import Image

K1 = -0.06


def _bent(opened, corners, k1):
    """The photo as a lens of k1 sees it (by looking each pixel up), and where its corners go."""
    tall, wide = opened.height, opened.width
    pixels = np.asarray(opened.picture)
    y, x = np.mgrid[0:tall, 0:wide] + 0.5
    seen = np.stack([x.ravel(), y.ravel()], axis=1)
    middle, corner2 = np.array([wide, tall]) / 2, (wide**2 + tall**2) / 4
    true = seen
    for _ in range(12):
        away = true - middle
        true = seen - k1 * away * ((away**2).sum(axis=1) / corner2)[:, None]
    column = np.clip(true[:, 0].astype(int), 0, wide - 1)
    row = np.clip(true[:, 1].astype(int), 0, tall - 1)
    picture = Image.fromarray(pixels[row, column].reshape(tall, wide, 3))
    away = np.asarray(corners) - middle
    moved = middle + away * (1 + k1 * (away**2).sum(axis=1) / corner2)[:, None]
    return Opened(picture, wide, tall), tuple(map(tuple, moved.tolist()))


@pytest.fixture(scope="module")
def bent(drawn):
    one = next(d for d in drawn if d.tile.id == "inkwell-night-four-clears")
    opened, corners = _bent(one.opened, one.request.corners, K1)
    return one, opened, dataclasses.replace(one.request, corners=corners)


def test_straight_lenses_are_left_alone(drawn):
    for one in drawn:
        opened, request, note = lens.straightened(one.opened, one.request)
        assert opened is one.opened
        assert request is one.request
        assert note is None


def test_a_barrel_is_found(bent):
    _, opened, request = bent
    assert lens.lens_of(opened, request) == pytest.approx(K1, rel=0.25)


def test_a_barrel_is_taken_out(bent):
    one, opened, request = bent
    _, again, note = lens.straightened(opened, request)
    assert "barrel" in note
    middle = np.array([opened.width, opened.height]) / 2
    bowed = np.abs(np.asarray(request.corners) - np.asarray(one.request.corners)).max()
    left = np.abs(np.asarray(again.corners) - np.asarray(one.request.corners)).max()
    assert left < 0.3 * bowed
    assert np.all(np.abs(np.asarray(again.corners) - middle) < middle)


def test_points_go_there_and_back():
    size = np.array([1600.0, 1200.0])
    corners = ((100.0, 50.0), (1500.0, 60.0), (1490.0, 1150.0), (90.0, 1140.0))
    true = np.asarray(lens._back(corners, K1, size))
    np.testing.assert_allclose(true + K1 * lens._radial(true, size), corners, atol=1e-6)
