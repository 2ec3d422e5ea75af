"""Photos with every trap we know, made in code: no big files in the repository."""

from __future__ import annotations

import io
import struct
import sys
import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

Maker = Callable[..., Path]
sys.path.insert(0, str(Path(__file__).parent))  # the tests find their own helpers by themselves


def scene(width: int = 640, height: int = 480) -> Image.Image:
    """A smooth picture whose four quarters differ, so that any wrong turn shows."""
    y, x = np.mgrid[0:height, 0:width]
    red, green = 255 * x / width, 255 * y / height
    blue = 128 + 60 * np.sin(x / 40) * np.cos(y / 30)
    return Image.fromarray(np.stack([red, green, blue], -1).astype(np.uint8))


def jpeg_bytes(picture: Image.Image, **options: object) -> bytes:
    target = io.BytesIO()
    picture.save(target, "JPEG", **{"quality": 90, **options})  # type: ignore[arg-type]
    return target.getvalue()


def gps_exif(orientation: int = 1) -> Image.Exif:
    """What a phone writes: place, serial number, owner, maker's notes."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = "Invented Phones"
    exif[0x013B] = "A. Potter"
    exif.get_ifd(0x8825).update({0: b"\x02\x03\x00\x00", 1: "N", 2: (51.0, 30.0, 12.5)})
    exif.get_ifd(0x8769).update({0xA431: "SN-0001", 0x927C: b"maker's own notes"})
    return exif


def png_chunk(name: bytes, content: bytes) -> bytes:
    crc = zlib.crc32(name + content)
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", crc)


def png_header(width: int, height: int, bits: int = 8, colour: int = 2) -> bytes:
    """A PNG that claims any size and holds next to nothing."""
    head = struct.pack(">IIBBBBB", width, height, bits, colour, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + png_chunk(b"IHDR", head)
        + png_chunk(b"IDAT", zlib.compress(b"\x00" * 100))
        + png_chunk(b"IEND", b"")
    )


def icc_profile(primaries: tuple[tuple[float, float], ...], gamma: float) -> bytes:
    """A matrix profile (ICC.1:2001-04, version 2) with these XYZ columns, D50, and one gamma."""
    s15 = [struct.pack(">i", round(v * 65536)) for v in (0.9642, 1.0, 0.8249)]
    xyz = [
        b"XYZ \0\0\0\0" + b"".join(struct.pack(">i", round(v * 65536)) for v in column)
        for column in primaries
    ]
    curve = b"curv\0\0\0\0" + struct.pack(">IH", 1, round(gamma * 256)) + b"\0\0"
    text = b"desc\0\0\0\0" + struct.pack(">I", 5) + b"wide\0" + b"\0" * 78 + b"\0"
    tags = {
        b"desc": text,
        b"cprt": b"text\0\0\0\0none\0\0\0\0",
        b"wtpt": b"XYZ \0\0\0\0" + b"".join(s15),
        **dict(zip((b"rXYZ", b"gXYZ", b"bXYZ"), xyz, strict=True)),
        **dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve),
    }
    at, table, body = 128 + 4 + 12 * len(tags), b"", b""
    for name, content in tags.items():
        content += b"\0" * (-len(content) % 4)
        table += name + struct.pack(">II", at + len(body), len(content))
        body += content
    head = struct.pack(
        ">I4sI4s4s4s", at + len(body), b"\0" * 4, 0x02100000, b"mntr", b"RGB ", b"XYZ "
    )
    head += b"\0" * 12 + b"acsp" + b"\0" * 28 + b"".join(s15)
    return head.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


def grey_profile(gamma: float) -> bytes:
    """A profile for grey pictures (ICC.1:2001-04, clause 6.3.2): a white and one gamma."""
    curve = b"curv\0\0\0\0" + struct.pack(">IH", 1, round(gamma * 256)) + b"\0\0"
    white = b"XYZ \0\0\0\0" + struct.pack(">iii", 63190, 65536, 54061)
    text = b"desc\0\0\0\0" + struct.pack(">I", 5) + b"grey\0" + b"\0" * 78 + b"\0"
    tags = {b"desc": text, b"wtpt": white, b"kTRC": curve, b"cprt": b"text\0\0\0\0none\0\0\0\0"}
    at, table, body = 132 + 12 * len(tags), b"", b""
    for name, content in tags.items():
        content += b"\0" * (-len(content) % 4)
        table += name + struct.pack(">II", at + len(body), len(content))
        body += content
    head = struct.pack(
        ">I4xI4s4s4s12x4s", at + len(body), 0x02100000, b"mntr", b"GRAY", b"XYZ ", b"acsp"
    )
    head = (head + bytes(28) + white[8:]).ljust(128, b"\0")
    return head + struct.pack(">I", len(tags)) + table + body


@pytest.fixture
def make(tmp_path: Path) -> Maker:
    """Write bytes, or a picture as JPEG, under a name; returns the path."""

    def write(name: str, content: bytes | Image.Image | None = None, **options: object) -> Path:
        path = tmp_path / name
        if content is None:
            content = scene()
        data = content if isinstance(content, bytes) else jpeg_bytes(content, **options)
        path.write_bytes(data)
        return path

    return write


@pytest.fixture
def samples() -> object:
    """The makers above, for tests that build their own traps."""
    import types

    return types.SimpleNamespace(
        scene=scene,
        jpeg_bytes=jpeg_bytes,
        gps_exif=gps_exif,
        png_chunk=png_chunk,
        png_header=png_header,
        icc_profile=icc_profile,
        grey_profile=grey_profile,
    )
