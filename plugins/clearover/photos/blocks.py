"""Walk the blocks of a JPEG, PNG or WebP file without decoding it.

In: an open binary file and its length. Out: blocks with their place in the file. Every length is
checked against the file before it is believed; a file that breaks off raises `Broken`.

Formats: JPEG, ITU-T T.81 (1992), annex B; PNG, W3C Recommendation 2003, clause 5; WebP, RFC 9649
(2024), section 2.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

from .limits import limits

STANDALONE = {0x01, *range(0xD0, 0xD8)}
START_OF_SCAN, END_OF_IMAGE = 0xDA, 0xD9
FILL_MAX = 1000
_MARKER = re.compile(rb"\xff[^\x00\x01\xff\xd0-\xd7]")


class Broken(Exception):
    """The file breaks off, or its blocks make no sense."""


@dataclass(frozen=True, slots=True)
class Block:
    """One block. `name` is a JPEG marker in hex (`e1`) or a chunk's four letters.

    `start` to `end` is the whole block, `data` where its content begins, `size` its length.
    """

    name: str
    start: int
    data: int
    size: int
    end: int


def jpeg_blocks(file: BinaryIO, length: int) -> Iterator[Block]:
    """The segments before the picture data, that of the first scan (`da`) last."""
    at = 2
    for _ in range(limits().segments_max):
        file.seek(at)
        head = file.read(2)
        start = at
        while head == b"\xff\xff" and at - start < FILL_MAX:  # fill bytes, T.81 B.1.1.2
            at += 1
            head = b"\xff" + file.read(1)
        if len(head) < 2 or head[0] != 0xFF:
            raise Broken("the blocks at its beginning are damaged")
        marker = head[1]
        if marker == 0xFF:
            raise Broken("it holds nothing but filling")
        if marker in STANDALONE:
            at += 2
            continue
        if marker == END_OF_IMAGE:
            raise Broken("it ends before any picture data")
        size = int.from_bytes(file.read(2), "big")
        end = at + 2 + size
        if size < 2 or end > length:
            raise Broken("it ends inside its first blocks")
        yield Block(f"{marker:02x}", start, at + 4, size - 2, end)
        if marker == START_OF_SCAN:
            return
        at = end
    raise Broken("it has thousands of blocks")


def jpeg_end(data: bytes, at: int) -> int:
    """Where the picture that is being scanned from `at` ends (just after its end marker)."""
    for marker, _, end in jpeg_markers(data, at):
        if marker == END_OF_IMAGE:
            return end
    raise Broken("the end of the picture is missing")


def jpeg_markers(data: bytes, at: int) -> Iterator[tuple[int, int, int]]:
    """Markers after the first scan has begun at `at`, with where their block starts and ends."""
    while found := _MARKER.search(data, at):
        marker, start = data[found.start() + 1], found.start()
        if marker == END_OF_IMAGE:
            yield marker, start, start + 2
            return
        at = start + 2 + int.from_bytes(data[start + 2 : start + 4], "big")
        yield marker, start, at


def png_blocks(file: BinaryIO, length: int) -> Iterator[Block]:
    """The chunks, `IEND` last."""
    at = 8
    for _ in range(limits().segments_max * 20):  # IDAT chunks may be small and many
        file.seek(at)
        head = file.read(8)
        if len(head) < 8:
            raise Broken("the end of the picture is missing")
        size, name = int.from_bytes(head[:4], "big"), head[4:]
        end = at + 12 + size
        if not name.isalpha() or end > length:
            raise Broken("it ends inside the picture")
        yield Block(name.decode("ascii"), at, at + 8, size, end)
        if name == b"IEND":
            return
        at = end
    raise Broken("it has thousands of blocks")


def webp_blocks(file: BinaryIO, length: int) -> Iterator[Block]:
    """The chunks."""
    file.seek(4)
    stop = 8 + int.from_bytes(file.read(4), "little")
    if stop > length:
        raise Broken("it is shorter than it says")
    at = 12
    for _ in range(limits().segments_max):
        if at >= stop:
            return
        file.seek(at)
        head = file.read(8)
        if len(head) < 8:
            raise Broken("it ends inside a block")
        size = int.from_bytes(head[4:], "little")
        end = at + 8 + size + (size & 1)
        if end > stop + (size & 1):
            raise Broken("it ends inside the picture")
        yield Block(head[:4].decode("latin-1"), at, at + 8, size, end)
        at = end
    raise Broken("it has thousands of blocks")
