"""HEIC and AVIF files for tests: real ones by an encoder, and bare boxes that claim anything."""

from __future__ import annotations

import io
import struct
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from PIL import Image

QUICK: dict[str, dict[str, Any]] = {
    "HEIF": {"enc_params": {"preset": "ultrafast"}},
    "AVIF": {"speed": 10},
}


def real(picture: Image.Image, form: str, **options: Any) -> bytes:
    """A real file, `HEIF` or `AVIF`. Exif must be bytes: the encoders read the turn from them."""
    if form == "HEIF":
        import pillow_heif

        pillow_heif.register_heif_opener()
    target = io.BytesIO()
    picture.save(target, form, **{"quality": 90, **QUICK[form], **options})
    return target.getvalue()


def box(name: bytes, content: bytes = b"") -> bytes:
    return struct.pack(">I", 8 + len(content)) + name + content


def full(name: bytes, content: bytes = b"", version: int = 0, flags: int = 0) -> bytes:
    return box(name, struct.pack(">I", version << 24 | flags) + content)


def ispe(width: int, height: int) -> bytes:
    return full(b"ispe", struct.pack(">II", width, height))


@dataclass
class Thing:
    """One item: its kind, its content (in idat), its own properties."""

    kind: bytes
    content: bytes = b"x"
    properties: Sequence[bytes] = ()
    hidden: bool = False
    mime: bytes = b""


@dataclass
class Bare:
    """A file of boxes without a real picture."""

    things: list[Thing]
    references: list[tuple[bytes, int, Sequence[int]]] = field(default_factory=list)
    brand: bytes = b"heic"
    primary: int = 1
    extra: bytes = b""
    behind: bytes = b""

    def data(self) -> bytes:
        names, owned, ties, places, inner = b"", b"", b"", b"", b""
        count = 0
        for number, thing in enumerate(self.things, 1):
            text = struct.pack(">HH", number, 0) + thing.kind + b"\0" + thing.mime
            names += full(b"infe", text, 2, int(thing.hidden))
            owned += b"".join(thing.properties)
            marks = bytes(range(count + 1, count + 1 + len(thing.properties)))
            count += len(marks)
            ties += struct.pack(">HB", number, len(marks)) + marks
            places += struct.pack(">HHHHII", number, 1, 0, 1, len(inner), len(thing.content))
            inner += thing.content
        size = len(self.things)
        links = b"".join(
            box(kind, struct.pack(f">HH{len(to)}H", start, len(to), *to))
            for kind, start, to in self.references
        )
        meta = full(
            b"meta",
            full(b"hdlr", b"\0\0\0\0pict" + bytes(13))
            + full(b"pitm", struct.pack(">H", self.primary))
            + full(b"iinf", struct.pack(">H", size) + names)
            + full(b"iref", links)
            + box(b"iprp", box(b"ipco", owned) + full(b"ipma", struct.pack(">I", size) + ties))
            + full(b"iloc", b"\x44\x00" + struct.pack(">H", size) + places, 1)
            + box(b"idat", inner)
            + self.extra,
        )
        return box(b"ftyp", self.brand + b"\0\0\0\0mif1" + self.brand) + meta + self.behind


def picture(*properties: bytes, kind: bytes = b"hvc1", **options: Any) -> Thing:
    return Thing(kind, b"picture", properties or (ispe(640, 480),), **options)
