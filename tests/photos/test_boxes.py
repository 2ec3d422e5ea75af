"""Boxes that lie about their length, place or number end in `Broken`, each for its own reason."""

from __future__ import annotations

import io
import struct
import time

import pytest
from clearover.photos.blocks import Broken
from clearover.photos.boxes import Items, read_items
from heif_files import Bare, Thing, box, full, picture

FTYP = box(b"ftyp", b"heic\0\0\0\0mif1heic")
WHOLE = Bare([picture(), Thing(b"Exif", b"notes")], [(b"cdsc", 2, [1])]).data()


def read(content: bytes) -> Items:
    return read_items(io.BytesIO(content), len(content))


def bent(after: bytes, at: int, new: bytes) -> bytes:
    """The whole file with bytes replaced, `at` bytes behind the only place of a name."""
    assert WHOLE.count(after) == 1
    start = WHOLE.index(after) + len(after) + at
    return WHOLE[:start] + new + WHOLE[start + len(new) :]


def meta(*parts: bytes) -> bytes:
    return FTYP + full(b"meta", b"".join(parts))


def infe(number: int, kind: bytes = b"hvc1", version: int = 2) -> bytes:
    return full(b"infe", struct.pack(">HH", number, 0) + kind + b"\0", version)


def iloc(places: bytes, sizes: bytes = b"\x44\x00", version: int = 1, count: int = 1) -> bytes:
    return full(b"iloc", sizes + struct.pack(">H", count) + places, version)


def place(method: int = 0, source: int = 0, at: int = 0, size: int = 4) -> bytes:
    return struct.pack(">HHHHII", 1, method, source, 1, at, size)


LIST = full(b"iinf", b"\0\1" + infe(1))


def test_a_whole_file_is_read() -> None:
    found = read(WHOLE)
    assert found.primary == 1 and [item.kind for item in found.items.values()] == ["hvc1", "Exif"]
    start, end = found.items[2].spans[0]
    assert WHOLE[start:end] == b"notes"
    assert found.references == [("cdsc", 2, 1)] and not found.other and not found.moving
    assert found.items[1].property("ispe") and found.items[2].property("ispe") is None


def test_a_place_without_a_length_reaches_to_the_end() -> None:
    content = meta(LIST, iloc(place(at=3, size=0)))
    assert read(content).items[1].spans == [(3, len(content))]


LIES = [
    (FTYP, "what it holds"),
    (WHOLE + struct.pack(">I4s", 99, b"free"), "ends inside"),
    (WHOLE + struct.pack(">I4s", 7, b"free"), "ends inside"),
    (WHOLE + b"\0\0\0", "ends inside"),
    (WHOLE + struct.pack(">I4sQ", 1, b"free", 15), "ends inside"),
    (WHOLE + box(b"free") * 5001, "thousands"),
    (FTYP + full(b"meta", bytes(4_000_001)), "larger than"),
    (bent(b"pitm", -8, b"\0\0\0\0"), "no sense"),
    (bent(b"pitm", -8, b"\0\0\0\7"), "no sense"),
    (bent(b"pitm", -8, b"\x7f\0\0\0"), "no sense"),
    (bent(b"pitm", -8, b"\0\0\0\x0b"), "no sense"),
    (meta(full(b"pitm", b"\1")), "no sense"),
    (meta(full(b"pitm", b"\0\1"), full(b"pitm", b"\0\1")), "no sense"),
    (meta(full(b"iinf", b"\0\1" + full(b"infe", bytes(20)))), "no sense"),
    (meta(full(b"iinf", b"\0\1" + infe(1) + infe(1))), "no sense"),
    (meta(full(b"iinf", b"\0\1" + full(b"infe", b"\0\1", 2))), "no sense"),
    (meta(full(b"iinf", b"\0\1" + infe(1) * 5001)), "no sense"),
    (meta(full(b"iref", box(b"dimg", b"\0\1\0\2\0\1"))), "no sense"),
    (meta(full(b"iref", box(b"dimg", b"\0\1\xff\xff" + bytes(2 * 65535)))), "thousands"),
    (meta(LIST, box(b"iprp", full(b"ipma", b"\0\0\0\1\0\1\1\1"))), "no sense"),
    (
        meta(LIST, box(b"iprp", full(b"ipma", b"\0\0\0\xff" + (b"\0\1\xff" + bytes(255)) * 255))),
        "thousands",
    ),
    (meta(LIST, iloc(bytes(40), version=3, count=0)), "no sense"),
    (meta(LIST, iloc(place(), sizes=b"\x34\x00")), "no sense"),
    (meta(LIST, iloc(place(method=2))), "no sense"),
    (meta(LIST, iloc(place(source=1))), "another file"),
    (meta(LIST, iloc(place(at=9999))), "ends inside"),
    (meta(LIST, iloc(place(at=4, size=9999))), "ends inside"),
    (meta(LIST, iloc(place(method=1, size=1))), "ends inside"),
    (meta(LIST, iloc(place(method=1, size=9)), box(b"idat", b"four")), "ends inside"),
    (meta(LIST, iloc(place(), count=2)), "no sense"),
    (meta(LIST, iloc(place() * 5001, count=5001)), "thousands"),
    (
        meta(LIST, iloc(struct.pack(">HHHH", 1, 0, 0, 10001) + bytes(8 * 10001))),
        "thousands",
    ),
]


@pytest.mark.parametrize(("content", "says"), LIES, ids=range(len(LIES)))
def test_each_lie_is_found_soon(content: bytes, says: str) -> None:
    started = time.process_time()
    with pytest.raises(Broken, match=says):
        read(content)
    assert time.process_time() - started < 0.3


@pytest.mark.parametrize(
    ("content", "name"),
    [
        (WHOLE + box(b"mpvd", b"video"), "mpvd"),
        (WHOLE + box(b"free", b"words"), "free"),
        (meta(LIST, box(b"xml ", b"words")), "xml "),
        (meta(LIST, box(b"free", b"words")), "free"),
        (meta(LIST, box(b"iprp", box(b"ipco", full(b"udes", b"en\0words")))), "udes"),
    ],
)
def test_what_is_of_no_known_use_is_listed(content: bytes, name: str) -> None:
    assert read(content).other == [name]
