"""Colours of cells, measured on drawn photos whose true colours are known."""

from dataclasses import replace

import numpy as np
from clearover.colour import ciede2000
from clearover.measuring.measure import measure


def pairs(drawn):
    """For each photo the measured and the true L*a*b* of the cells that could be measured."""
    for one in drawn:
        true = {tuple(cell["at"]): cell["lab"] for cell in one.truth["cells"]}
        cells = [cell for cell in one.measured.cells if cell.lab]
        yield (
            np.array([cell.lab for cell in cells]),
            np.array([true[cell.row, cell.column] for cell in cells]),
        )


def test_colours_at_full_difficulty(drawn):
    errors = np.concatenate([ciede2000(seen, true) for seen, true in pairs(drawn)])
    assert len(errors) >= 40
    assert np.median(errors) <= 1.0
    assert np.quantile(errors, 0.95) <= 2.5


def test_differences_between_cells_of_one_photo(drawn):
    off = []
    for seen, true in pairs(drawn):
        i, j = np.triu_indices(len(seen), 1)
        off.append(np.abs(ciede2000(seen[i], seen[j]) - ciede2000(true[i], true[j])))
    assert np.median(np.concatenate(off)) <= 0.8


def test_most_cells_are_measured_and_the_light_is_evened(drawn):
    for one in drawn:
        good = [cell for cell in one.measured.cells if cell.status == "measured"]
        assert len(good) >= 0.8 * len(one.measured.cells)
        assert "the clay round the grid" in one.measured.balance.evened_by
        assert one.measured.balance.by == "grey card"


def test_without_a_card_no_colour_is_claimed(drawn):
    one = drawn[0]
    measured = measure(one.opened, replace(one.request, grey_card=None))
    assert measured.balance.by is None and "grey card" in measured.balance.reason
    assert all(cell.lab is None and "not measured" in cell.status for cell in measured.cells)


def test_a_card_outside_the_photo_is_told(drawn):
    one = drawn[0]
    away = ((5000.0, 5000.0), (5200.0, 5000.0), (5200.0, 5200.0), (5000.0, 5200.0))
    measured = measure(one.opened, replace(one.request, grey_card=away))
    assert measured.balance.by is None
    assert "not in the photo" in measured.balance.reason


def test_a_wrong_reflectance_shifts_lightness_alone(drawn):
    one = drawn[0]
    other = measure(one.opened, replace(one.request, reflectance=0.36))
    for cell, twin in zip(one.measured.cells, other.cells, strict=True):
        if cell.lab and twin.lab:
            assert twin.lab[0] > cell.lab[0]
