"""The demo's photos, its records and the truth file tell one story."""

from __future__ import annotations

import hashlib
from types import ModuleType
from typing import Any

import numpy as np
from clearover.records.catalogue import Catalogue
from PIL import Image, ImageOps

Truth = dict[str, dict[str, Any]]


def test_the_same_record_gives_the_same_bytes(demo: ModuleType, studio: Catalogue) -> None:
    tile = studio.tiles["jar-without-a-lid-try"]
    first, second = (demo.shoot(studio, tile, tile.photos[0]) for _ in range(2))
    assert hashlib.sha256(first.data).digest() == hashlib.sha256(second.data).digest()
    assert first.truth == second.truth


def test_the_committed_truth_is_what_the_program_draws(
    demo: ModuleType, studio: Catalogue, truth: Truth
) -> None:
    tile = studio.tiles["cup-side-greens"]
    drawn = demo.shoot(studio, tile, tile.photos[0]).truth
    assert drawn == truth["cup-side-greens/front.jpg"]


def test_truth_covers_every_cell_of_every_tile(studio: Catalogue, truth: Truth) -> None:
    for tile in studio.tiles.values():
        photo = tile.measured_photo
        assert photo is not None, tile.id
        told = truth[f"{tile.id}/{photo.file}"]
        shown = studio.tiles[told.get("shows", tile.id)]
        assert [cell["at"] for cell in told["cells"]] == [[c.row, c.column] for c in shown.cells]
        for cell in told["cells"]:
            light, a, b = cell["lab"]
            assert 0 <= light <= 100 and abs(a) < 90 and abs(b) < 90
            assert cell["drag"] >= -0.3 and cell["bleed"] >= 0


def test_corners_of_the_records_lie_within_two_px_of_the_truth(
    studio: Catalogue, truth: Truth
) -> None:
    for tile in studio.tiles.values():
        for photo in tile.photos:
            if photo.corners is None:
                continue
            told = truth[f"{tile.id}/{photo.file}"]
            for written, drawn in ((photo.corners, "corners"), (photo.grey_card, "grey_card")):
                assert written is not None, tile.id
                off = np.abs(np.asarray(written) - np.asarray(told[drawn]))
                assert off.max() <= 2.0, (tile.id, photo.file, drawn)
            assert [photo.width_mm, photo.height_mm] == told["grid_mm"] or "shows" in told


def test_every_photo_is_there_at_the_size_told_and_labelled_as_drawn(
    studio: Catalogue, truth: Truth
) -> None:
    total = 0
    for tile in studio.tiles.values():
        for photo in tile.photos:
            path = studio.photo_path(tile, photo.file)
            total += path.stat().st_size
            assert path.stat().st_size <= 200_000, path
            assert photo.drawn == "yes", tile.id
            with Image.open(path) as image:
                upright = ImageOps.exif_transpose(image)
                assert list(upright.size) == truth[f"{tile.id}/{photo.file}"]["size"]
    assert total <= 14_000_000


def test_nothing_in_the_truth_belongs_to_no_photo(studio: Catalogue, truth: Truth) -> None:
    photos = {f"{tile.id}/{p.file}" for tile in studio.tiles.values() for p in tile.photos}
    assert set(truth) == photos


def test_glare_stays_small(truth: Truth) -> None:
    assert max(told.get("glare", 0.0) for told in truth.values()) <= 0.05
