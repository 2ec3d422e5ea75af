"""What a record says is what a picture shows."""

from __future__ import annotations

from types import ModuleType
from typing import Any

import numpy as np
import pytest
from clearover.records.catalogue import Catalogue

Truth = dict[str, dict[str, Any]]


def _cells(truth: Truth, tile: str) -> dict[tuple[int, int], dict[str, Any]]:
    return {tuple(cell["at"]): cell for cell in truth[f"{tile}/front.jpg"]["cells"]}


def test_the_brown_column_is_brown_and_the_true_one_green(truth: Truth) -> None:
    cells = _cells(truth, "hedge-bottom-four-clears")
    for row in (1, 2, 3):
        assert cells[row, 1]["lab"][1] > 0 > cells[row, 2]["lab"][1] + 5


def test_lines_drag_upright_and_not_flat(studio: Catalogue, truth: Truth) -> None:
    upright = _cells(truth, "four-lines-mill-race-upright")
    flat = _cells(truth, "four-lines-mill-race-flat")
    assert upright[1, 2]["drag"] > 1.5 and upright[2, 2]["drag"] > 1.5
    assert max(abs(cell["drag"]) for cell in flat.values()) < 0.35


def test_a_line_judged_dragged_has_a_tail_and_a_bled_one_spreads(
    studio: Catalogue, truth: Truth
) -> None:
    dragged = bled = 0
    for tile in studio.tiles.values():
        for block in tile.judged[:1]:
            for (row, column), verdict in block.line.items():
                cell = _cells(truth, tile.id)[row, column]
                if "dragged" in verdict.words:
                    dragged += 1
                    assert cell["drag"] >= 0.7, (tile.id, row, column)
                if "bled" in verdict.words:
                    bled += 1
                    assert cell["bleed"] >= 0.5, (tile.id, row, column)
                if "crisp" in verdict.words:
                    assert abs(cell["drag"]) < 0.4 and cell["bleed"] < 0.4, (tile.id, row, column)
    assert dragged >= 6 and bled >= 6


def test_the_wrong_photo_shows_another_colour(studio: Catalogue, truth: Truth) -> None:
    wrong = _cells(truth, "skylark-morning-wrong-photo")
    assert np.median([cell["lab"][2] for cell in wrong.values()]) > 30


@pytest.mark.parametrize("difficulty", [0.0, 1.0])
def test_other_tiles_can_be_drawn(demo: ModuleType, studio: Catalogue, difficulty: float) -> None:
    tile = studio.tiles["signal-box-cone-ten"]
    image, told = demo.draw_tile(tile, studio, seed=7, difficulty=difficulty, size=(640, 480))
    assert image.size == (640, 480) and len(told["cells"]) == 4
    settings = told["settings"]
    if difficulty == 0:
        assert settings["tilt_deg"] == 0 and settings["light_ratio"] == 1 and told["glare"] == 0
    assert settings["tilt_deg"] <= 25 and settings["light_ratio"] <= 2
