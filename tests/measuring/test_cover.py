"""Cover: contrast ratios over light and dark ground, coats to hide, streaks."""

import numpy as np
import pytest
from clearover.measuring.cover import NO_PAIR, NO_STREAKS, covers
from clearover.measuring.hiding import (
    HIDES,
    SHOWS,
    UNSURE,
    Ratio,
    Shade,
    coats_to_hide,
    coats_with_range,
    ratio_of,
    shade_of,
)
from clearover.measuring.request import CellRequest, Request
from clearover.measuring.results import MEASURED, CellColour
from clearover.measuring.streaks import streaks_of
from clearover.measuring.view import View
from hypothesis import assume, example, given
from hypothesis import strategies as st


def bright(lab):
    return ((lab[0] + 16) / 116) ** 3


def test_contrast_ratio_on_a_drawn_photo(drawn_grounds):
    """Against the ratio of the true colours; 0.06 is three standard deviations of the drawing."""
    truth = {tuple(cell["at"]): cell["lab"] for cell in drawn_grounds.truth["cells"]}
    found = [one for one in drawn_grounds.measured.cover if one.contrast_ratio is not None]
    assert len(found) >= 8
    trues = {}
    for one in found:
        light = one.column - (one.column + 1) % 2
        true = trues[one.row, one.column] = bright(truth[one.row, light + 1]) / bright(
            truth[one.row, light]
        )
        assert one.contrast_ratio == pytest.approx(true, abs=0.06)
        assert one.ratio_low < one.contrast_ratio < one.ratio_high
    held = [one.ratio_low <= trues[one.row, one.column] <= one.ratio_high for one in found]
    assert np.mean(held) >= 0.75  # nine of ten; a photo has few pairs
    assert {one.hides for one in found} <= {HIDES, SHOWS, UNSURE}


def test_sheer_coats_are_streakier_over_dark(drawn_grounds):
    streaks = {(c.row, c.column): c.streaks for c in drawn_grounds.measured.cover}
    pairs = [(streaks[row, 1], streaks[row, 2]) for row in (1, 2)]
    assert all(dark > 2 * light for light, dark in pairs if light and dark)


def cell(column, ground=None, underglaze="dune", coats="2", **more):
    where = {"underglaze": underglaze, "underglaze coats": coats, "clear": "brook", **more}
    if ground:
        where["ground"] = ground
    return CellRequest(1, column, where=tuple(sorted(where.items())))


def covers_of(*cells):
    """Cells whose L* is given beside each."""
    light = np.full((40, 40 * len(cells), 3), 0.4, np.float32)
    view = View(light, np.ones(light.shape[:2], bool), 1, len(cells), 2.0)
    request = Request("made", "", 1, len(cells), (), tuple(one for one, _ in cells))
    colours = [
        CellColour(1, one.column, (level, 0.0, 0.0), 0.5, 100, 0.0, MEASURED)
        for one, level in cells
    ]
    return covers(view, request, colours)


def test_the_ratio_is_of_luminance():
    light, dark = covers_of((cell(1, "white slip"), 76.0), (cell(2, "dark slip"), 50.0))
    assert light.contrast_ratio == dark.contrast_ratio == pytest.approx((66 / 92) ** 3)


def test_bare_ground_is_told_by_a_cell_without_colour():
    bare = {"body": "umber"}
    found = covers_of(
        (cell(1, "white slip", **bare), 70.0),
        (cell(2, **bare), 40.0),
        (cell(3, underglaze="none", **bare), 25.0),
    )
    assert len(found) == 2 and found[0].contrast_ratio == pytest.approx((56 / 86) ** 3)


def test_streaks_that_are_not_told_have_their_reason():
    light = np.full((12, 24, 3), 0.4, np.float32)
    view = View(light, np.ones((12, 24), bool), 1, 2, 2.0)
    cells = cell(1, "white slip"), cell(2, "dark slip")
    request = Request("made", "", 1, 2, (), cells)
    colours = [CellColour(1, n, (50.0, 0.0, 0.0), 0.5, 100, 0.0, MEASURED) for n in (1, 2)]
    assert {one.status for one in covers(view, request, colours)} == {NO_STREAKS}
    alone = covers(view, request, colours[:1])[0]
    assert alone.status == f"{NO_PAIR}; {NO_STREAKS}"


@pytest.mark.parametrize("other", [{"coats": "3"}, {"underglaze": "fen"}, {"body": "other"}])
def test_cells_that_differ_otherwise_are_no_pair(other):
    one, two = covers_of((cell(1, "white slip"), 70.0), (cell(2, "dark slip", **other), 40.0))
    assert one.contrast_ratio is None and one.status == two.status == NO_PAIR


@pytest.mark.parametrize(
    ("ratios", "coats", "why"),
    [
        ({1: 0.5, 2: 0.75, 3: 0.875}, 6, "computed"),
        ({1: 0.9, 2: 0.985}, 2, "measured"),
        ({2: 0.99, 3: 0.99}, 2, "fewest"),
        ({2: 0.8}, None, "two or more"),
        ({1: 0.6, 2: 0.6}, None, "did not hide more"),
        ({1: 0.30, 2: 0.36}, None, "beyond twice"),
        ({}, None, "two or more"),
    ],
)
def test_coats_to_hide(ratios, coats, why):
    found, reason = coats_to_hide(ratios)
    assert found == coats and why in reason


@given(st.floats(0.3, 0.95), st.floats(0.2, 0.9))
@example(0.5, 0.21)
def test_an_exact_series_gives_its_own_coats(start, share):
    """What shows through shrinks by `share` a coat: the first coat with less than 0.02 left."""
    left = [start * share**n for n in range(40)]
    first = next(n for n, shows in enumerate(left) if shows <= 0.02)
    assume(all(abs(shows - 0.02) > 1e-9 for shows in left))
    found, _ = coats_to_hide({n: 1 - left[n] for n in (1, 2, 3)})
    assert found == (first if first <= 6 else None)


@given(st.dictionaries(st.integers(0, 9), st.floats(-1, 2), max_size=6))
def test_any_ratios_are_answered(ratios):
    found, reason = coats_to_hide(ratios)
    assert reason and (found is None or found > 0)


EVEN = np.full((40, 40), 0.4, np.float32), np.ones((40, 40), bool)


def test_a_ratio_is_as_unsure_as_its_cells():
    """By hand: two cells of 3 % and 4 % make a ratio of 5 %; 90 % of a normal curve lie within
    1.645 standard deviations, here a factor of exp(0.08225) = 1.0857."""
    found = ratio_of([Shade(0.3, 0.03)], [Shade(0.6, 0.04)])
    assert found.value == pytest.approx(0.5)
    assert found.high == pytest.approx(0.5 * 1.0857, abs=1e-4)
    assert found.low == pytest.approx(0.5 / 1.0857, abs=1e-4)
    four = ratio_of([Shade(0.3, 0.03)] * 4, [Shade(0.6, 0.04)] * 4)
    assert four.high == pytest.approx(0.5 * 1.0857**0.5, abs=1e-4)


def test_dark_and_glary_and_uneven_cells_are_less_sure():
    sure = shade_of(0.4, 0.0, *EVEN).unsure
    assert sure < 0.015
    assert shade_of(0.05, 0.0, *EVEN).unsure > 4 * sure
    assert shade_of(0.4, 0.6, *EVEN).unsure > 3 * sure
    patchy = EVEN[0] * np.repeat(np.linspace(0.7, 1.3, 40), 40).reshape(40, 40)
    assert shade_of(0.4, 0.0, patchy, EVEN[1]).unsure > 3 * sure


@pytest.mark.parametrize(
    ("low", "high", "word"), [(0.98, 1.02, HIDES), (0.9, 0.979, SHOWS), (0.97, 0.99, UNSURE)]
)
def test_hides_is_said_only_where_the_lower_end_does(low, high, word):
    assert Ratio(0.98, low, high).word == word


def test_coats_have_the_range_of_their_ratios():
    sure = {n: Ratio(1 - 0.5**n, 1 - 0.5**n, 1 - 0.5**n) for n in (1, 2, 3)}
    assert (coats_with_range(sure).low, coats_with_range(sure).high) == (6, 6)
    wide = {n: Ratio(1 - 0.5**n, 1 - 0.55**n, 1 - 0.4**n) for n in (1, 2, 3)}
    found = coats_with_range(wide)
    # by hand: 0.4 ** 5 = 0.010 is the first below 0.02; 0.55 ** 7 lies beyond twice three coats
    assert (found.low, found.value, found.high) == (5, 6, None)


@given(st.dictionaries(st.integers(1, 5), st.floats(0.1, 1.1), min_size=1, max_size=5))
def test_the_range_of_coats_holds_the_value(ratios):
    found = coats_with_range({n: Ratio(r, r / 1.05, r * 1.05) for n, r in ratios.items()})
    if found.value is not None:
        assert found.low is None or found.low <= found.value
        assert found.high is None or found.high >= found.value


def streaky(across, along, noise=0.02):
    """Unevenness of 0.6 mm across, with the given amplitudes down and along the rows."""
    rng = np.random.default_rng(5)
    tone = 0.4 * (1 + rng.normal(0, noise, (220, 220)))
    tone += 0.4 * across * np.repeat(rng.normal(0, 1, 37), 6)[:220, None]
    tone += 0.4 * along * np.repeat(rng.normal(0, 1, 37), 6)[None, :220]
    light = np.repeat(tone[..., None], 3, axis=2).astype(np.float32)
    return streaks_of(View(light, np.ones((220, 220), bool), 1, 1, 10.0), 1, 1)


def test_streaks_have_a_direction_and_noise_has_none():
    assert streaky(0.10, 0.0) == pytest.approx(0.10, abs=0.03)
    assert streaky(0.0, 0.10) == pytest.approx(0.10, abs=0.03)
    assert streaky(0.0, 0.0) < 0.01
    assert streaky(0.0, 0.0, noise=0.2) < 0.03
