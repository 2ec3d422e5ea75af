"""Doubts are told in plain words, and only where there is one."""

import dataclasses

import numpy as np
import pytest
from clearover.measuring.doubts import doubts
from clearover.measuring.measure import measure
from clearover.measuring.rough import evidence, may_reach, rough_of
from clearover.photos.opening import Opened
from PIL import Image, ImageDraw


def _with(one, **changes):
    return doubts(one.opened, dataclasses.replace(one.request, **changes))


def test_no_doubt_about_photos_of_the_right_tile(drawn):
    assert [doubts(one.opened, one.request) for one in drawn] == [()] * len(drawn)


def test_another_tiles_corners_are_doubted(drawn):
    for one, other in zip(drawn, [*drawn[1:], drawn[0]], strict=True):
        away = dataclasses.replace(
            one.request, corners=other.request.corners, width_mm=None, height_mm=None
        )
        found = doubts(one.opened, away)
        assert len(found) == 1, one.tile.id
        assert "corners" in found[0]


def test_a_quarter_turn_is_told(drawn):
    told = 0
    for one in drawn:
        if one.request.rows == one.request.columns:
            continue
        corners = one.request.corners
        found = _with(one, corners=corners[1:] + corners[:1], width_mm=None, height_mm=None)
        assert any("quarter turn" in note for note in found), one.tile.id
        told += 1
    assert told > 2


def test_swapped_width_and_height_are_told(drawn):
    one = next(d for d in drawn if d.request.width_mm > 1.4 * d.request.height_mm)
    found = _with(one, width_mm=one.request.height_mm, height_mm=one.request.width_mm)
    assert any("swapped" in note for note in found)


@pytest.mark.parametrize(("code", "word"), [(0, "black"), (255, "white"), (120, "corners")])
def test_a_photo_that_shows_nothing(drawn, code, word):
    one = drawn[0]
    size = one.opened.picture.size
    empty = Opened(Image.new("RGB", size, (code,) * 3), *size)
    assert any(word in note for note in doubts(empty, one.request))


def test_noise_bears_no_grid_out(drawn):
    one = drawn[0]
    pixels = np.random.default_rng(1).integers(60, 200, (1200, 1600, 3), dtype=np.uint8)
    noise = rough_of(Opened(Image.fromarray(pixels), 1600, 1200), one.request)
    right = rough_of(one.opened, one.request)
    assert evidence(noise) < 0.3 < 0.6 < evidence(right)


def test_what_may_not_be_reached_is_not(drawn):
    """The quick look never says no where the slow one would say yes."""
    for one in drawn:
        rough = rough_of(one.opened, one.request)
        found = evidence(rough)
        assert may_reach(rough, found - 0.001)
        assert not may_reach(rough, 1.0)
        assert evidence(rough, 0.5) >= 0.5


def test_a_grey_card_inside_glare_balances_nothing(drawn):
    one = drawn[0]
    picture = one.opened.picture.copy()
    ImageDraw.Draw(picture).polygon(one.request.grey_card, fill=(255, 255, 255))
    found = measure(dataclasses.replace(one.opened, picture=picture), one.request)
    assert found.balance.by is None
    assert "grey card" in found.balance.reason
    assert found.cells
    assert all(cell.lab is None and "grey card" in cell.status for cell in found.cells)


def test_a_black_photo_has_no_colours(drawn):
    """Its card is as black as the rest: nothing can be balanced by it, by however large a gain."""
    one = drawn[0]
    black = Opened(Image.new("RGB", one.opened.picture.size, (9, 9, 9)), *one.opened.picture.size)
    found = measure(black, one.request)
    assert found.balance.by is None and "black" in found.balance.reason
    assert found.cells and all(cell.lab is None for cell in found.cells)
    assert any("black" in note for note in found.notes)


def test_doubts_are_told_with_the_measurement(drawn):
    one, other = drawn[0], drawn[1]
    wrong = dataclasses.replace(one.request, corners=other.request.corners)
    assert any("corners" in note for note in measure(one.opened, wrong).notes)
