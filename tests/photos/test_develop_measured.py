"""What a photo says of its tile, measured where the photo is open anyway, and kept."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from clearover.measuring import measure as measure_module
from clearover.measuring.results import TileMeasurement
from clearover.measuring.stored import as_kept, failed, from_kept
from clearover.photos import cache as cache_module
from clearover.photos import develop as develop_module
from clearover.photos.balanced import balanced
from clearover.photos.develop import develop
from clearover.records.catalogue import Catalogue
from clearover.records.models import Studio
from clearover.records.tile import Cell, Tile
from PIL import Image

GRID = [["100", "80"], ["540", "80"], ["540", "300"], ["100", "300"]]
CARD = [["250", "370"], ["390", "370"], ["390", "450"], ["250", "450"]]
BLUE, SAND = (40, 60, 120), (190, 160, 120)
Studio_ = Callable[..., Catalogue]


def photo() -> Image.Image:
    """A flat sheet with two cells and a grey card, the whole of it lit a little yellow."""
    pixels = np.full((480, 640, 3), 200.0)
    pixels[80:300, 100:320], pixels[80:300, 320:540] = BLUE, SAND
    pixels[370:450, 250:390] = 118  # 18 % reflectance as sRGB
    return Image.fromarray((pixels * (1, 0.97, 0.85)).astype(np.uint8))


@pytest.fixture
def studio(tmp_path: Path, samples: Any) -> Studio_:
    def build(**keys: Any) -> Catalogue:
        folder = tmp_path / "combos/tiles/one"
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / "front.jpg"
        if not path.exists():
            path.write_bytes(samples.jpeg_bytes(photo()))
        os.utime(path, (1_700_000_000, 1_700_000_000))
        told = {"file": "front.jpg", "corners": GRID, "grey card": CARD, **keys}
        tile = Tile.model_validate(
            {
                "@id": "one",
                "@file": "combos/tiles/one/tile.yml",
                "@rows": 1,
                "@columns": 2,
                "@cells": [Cell(1, 1, {}), Cell(1, 2, {"line": "thin"})],
                "photos": [{name: value for name, value in told.items() if value is not None}],
            }
        )
        named = Studio.model_validate({"@id": "studio", "@file": "combos/studio.yml", "name": "S"})
        return Catalogue(tmp_path / "combos", named, tiles={"one": tile})

    return build


def test_a_photo_with_corners_is_measured(studio: Studio_, tmp_path: Path) -> None:
    photos = develop(studio(), tmp_path / "cache")[0]["one"]
    assert photos.measured is not None and photos.measured.balance.by == "grey card"
    (cell,) = photos.measured.cells
    assert cell.status == "measured" and cell.lab is not None and cell.lab[2] < -20
    assert photos.straight is not None and photos.balanced is not None
    sizes = {(one.width, one.height) for one in (photos.straight, photos.balanced)}
    assert len(sizes) == 1
    with Image.open(photos.balanced.path) as file:
        left = np.asarray(file.convert("RGB"), float)[:, : file.width // 2].mean(axis=(0, 1))
    assert np.abs(left - BLUE).max() < 6  # the yellow is gone


def test_without_a_card_nothing_is_balanced(studio: Studio_, tmp_path: Path) -> None:
    photos = develop(studio(**{"grey card": None}), tmp_path / "cache")[0]["one"]
    assert photos.balanced is None and photos.measured is not None
    assert all(cell.lab is None for cell in photos.measured.cells)


def test_without_corners_nothing_is_measured(studio: Studio_, tmp_path: Path) -> None:
    photos = develop(studio(corners=None), tmp_path / "cache")[0]["one"]
    assert photos.measured is None and photos.balanced is None


def test_it_is_kept_and_not_measured_again(
    studio: Studio_, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = develop(studio(), tmp_path / "cache")
    monkeypatch.setattr(develop_module, "process", lambda *a: pytest.fail("photo work was done"))
    assert develop(studio(), tmp_path / "cache") == first


def test_another_card_measures_again_and_makes_no_other_picture(
    studio: Studio_, tmp_path: Path
) -> None:
    first = develop(studio(), tmp_path / "cache")[0]["one"]
    other = develop(studio(**{"grey card reflectance": "0.2"}), tmp_path / "cache")[0]["one"]
    assert other.measured != first.measured
    assert (other.photos, other.straight, other.sprite) == (
        first.photos,
        first.straight,
        first.sprite,
    )


def test_measuring_that_fails_builds_all_the_same(
    studio: Studio_, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(measure_module, "measured_and_seen", broken)
    tiles, problems = develop(studio(), tmp_path / "cache", jobs=1)
    photos = tiles["one"]
    assert problems == [] and photos.sprite is not None and photos.balanced is None
    assert photos.measured is not None
    statuses = [one.status for one in (*photos.measured.cells, *photos.measured.lines)]
    assert len(statuses) == 2
    assert all("ZeroDivisionError" in status for status in statuses)


def test_what_was_kept_by_another_version_is_measured_again(
    studio: Studio_, tmp_path: Path
) -> None:
    cache = tmp_path / "cache"
    first = develop(studio(), cache)
    for path in (cache / "entries").iterdir():
        kept = json.loads(path.read_text())
        if "measured" in kept["says"]:
            kept["says"]["measured"] = {"tile": "one"}
            path.write_text(json.dumps(kept))
    pack = cache / "photos.jsonl"
    for damaged in (None, lambda told: told | {"says": {"tile": "one"}}, lambda told: [told]):
        if damaged is None:
            pack.unlink()
        else:
            key, told = json.loads(pack.read_text())
            pack.write_text(json.dumps([key, damaged(told)]) + "\n")
        assert develop(studio(), cache) == first


def test_kept_and_read_again_is_the_same(studio: Studio_, tmp_path: Path) -> None:
    measured = develop(studio(), tmp_path / "cache")[0]["one"].measured
    assert measured is not None
    text = json.dumps(as_kept(measured), allow_nan=False)
    assert from_kept(json.loads(text)) == measured


@pytest.mark.parametrize("kept", [{}, {"tile": "one"}, {"cells": [{"row": 1}]}, {"cells": 3}])
def test_anything_else_is_no_measurement(kept: Any) -> None:
    with pytest.raises(ValueError, match="not a measurement"):
        from_kept(kept)


def test_no_number_is_kept_as_none() -> None:
    from clearover.measuring.request import CellRequest, Request

    request = Request("one", "front.jpg", 1, 1, (), (CellRequest(1, 1),))
    found = failed(request, "a reason")
    assert found.cells[0].status == "not measured: a reason"
    odd = TileMeasurement(**{**_fields(found), "px_per_mm": float("nan")})
    assert as_kept(odd)["px_per_mm"] is None


def _fields(value: Any) -> dict[str, Any]:
    return {name: getattr(value, name) for name in type(value).__slots__}


def test_balanced_is_the_way_back_from_light() -> None:
    from clearover.colour.srgb import LINEAR_OF_BYTE

    codes = np.arange(256)
    light = LINEAR_OF_BYTE[codes].astype(np.float32)[None, :, None].repeat(3, axis=2)
    assert np.array_equal(np.asarray(balanced(light))[0, :, 0], codes)
    assert cache_module.VERSION >= 3
