"""The frame size in an AV1 bitstream, in its short and its long form, and in what lies."""

from __future__ import annotations

import io

import pytest
from clearover.photos.av1 import largest_frame
from clearover.photos.blocks import Broken
from clearover.photos.boxes import read_items
from clearover.photos.kinds import can_decode
from heif_files import real
from PIL import Image

Field = tuple[int, int]


def bits(*fields: Field) -> bytes:
    """Numbers as so many bits each, filled up with zeros to whole bytes."""
    text = "".join(f"{value:0{count}b}" for value, count in fields)
    text += "0" * (-len(text) % 8)
    return bytes(int(text[at : at + 8], 2) for at in range(0, len(text), 8))


def unit(content: bytes, kind: int = 1) -> bytes:
    return bytes([kind << 3 | 2, len(content)]) + content


SIZE: list[Field] = [(9, 4), (8, 4), (639, 10), (479, 9)]
SHORT = bits((0, 3), (1, 1), (1, 1), (8, 5), *SIZE)
LONG = bits((0, 3), (0, 1), (0, 1), (0, 1), (0, 1), (0, 5), (0, 12), (8, 5), (1, 1), *SIZE)
TIMED = bits(
    *[(0, 3), (0, 1), (0, 1), (1, 1), (1, 32), (30, 32), (1, 1), (5, 5)],  # ticks; uvlc 001 01
    *[(1, 1), (7, 5), (0, 32), (3, 5), (3, 5)],  # decoder model, delays of 8 bits
    *[(1, 1), (1, 5)],  # two operating points, with a display delay each
    *[(0, 12), (8, 5), (1, 1), (1, 1), (255, 8), (255, 8), (1, 1), (1, 1), (9, 4)],
    *[(1, 12), (7, 5), (0, 1), (0, 1), *SIZE],
)


@pytest.mark.parametrize("header", [SHORT, LONG, TIMED], ids=["short", "long", "timed"])
def test_each_form_of_the_header(header: bytes) -> None:
    assert largest_frame(unit(b"", 2) + unit(header) + unit(b"frame", 6)) == (640, 480)


def test_the_largest_of_several_counts() -> None:
    large = bits((0, 3), (1, 1), (1, 1), (8, 5), (15, 4), (15, 4), (65535, 16), (65535, 16))
    assert largest_frame(unit(SHORT) + unit(large) + unit(SHORT)) == (65536, 65536)


def test_a_unit_without_a_length_reaches_to_the_end() -> None:
    assert largest_frame(bytes([1 << 3]) + SHORT) == (640, 480)
    assert largest_frame(b"") == (0, 0)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (unit(SHORT)[:-1], "no sense"),
        (unit(SHORT[:3]), "no sense"),
        (unit(TIMED[:9]), "no sense"),
        (bytes([0x80 | 1 << 3 | 2, 0]), "no sense"),
        (bytes([1 << 3 | 2]) + b"\xff" * 12, "no sense"),
        (bytes([1 << 3 | 6]), "no sense"),
        (unit(b"", 2) * 5001, "thousands"),
        (bytes([2 << 3 | 2, 9]), "no sense"),
    ],
    ids=range(8),
)
def test_lies(content: bytes, says: str) -> None:
    with pytest.raises(Broken, match=says):
        largest_frame(content)


@pytest.mark.skipif(not can_decode("avif"), reason="Pillow reads no AVIF")
@pytest.mark.parametrize("size", [(640, 480), (333, 301)])
def test_an_encoders_own_files(size: tuple[int, int]) -> None:
    whole = real(Image.new("RGB", size, (9, 99, 200)), "AVIF")
    found = read_items(io.BytesIO(whole), len(whole))
    ((start, end),) = found.items[found.primary].spans
    assert largest_frame(whole[start:end]) == size
