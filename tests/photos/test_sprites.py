"""Every cell of a sprite shows its own cell, and a strip the crops that were asked for."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from clearover.photos.crops import cell_box, centred
from clearover.photos.results import Image as Picture
from clearover.photos.results import Sprite, TilePhotos
from clearover.photos.sprites import EMPTY, cell_size, sprite_picture, strip
from clearover.photos.web import encode
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw

counts = st.integers(1, 7)


@given(st.integers(50, 3000), st.integers(50, 3000), counts, counts)
def test_cells_lie_inside_and_never_overlap(w: int, h: int, rows: int, columns: int) -> None:
    boxes = [
        cell_box((w, h), rows, columns, (row, column), 0.06)
        for row in range(1, rows + 1)
        for column in range(1, columns + 1)
    ]
    for left, top, right, bottom in boxes:
        assert 0 <= left < right <= w and 0 <= top < bottom <= h
    for (l1, t1, r1, b1), (l2, t2, r2, b2) in combinations(boxes, 2):
        assert r1 < l2 or r2 < l1 or b1 < t2 or b2 < t1


@given(st.floats(1, 900), st.floats(1, 900), st.floats(0.2, 5))
def test_the_middle_is_cut_never_stretched(w: float, h: float, ratio: float) -> None:
    left, top, right, bottom = centred((10, 20, 10 + w, 20 + h), ratio)
    assert (right - left) / (bottom - top) == pytest.approx(ratio)
    assert left + right == pytest.approx(20 + w) and top + bottom == pytest.approx(40 + h)
    assert left >= 10 - 1e-6 and top >= 20 - 1e-6


def grid(rows: int, columns: int, cell: tuple[int, int] = (200, 150)) -> Image.Image:
    """Each cell in its own colour inside a red frame that no crop may show."""
    picture = Image.new("RGB", (columns * cell[0], rows * cell[1]), (255, 0, 0))
    draw = ImageDraw.Draw(picture)
    for row in range(rows):
        for column in range(columns):
            left, top = column * cell[0], row * cell[1]
            colour = (20, 40 + 40 * row, 40 + 40 * column)
            draw.rectangle((left + 6, top + 6, left + cell[0] - 7, top + cell[1] - 7), fill=colour)
    return picture


@pytest.mark.parametrize(("rows", "columns"), [(1, 1), (3, 4), (5, 2), (1, 5), (5, 1)])
def test_each_cell_is_its_own(rows: int, columns: int) -> None:
    sheet, cell = sprite_picture(grid(rows, columns), rows, columns)
    assert cell == (160, 120) and sheet.size == (columns * 160, rows * 120)
    values = np.asarray(sheet, int)
    for row in range(rows):
        for column in range(columns):
            crop = values[row * 120 : row * 120 + 120, column * 160 : column * 160 + 160]
            assert np.abs(crop - (20, 40 + 40 * row, 40 + 40 * column)).max() <= 2


def test_a_missing_cell_stays_grey() -> None:
    sheet, _ = sprite_picture(grid(2, 2), 2, 2, [(1, 2)])
    assert sheet.getpixel((240, 60)) == EMPTY and sheet.getpixel((80, 60)) != EMPTY


def test_cells_are_never_enlarged_and_the_sheet_fits_webp() -> None:
    assert cell_size((400, 300), 3, 4) == (88, 66)  # 100 px less the inset, cut to 4 : 3
    for rows, columns in ((400, 1), (1, 400), (400, 400)):
        width, height = cell_size((1600, 1600), rows, columns)
        assert width >= 1 and height >= 1
        assert columns * width <= 16383 and rows * height <= 16383


def tile_photos(name: str, rows: int, columns: int, folder: Path) -> TilePhotos:
    sheet, cell = sprite_picture(grid(rows, columns), rows, columns)
    path = folder / f"{name}-00000000.webp"
    path.write_bytes(encode(sheet, 100))
    sprite = Sprite(Picture(path.name, path, *sheet.size), rows, columns, *cell)
    return TilePhotos(name, (), sprite, None)


def test_a_strip_holds_the_chosen_crops_in_order(tmp_path: Path) -> None:
    one, two = tile_photos("one", 3, 4, tmp_path), tile_photos("two", 5, 2, tmp_path)
    bare = TilePhotos("bare", (), None, None)
    crops = [(two, 5, 1), (one, 1, 4), (bare, 1, 1), (one, 9, 9)]
    made = strip(crops, (80, 60), tmp_path / "cache")
    assert (made.rows, made.columns, made.cell_width, made.cell_height) == (1, 4, 80, 60)
    assert (made.image.width, made.image.height) == (320, 60)
    with Image.open(made.image.path) as file:
        assert file.size == (320, 60)
        found = [np.array(file.convert("RGB").getpixel((80 * k + 40, 30)), int) for k in range(4)]
    for got, wanted in zip(found, [(20, 200, 40), (20, 40, 160), EMPTY, EMPTY], strict=True):
        assert np.abs(got - wanted).max() <= 6  # lossy colour


def test_a_strip_is_made_once(tmp_path: Path) -> None:
    one = tile_photos("one", 2, 2, tmp_path)
    first = strip([(one, 1, 1)], (80, 60), tmp_path / "cache")
    stamp = first.image.path.stat().st_mtime_ns
    assert strip([(one, 1, 1)], (80, 60), tmp_path / "cache") == first
    assert first.image.path.stat().st_mtime_ns == stamp
    other = strip([(one, 1, 2)], (80, 60), tmp_path / "cache")
    assert other.image.name != first.image.name


def test_a_very_long_strip_goes_on_below(tmp_path: Path) -> None:
    one = tile_photos("one", 2, 2, tmp_path)
    made = strip([(one, 1, 1)] * 103 + [(one, 2, 2)], (160, 120), tmp_path / "cache")
    assert (made.rows, made.columns) == (2, 102)
    with Image.open(made.image.path) as file:
        last = np.array(file.convert("RGB").getpixel((160 + 80, 120 + 60)), int)
    assert np.abs(last - (20, 80, 80)).max() <= 6


def test_a_strip_of_nothing_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError):
        strip([], (80, 60), tmp_path)
