"""Opened photos are upright, 8-bit sRGB, and decoded smaller without moving a corner."""

from __future__ import annotations

import io
import struct
import time
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from clearover.photos.opening import open_photo
from clearover.photos.results import PhotoRefused
from PIL import Image, ImageCms, ImageOps

Maker = Callable[..., Path]

# Display P3's columns, XYZ at D50: SMPTE EG 432-1 (2010) primaries, Bradford-adapted; computed.
P3 = ((0.5151, 0.2412, -0.0011), (0.2920, 0.6922, 0.0419), (0.1571, 0.0666, 0.7841))


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("size", [(640, 480), (641, 483)])
def test_all_eight_orientations(
    make: Maker, samples: Any, orientation: int, size: tuple[int, int]
) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    path = make("turned.jpg", samples.scene(*size), exif=exif)
    opened = open_photo(path)
    with Image.open(path) as file:
        wanted = ImageOps.exif_transpose(file).convert("RGB")
    assert (opened.width, opened.height) == wanted.size == opened.picture.size
    assert np.array_equal(np.asarray(opened.picture), np.asarray(wanted))
    assert not opened.picture.getexif() and "icc_profile" not in opened.picture.info


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("factor", [2, 4, 8])
def test_decoded_smaller_a_point_stays_where_it_is(
    make: Maker, orientation: int, factor: int
) -> None:
    """A white block on black: its centre of mass, found in the small picture, maps back."""
    width, height = 1201, 903  # odd, so that the decoder rounds up
    canvas = np.zeros((height, width), np.uint8)
    canvas[160:320, 640:880] = 255
    stored = Image.fromarray(canvas).convert("RGB")
    exif = Image.Exif()
    exif[0x0112] = orientation
    path = make("a.jpg", stored, exif=exif, quality=95)
    full, small = open_photo(path), open_photo(path, factor)
    assert small.factor == factor and (small.width, small.height) == (full.width, full.height)
    (wanted,) = small.inside([_centre(full.picture)])
    assert np.allclose(_centre(small.picture), wanted, atol=0.05)


def _centre(picture: Image.Image) -> tuple[float, float]:
    light = np.asarray(picture.convert("L"), float)
    y, x = np.mgrid[0 : light.shape[0], 0 : light.shape[1]] + 0.5
    return float((x * light).sum() / light.sum()), float((y * light).sum() / light.sum())


def test_a_png_is_never_decoded_smaller(make: Maker, samples: Any) -> None:
    target = io.BytesIO()
    samples.scene().save(target, "PNG")
    assert open_photo(make("a.png", target.getvalue()), 4).factor == 1


def test_wide_gamut_colours_are_brought_to_srgb(make: Maker, samples: Any) -> None:
    """A colour in wide RGB must come out as the sRGB that looks the same.

    Truth: the profile's own matrix and gamma, then sRGB's matrix (IEC 61966-2-1:1999, D50 by
    Bradford), all in numpy, none of it through the colour engine under test.
    """
    wide = np.array([150, 110, 90])
    profile = samples.icc_profile(P3, 2.2)
    path = make("wide.jpg", Image.new("RGB", (400, 400), tuple(wide)), icc_profile=profile)
    with Image.open(path) as file:
        decoded = np.asarray(file)[200, 200]
    xyz = np.array(P3).T @ (decoded / 255) ** (round(2.2 * 256) / 256)
    to_srgb = np.array(
        [[3.1341, -1.6174, -0.4907], [-0.9788, 1.9161, 0.0335], [0.0719, -0.2290, 1.4052]]
    )  # XYZ at D50 to linear sRGB: inverse of the sRGB columns, computed
    linear = to_srgb @ xyz
    truth = 255 * np.where(linear > 0.0031308, 1.055 * linear ** (1 / 2.4) - 0.055, 12.92 * linear)
    got = np.asarray(open_photo(path).picture)[200, 200]
    assert np.abs(got - truth).max() < 1.5
    assert np.abs(decoded - truth).max() > 4  # the test would fail if nothing were converted


def test_an_srgb_profile_changes_next_to_nothing(make: Maker, samples: Any) -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    bare = np.asarray(open_photo(make("a.jpg")).picture, int)
    tagged = open_photo(make("b.jpg", icc_profile=profile))
    assert np.abs(np.asarray(tagged.picture, int) - bare).max() <= 1 and not tagged.notes


@pytest.mark.parametrize(
    "profile", [b"nonsense" * 40, b"\0" * 128, "lab", "grey in a colour photo"]
)
def test_a_bad_profile_is_told_and_taken_as_srgb(
    make: Maker, samples: Any, profile: bytes | str
) -> None:
    if profile == "lab":
        profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    elif isinstance(profile, str):
        whole = bytearray(samples.icc_profile(P3, 2.2))
        whole[16:20] = b"GRAY"
        profile = bytes(whole)
    opened = open_photo(make("a.jpg", icc_profile=profile))
    assert any("colour profile" in note for note in opened.notes)
    assert np.array_equal(opened.picture, open_photo(make("b.jpg")).picture)


@pytest.mark.parametrize("mode", ["L", "1", "P", "LA", "RGBA", "I;16"])
def test_every_png_mode_comes_out_as_rgb(make: Maker, samples: Any, mode: str) -> None:
    if mode == "I;16":
        picture = Image.fromarray(np.tile(np.linspace(0, 65535, 400), (400, 1)).astype(np.uint16))
    else:
        ramp = np.tile(np.linspace(0, 255, 400), (400, 1)).astype(np.uint8)
        grey = Image.fromarray(ramp)
        picture = (grey if "L" in mode or mode == "1" else grey.convert("RGB")).convert(mode)
    target = io.BytesIO()
    picture.save(target, "PNG")
    opened = open_photo(make("a.png", target.getvalue()))
    assert opened.picture.mode == "RGB"
    values = np.asarray(opened.picture)
    assert values.min() < 8 and values.max() > 247


def test_16_bits_keep_their_brightness(make: Maker) -> None:
    target = io.BytesIO()
    Image.fromarray(np.full((400, 400), 257 * 93, np.uint16)).save(target, "PNG")
    assert open_photo(make("a.png", target.getvalue())).picture.getpixel((9, 9)) == (93, 93, 93)


def test_16_bit_colour(make: Maker, samples: Any) -> None:
    line = b"\x00" + struct.pack(">HHH", 65535, 257 * 100, 0) * 400
    head = struct.pack(">IIBBBBB", 400, 400, 16, 2, 0, 0, 0)
    chunks = [(b"IHDR", head), (b"IDAT", zlib.compress(line * 400)), (b"IEND", b"")]
    content = b"\x89PNG\r\n\x1a\n" + b"".join(samples.png_chunk(*chunk) for chunk in chunks)
    assert open_photo(make("a.png", content)).picture.getpixel((7, 7)) == (255, 100, 0)


def test_see_through_parts_are_laid_on_white(make: Maker) -> None:
    target = io.BytesIO()
    Image.new("RGBA", (400, 400), (255, 0, 0, 0)).save(target, "PNG")
    assert open_photo(make("a.png", target.getvalue())).picture.getpixel((5, 5)) == (255,) * 3


def test_a_bomb_is_refused_before_it_is_decoded(make: Maker, samples: Any) -> None:
    with pytest.raises(PhotoRefused) as refusal:
        open_photo(make("bomb.png", samples.png_header(50000, 50000)))
    assert refusal.value.fault.rule == "photo-too-large"


@pytest.mark.parametrize("name", [b"iCCP", b"zTXt"])
def test_a_bomb_in_the_notes_is_refused_or_passed_over(
    make: Maker, samples: Any, name: bytes
) -> None:
    """50 MB of zeros, packed into 50 kB beside a small picture."""
    target = io.BytesIO()
    samples.scene(400, 300).save(target, "PNG")
    whole = target.getvalue()
    chunk = samples.png_chunk(name, b"x\0\0" + zlib.compress(bytes(50_000_000)))
    path = make("a.png", whole[:33] + chunk + whole[33:])
    started = time.process_time()
    try:
        open_photo(path)
    except PhotoRefused as refusal:
        assert refusal.fault.rule == "photo-not-a-photo"
        assert "too large" in refusal.fault.found
    assert time.process_time() - started < 0.5


def test_too_little_picture_data_is_refused(make: Maker, samples: Any) -> None:
    with pytest.raises(PhotoRefused):
        open_photo(make("thin.png", samples.png_header(4000, 4000)))


def test_private_data_is_refused_only_where_the_file_itself_becomes_public(
    make: Maker, samples: Any
) -> None:
    path = make("a.jpg", exif=samples.gps_exif(6))
    assert open_photo(path).picture.size == (480, 640)
    with pytest.raises(PhotoRefused) as refusal:
        open_photo(path, public=True)
    assert refusal.value.fault.rule == "photo-private-metadata"


def test_random_damage_never_escapes_as_another_error(make: Maker, samples: Any) -> None:
    rng = np.random.default_rng(20)
    for form in ("JPEG", "PNG", "WEBP"):
        target = io.BytesIO()
        samples.scene(320, 310).save(target, form, exif=samples.gps_exif(6).tobytes())
        whole = target.getvalue()
        for _ in range(60):
            bent = bytearray(whole)
            for at in rng.integers(0, min(len(bent), 900), 4):
                bent[at] = rng.integers(0, 256)
            try:
                open_photo(make("bent.jpg", bytes(bent)))
            except PhotoRefused as refusal:
                assert refusal.fault.rule.startswith("photo-")
