"""Web sizes: never enlarged, no metadata, the same bytes each time."""

from __future__ import annotations

import io
from typing import Any

import pytest
from clearover.photos.web import encode, resized, web_sizes
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

SIDES = (480, 960, 1600)


@pytest.mark.parametrize(
    ("size", "wanted"),
    [
        ((4000, 3000), [(480, 360), (960, 720), (1600, 1200)]),
        ((3000, 4000), [(360, 480), (720, 960), (1200, 1600)]),
        ((1600, 1200), [(480, 360), (960, 720), (1600, 1200)]),
        ((1200, 900), [(480, 360), (960, 720), (1200, 900)]),
        ((480, 300), [(480, 300)]),
        ((400, 300), [(400, 300)]),
        ((16000, 300), [(480, 9), (960, 18), (1600, 30)]),
    ],
)
def test_sizes(size: tuple[int, int], wanted: list[tuple[int, int]]) -> None:
    assert web_sizes(*size, SIDES) == wanted


@settings(deadline=None)
@given(st.integers(1, 16000), st.integers(1, 16000))
def test_sizes_grow_and_are_never_enlarged(width: int, height: int) -> None:
    sizes = web_sizes(width, height, SIDES)
    assert sizes == sorted(set(sizes)) and 1 <= len(sizes) <= 3
    for w, h in sizes:
        assert 1 <= w <= width and 1 <= h <= height and max(w, h) <= 1600


def test_no_metadata_and_the_same_bytes(samples: Any) -> None:
    source = io.BytesIO()
    samples.scene().save(source, "JPEG", exif=samples.gps_exif(6), icc_profile=b"x" * 200)
    with Image.open(source) as file:
        once, twice = encode(file, 80), encode(file, 80)
    assert once == twice
    with Image.open(io.BytesIO(once)) as web:
        assert web.format == "WEBP" and not web.getexif()
        assert not {"exif", "icc_profile", "xmp"} & set(web.info)
    assert b"EXIF" not in once and b"ICCP" not in once and b"XMP " not in once


def test_made_smaller_without_a_shift() -> None:
    half = Image.new("RGB", (1600, 1200))
    half.paste((255, 255, 255), (800, 0, 1600, 1200))
    small = resized(half, (100, 75)).convert("L")
    row = [small.getpixel((x, 30)) for x in range(100)]
    assert sum(row) / 255 == pytest.approx(50, abs=0.2)
