"""The surface: spots counted on made and drawn cells, haze against a clean neighbour."""

import sys
from pathlib import Path

import numpy as np
import pytest
from clearover.colour.srgb import light_to_lab
from clearover.measuring.measure import measure
from clearover.measuring.request import CellRequest, Request
from clearover.measuring.results import MEASURED, CellColour
from clearover.measuring.spots import Spots, spots_of
from clearover.measuring.surface import ALONE, surfaces
from clearover.measuring.view import View

BENCH = Path(__file__).resolve().parents[1] / "bench"


def spotted(kind, count=20, scale=18.0, tone=0.15, noise=0.004):
    """A cell of 20 × 20 mm with round spots on a lattice."""
    rng = np.random.default_rng(2)
    side = round(20 * scale)
    y, x = np.mgrid[0:side, 0:side] / scale
    field = np.full((side, side), tone)
    for k in range(count):
        away = np.hypot(y - 4 - 3 * (k // 5), x - 4 - 3 * (k % 5))
        if kind == "hole":
            field *= 1 - 0.7 / (1 + np.exp((away - 0.25) / 0.04))
        elif kind == "bubble":
            field += 0.5 * tone * np.exp(-(((away - 0.32) / 0.1) ** 2))
        else:
            field[(np.abs(y - 4 - 3 * (k // 5)) < 0.15)] = 0.5 * tone
    light = np.repeat(field[..., None], 3, axis=2) + rng.normal(0, noise, (side, side, 3))
    view = View(light.astype(np.float32), np.ones((side, side), bool), 1, 1, scale)
    return spots_of(view, 1, 1)


def test_pinholes_are_counted_and_sized():
    found = spotted("hole")
    assert isinstance(found, Spots)
    assert found.bubbles == 0
    assert found.pinholes == pytest.approx(20 / 2.02, rel=0.15)
    assert found.size_mm == pytest.approx(0.5, abs=0.15)


def test_bubbles_are_counted():
    found = spotted("bubble")
    assert found.pinholes == 0
    assert found.bubbles == pytest.approx(20 / 2.02, rel=0.15)


def test_scratches_are_no_spots():
    found = spotted("scratch")
    assert found.pinholes == found.bubbles == 0


def test_bubbles_are_not_claimed_on_a_pale_colour():
    assert spotted("bubble", tone=0.5).bubbles is None


def test_bubbles_need_a_finer_photo_than_pinholes():
    assert spotted("hole", scale=16.0).pinholes > 0
    assert spotted("bubble", scale=16.0).bubbles is None


def test_a_coarse_photo_says_what_it_needs():
    assert spotted("hole", scale=11.0) == "needs 15 px/mm, this photo has 11"
    assert "too dark" in spotted("hole", tone=0.03)


@pytest.fixture(scope="module")
def near(catalogue, tmp_path_factory):
    """A drawn tile from near, at full difficulty: a pinholed cell and a clean one."""
    sys.path.insert(0, str(BENCH))
    import drawn_surfaces
    from clearover.photos.opening import open_photo

    drawn = drawn_surfaces.draw(7, catalogue, rows=1, size=(1700, 1100))
    file = tmp_path_factory.mktemp("near") / "near.jpg"
    file.write_bytes(drawn["jpeg"])
    return drawn["cells"], measure(open_photo(file), drawn["request"])


def test_spots_on_a_drawn_tile(near):
    cells, measured = near
    assert measured.px_per_mm >= 15
    found = {(one.row, one.column): one for one in measured.surface}
    for cell in cells:
        one = found[tuple(cell["at"])]
        if cell["surface"] == "pinholed":
            assert one.pinholes_per_cm2 == pytest.approx(cell["per_cm2"], abs=2)
            assert one.pinholes_per_cm2 > 0
            assert one.size_mm == pytest.approx(2 * np.median(cell["radii_mm"]), abs=0.25)
        else:
            assert one.pinholes_per_cm2 == 0


def hazes(colours, **more):
    cells = tuple(
        CellRequest(
            1,
            k + 1,
            where=(("clear", "brook"), ("clear coats", str(k + 1)), ("underglaze", "dune")),
            **more,
        )
        for k in range(len(colours))
    )
    light = np.full((40, 40 * len(cells), 3), 0.3, np.float32)
    view = View(light, np.ones(light.shape[:2], bool), 1, len(cells), 8.0)
    seen = [
        CellColour(1, k + 1, tuple(light_to_lab(np.array(c))), 0.5, 100, 0.0, MEASURED)
        for k, c in enumerate(colours)
    ]
    return surfaces(view, Request("made", "", 1, len(cells), (), cells), seen)


def test_a_veil_is_measured_against_the_cleanest():
    clean = np.array([0.04, 0.03, 0.10])
    found = hazes([clean, 0.8 * clean + 0.2 * 0.55])
    assert found[0].haze == pytest.approx(0, abs=1e-6)
    assert found[1].haze == pytest.approx(0.2, abs=1e-6)
    assert "paler" in found[1].status


def test_another_colour_is_no_haze():
    found = hazes([(0.04, 0.03, 0.10), (0.25, 0.05, 0.06)])
    assert found[1].haze is None and "another way" in found[1].status


def test_haze_needs_a_neighbour_and_a_clear():
    (alone,) = hazes([(0.04, 0.03, 0.10)])
    assert alone.haze is None and ALONE in alone.status
    bare = hazes([(0.04, 0.03, 0.10), (0.2, 0.2, 0.2)], bare=True)
    assert all(one.haze is None and "no clear" in one.status for one in bare)
