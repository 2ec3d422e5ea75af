"""A curved tile keeps its colours and loses what needs a plane; a textured one its spots."""

import dataclasses

import pytest
from clearover.measuring.asking import request_for
from clearover.measuring.doubts import doubts
from clearover.measuring.measure import measure
from clearover.measuring.remedies import help_for, remedies
from clearover.measuring.results import Balance, LineMeasure, Surface, TileMeasurement
from clearover.measuring.shapes import CURVED, TEXTURED, fitted

LINE = LineMeasure(1, 1, 2.0, 0.2, 0.1, 0.8, 0.2, 0.6, 0.4, 0.3, 0.5, 0.2, "dragged", "measured")
SKIN = Surface(1, 2, 0.1, 0.5, None, 0.3, "measured, but hazy; bubbles not measured: need 18 px/mm")


def made(**changes):
    return TileMeasurement(
        "t", "p.jpg", 11.0, Balance("grey card"), 0.8, lines=(LINE,), surface=(SKIN,), **changes
    )


def test_a_flat_tile_and_an_unknown_one_keep_all():
    for shape in (None, "flat"):
        assert fitted(made(), shape) == made()


def test_a_curved_tile_tells_no_millimetres():
    found = fitted(made(), CURVED)
    (line,) = found.lines
    assert line.status == "not measured: a curved tile has no one scale for a width or a drag in mm"
    told = dataclasses.asdict(line)
    assert {told[name] for name in told if name not in ("row", "column", "status", "note")} == {
        None
    }
    assert found.px_per_mm is None and found.noise_delta_e == 0.8
    assert "curved" in found.notes[-1]


@pytest.mark.parametrize("shape", [CURVED, TEXTURED])
def test_spots_are_not_counted_and_haze_stays(shape):
    (skin,) = fitted(made(), shape).surface
    assert skin.pinholes_per_cm2 is skin.bubbles_per_cm2 is skin.size_mm is None
    assert skin.haze == 0.1 and skin.status.startswith("measured, but hazy; pinholes and bubbles")
    assert all(remedies(fitted(made(), shape)).values())
    assert help_for(skin.status.split("; ")[1])


def test_a_textured_tiles_lines_are_measured():
    assert fitted(made(), TEXTURED).lines == (LINE,)


def test_the_records_shape_is_asked(catalogue):
    assert request_for(catalogue.tiles["cup-side-greens"]).shape == "curved"
    assert request_for(catalogue.tiles["hedge-bottom-coats"]).shape is None


def test_colours_of_a_cups_side_are_measured(catalogue):
    """Against the colours that were drawn (`tests/drawn/truth.json`)."""
    import json
    from pathlib import Path

    from clearover.colour import ciede2000
    from clearover.photos.opening import open_photo

    tile = catalogue.tiles["cup-side-greens"]
    opened = open_photo(catalogue.photo_path(tile, "front.jpg"))
    asked = request_for(tile)
    found = measure(opened, asked)
    file = Path(__file__).resolve().parents[1] / "drawn" / "truth.json"
    truth = json.loads(file.read_text(encoding="utf-8"))["photos"]["cup-side-greens/front.jpg"]
    true = {tuple(cell["at"]): cell["lab"] for cell in truth["cells"]}
    assert len(found.cells) == 6
    assert all(ciede2000(c.lab, true[c.row, c.column]) < 2 for c in found.cells)
    assert len(found.notes) == 1 and "curved" in found.notes[0]
    off = dataclasses.replace(asked, corners=tuple((x, y - 20) for x, y in asked.corners))
    assert doubts(opened, dataclasses.replace(off, shape=None))
    assert not doubts(opened, off)  # a curved tile is not held to its corners
