"""Whatever a photo's form, its colours come out as the sRGB that looks the same, within 1 code.

Truths are reckoned here from the standards' own formulas, never through the colour engine.
"""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from clearover.photos.check import check_photo
from clearover.photos.opening import Opened, open_photo
from PIL import Image

Maker = Callable[..., Path]
COLOUR = (150, 110, 90)
SIZE = (320, 300)
# Columns of sRGB's matrix at D50 (IEC 61966-2-1:1999, by Bradford as in ICC.1:2022), computed.
SRGB = ((0.4361, 0.2225, 0.0139), (0.3851, 0.7169, 0.0971), (0.1431, 0.0606, 0.7141))


def encoded(light: float) -> float:
    """IEC 61966-2-1:1999."""
    return 255 * (1.055 * light ** (1 / 2.4) - 0.055 if light > 0.0031308 else 12.92 * light)


def saved(picture: Image.Image, form: str, **options: Any) -> bytes:
    target = io.BytesIO()
    picture.save(target, form, **options)
    return target.getvalue()


def png(samples: Any, bits: int, colour: int, pixel: bytes, *chunks: tuple[bytes, bytes]) -> bytes:
    """A PNG of one colour in any depth and kind; `pixel` is its stored form (W3C PNG, clause 9)."""
    head = struct.pack(">IIBBBBB", *SIZE, bits, colour, 0, 0, 0)
    lines = (b"\x00" + pixel * SIZE[0]) * SIZE[1]
    parts = [(b"IHDR", head), *chunks, (b"IDAT", zlib.compress(lines)), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(samples.png_chunk(*part) for part in parts)


def held_to(opened: Opened, truth: Any) -> None:
    values = np.asarray(opened.picture, float)
    assert opened.picture.mode == "RGB" and not opened.notes
    assert np.abs(values - np.asarray(truth, float)).max() <= 1


WIDE = [257 * code for code in COLOUR]


@pytest.mark.parametrize(
    ("bits", "colour", "pixel", "chunks", "truth"),
    [
        (8, 0, bytes([93]), (), [93] * 3),
        (16, 0, struct.pack(">H", 257 * 93), (), [93] * 3),
        (8, 4, bytes([93, 255]), (), [93] * 3),
        (8, 4, bytes([93, 0]), (), [255] * 3),
        (8, 4, bytes([93, 51]), (), [255 - 0.2 * (255 - 93)] * 3),
        (16, 4, struct.pack(">HH", 257 * 93, 65535), (), [93] * 3),
        (8, 2, bytes(COLOUR), (), COLOUR),
        (16, 2, struct.pack(">HHH", *WIDE), (), COLOUR),
        (16, 2, struct.pack(">HHH", *(code + 128 for code in WIDE)), (), COLOUR),
        (8, 6, bytes([*COLOUR, 255]), (), COLOUR),
        (16, 6, struct.pack(">HHHH", *WIDE, 65535), (), COLOUR),
        (8, 3, b"\x01", ((b"PLTE", bytes([1, 2, 3, *COLOUR])),), COLOUR),
        (8, 3, b"\x01", ((b"PLTE", bytes([1, 2, 3, *COLOUR])), (b"tRNS", b"\xff\x00")), [255] * 3),
        (8, 2, bytes(COLOUR), ((b"tRNS", struct.pack(">HHH", *COLOUR)),), [255] * 3),
        (8, 0, bytes([93]), ((b"tRNS", struct.pack(">H", 93)),), [255] * 3),
    ],
)
def test_every_form_of_png(
    make: Maker,
    samples: Any,
    bits: int,
    colour: int,
    pixel: bytes,
    chunks: tuple[tuple[bytes, bytes], ...],
    truth: Any,
) -> None:
    path = make("a.png", png(samples, bits, colour, pixel, *chunks))
    assert check_photo(path) == []
    held_to(open_photo(path), truth)


def test_grey_and_colour_jpeg_and_webp(make: Maker) -> None:
    grey = Image.new("L", SIZE, 93)
    held_to(open_photo(make("a.jpg", grey)), [93] * 3)
    plain = Image.new("RGB", SIZE, COLOUR)
    held_to(open_photo(make("b.jpg", plain, quality=100, subsampling=0)), COLOUR)
    held_to(open_photo(make("c.webp", saved(plain, "WEBP", lossless=True))), COLOUR)
    clear = Image.new("RGBA", SIZE, (*COLOUR, 0))
    held_to(open_photo(make("d.webp", saved(clear, "WEBP", lossless=True))), [255] * 3)


@pytest.mark.parametrize("gamma", [1.0, 1.8, 2.2])
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "16 bits", "with alpha"])
def test_a_grey_profile_is_used(make: Maker, samples: Any, gamma: float, kind: str) -> None:
    profile = samples.grey_profile(gamma)
    if kind == "JPEG":
        content = saved(Image.new("L", SIZE, 93), "JPEG", icc_profile=profile, quality=100)
    else:
        bits, colour = (16, 0) if kind == "16 bits" else (8, 4 if kind == "with alpha" else 0)
        pixel = struct.pack(">H", 257 * 93) if bits == 16 else bytes([93, 255][: 1 + colour // 4])
        packed = b"grey\0\0" + zlib.compress(profile)
        content = png(samples, bits, colour, pixel, (b"iCCP", packed))
    truth = encoded((93 / 255) ** (round(gamma * 256) / 256))
    held_to(open_photo(make("a", content)), [truth] * 3)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "palette"])
def test_a_profile_is_used_in_every_kind(make: Maker, samples: Any, form: str) -> None:
    """sRGB's own primaries and gamma 1.4: each channel for itself, so the truth is plain."""
    profile = samples.icc_profile(SRGB, 1.4)
    plain = Image.new("RGB", SIZE, COLOUR)
    options = {"JPEG": {"quality": 100, "subsampling": 0}, "WEBP": {"lossless": True}}.get(form, {})
    if form == "palette":
        plain, form = plain.quantize(4), "PNG"
    content = saved(plain, form, icc_profile=profile, **options)
    truth = [encoded((code / 255) ** (round(1.4 * 256) / 256)) for code in COLOUR]
    held_to(open_photo(make("a", content)), truth)


def test_numbers_in_a_png_come_before_its_profile(make: Maker, samples: Any) -> None:
    """cICP 1, 13 (sRGB) beside a profile of gamma 1.4: PNG, third edition, clause 4.3."""
    packed = b"odd\0\0" + zlib.compress(samples.icc_profile(SRGB, 1.4))
    chunks = ((b"cICP", bytes([1, 13, 0, 1])), (b"iCCP", packed))
    held_to(open_photo(make("a.png", png(samples, 8, 2, bytes(COLOUR), *chunks))), COLOUR)
    path = make("b.png", png(samples, 8, 2, bytes(COLOUR), (b"cICP", bytes([9, 16, 0, 1]))))
    (fault,) = check_photo(path)
    assert fault.rule == "photo-colour-mode" and "HDR" in fault.found


@pytest.mark.parametrize("colour", [0, 2])
def test_a_png_that_states_a_gamma_alone(make: Maker, samples: Any, colour: int) -> None:
    """gAMA 1.0 is linear light; beside sRGB or a profile it says nothing (PNG, clause 12.7)."""
    pixel, codes = (bytes([93]), [93] * 3) if colour == 0 else (bytes(COLOUR), list(COLOUR))
    linear, usual = ((b"gAMA", struct.pack(">I", gamma)) for gamma in (100000, 45455))
    light = [encoded(code / 255) for code in codes]
    profile = (b"iCCP", b"plain\0\0" + zlib.compress(samples.icc_profile(SRGB, 1.0)))
    for chunks, truth in (
        ((linear,), light),
        ((usual,), codes),
        (((b"sRGB", b"\0"), linear), codes),
        ((profile, usual), light),
        (((b"gAMA", bytes(4)),), codes),
    ):
        held_to(open_photo(make("a.png", png(samples, 8, colour, pixel, *chunks))), truth)


def test_printing_inks_are_refused_with_or_without_a_profile(make: Maker) -> None:
    inks = Image.new("CMYK", SIZE, (10, 120, 130, 40))
    for profile in (None, b"a profile of a press" * 20):
        path = make("a.jpg", saved(inks, "JPEG", icc_profile=profile))
        (fault,) = check_photo(path)
        assert fault.rule == "photo-colour-mode" and "CMYK" in fault.found


@pytest.mark.parametrize("space", [b"CMYK", b"GRAY", b"Lab ", b"RGB "])
def test_a_profile_of_another_space_or_broken_is_told(
    make: Maker, samples: Any, space: bytes
) -> None:
    """The last has the right space, and tags that lie outside it."""
    bad = bytearray(samples.icc_profile(SRGB, 1.4))
    bad[16:20] = space
    bad[136:140] = b"\xff\xff\xff\x00" if space == b"RGB " else bad[136:140]
    bad[148:152] = b"\xff\xff\xff\x00" if space == b"RGB " else bad[148:152]
    bad = bad[:300] if space == b"RGB " else bad
    content = saved(Image.new("RGB", SIZE, COLOUR), "PNG", icc_profile=bytes(bad))
    opened = open_photo(make("a.png", content))
    assert any("colour profile" in note for note in opened.notes)
    assert opened.picture.getpixel((9, 9)) == COLOUR


def test_a_colour_photo_with_a_profile_for_grey_stays_in_colour(make: Maker, samples: Any) -> None:
    content = saved(Image.new("RGB", SIZE, COLOUR), "PNG", icc_profile=samples.grey_profile(2.2))
    opened = open_photo(make("a.png", content))
    assert opened.notes and opened.picture.getpixel((9, 9)) == COLOUR


def test_a_grey_photo_with_a_profile_for_colours(make: Maker, samples: Any) -> None:
    profile = samples.icc_profile(SRGB, 1.4)
    path = make("a.jpg", Image.new("L", SIZE, 93), icc_profile=profile, quality=100)
    held_to(open_photo(path), [encoded((93 / 255) ** (round(1.4 * 256) / 256))] * 3)
