"""Cleaned photos hold nothing private and exactly the same picture."""

from __future__ import annotations

import io
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from clearover.photos.check import check_photo, look
from clearover.photos.clean import clean_photo
from clearover.photos.opening import open_photo
from clearover.photos.results import PhotoRefused
from PIL import Image, ImageCms

Maker = Callable[..., Path]
SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def stored_pixels(path: Path) -> np.ndarray[Any, Any]:
    with Image.open(path) as file:
        return np.asarray(file)


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
@pytest.mark.parametrize("progressive", [False, True])
def test_a_jpeg_keeps_every_pixel_its_turn_and_its_profile(
    make: Maker, samples: Any, orientation: int, progressive: bool, tmp_path: Path
) -> None:
    exif = samples.gps_exif(orientation)
    source = make("a.jpg", exif=exif, progressive=progressive, icc_profile=SRGB, comment=b"mine")
    target = tmp_path / "clean.jpg"
    removed = clean_photo(source, target)
    assert any("GPS" in words for words in removed)
    assert check_photo(target) == []
    assert np.array_equal(stored_pixels(source), stored_pixels(target))
    with Image.open(target) as file:
        kept = file.getexif()
        assert dict(kept) == ({0x0112: orientation} if orientation != 1 else {})
        assert not kept.get_ifd(0x8825) and file.info["icc_profile"] == SRGB
        assert "comment" not in file.info
    assert look(target).width == look(source).width
    for word in (b"SN-0001", b"Potter", b"mine", b"Invented"):
        assert word in source.read_bytes() and word not in target.read_bytes()


@pytest.mark.parametrize("form", ["PNG", "WEBP"])
@pytest.mark.parametrize("orientation", [1, 6])
def test_png_and_webp(
    make: Maker, samples: Any, form: str, orientation: int, tmp_path: Path
) -> None:
    content = io.BytesIO()
    exif = samples.gps_exif(orientation).tobytes()
    samples.scene().save(content, form, exif=exif, icc_profile=SRGB)
    source, target = make("a.x", content.getvalue()), tmp_path / "clean"
    assert clean_photo(source, target)
    assert check_photo(target) == []
    assert np.array_equal(stored_pixels(source), stored_pixels(target))
    assert look(target).width == (640 if orientation == 1 else 480)
    assert b"SN-0001" not in target.read_bytes()
    with Image.open(target) as file:
        assert file.info["icc_profile"] == SRGB
    assert np.array_equal(open_photo(source).picture, open_photo(target).picture)


def test_everything_behind_the_picture_goes(make: Maker, samples: Any, tmp_path: Path) -> None:
    whole = samples.jpeg_bytes(samples.scene())
    source = make("a.jpg", whole + samples.jpeg_bytes(samples.scene(), exif=samples.gps_exif()))
    further = struct.pack(">H", 6) + b"MPF\x00"
    source.write_bytes(whole[:2] + b"\xff\xe2" + further + source.read_bytes()[2:])
    assert [fault.rule for fault in check_photo(source)] == ["photo-private-metadata"]
    clean_photo(source, tmp_path / "b.jpg")
    assert (tmp_path / "b.jpg").read_bytes() == whole


def test_notes_between_the_scans_go(make: Maker, samples: Any, tmp_path: Path) -> None:
    whole = samples.jpeg_bytes(samples.scene(), progressive=True)
    at = whole.rfind(b"\xff\xda")
    note = b"\xff\xe1" + struct.pack(">H", 15) + b"a secret here"
    source = make("a.jpg", whole[:at] + note + whole[at:])
    clean_photo(source, tmp_path / "b.jpg")
    assert (tmp_path / "b.jpg").read_bytes() == whole


def test_a_hidden_thumbnail_goes(make: Maker, samples: Any, tmp_path: Path) -> None:
    whole = samples.jpeg_bytes(samples.scene())
    at = whole.index(b"JFIF") - 4
    content = b"JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x01\x01abc"
    block = b"\xff\xe0" + struct.pack(">H", len(content) + 2) + content
    source = make("a.jpg", whole[:at] + block + whole[at + 18 :])
    assert check_photo(source)
    clean_photo(source, source)
    assert check_photo(source) == [] and source.read_bytes() == whole


def test_in_place_and_twice(make: Maker, samples: Any) -> None:
    path = make("a.jpg", exif=samples.gps_exif(6))
    assert clean_photo(path, path)
    first = path.read_bytes()
    assert clean_photo(path, path) == [] and path.read_bytes() == first
    assert [other.name for other in path.parent.iterdir()] == ["a.jpg"]


def test_what_cannot_be_cleaned_is_refused_and_left_alone(make: Maker, samples: Any) -> None:
    whole = samples.jpeg_bytes(samples.scene(), exif=samples.gps_exif())
    for content in (whole[: len(whole) // 2], b"no photo", b"\x00\x00\x00\x18ftypheic"):
        path = make("a.jpg", content)
        with pytest.raises(PhotoRefused):
            clean_photo(path, path)
        assert path.read_bytes() == content
