"""Walk the boxes of a HEIC or AVIF file: which items it holds, where, and what is said of each.

In: an open binary file and its length. Out: `Items`. Knows nothing of pictures (`heif` does). The
boxes read here nest to a fixed depth, so nothing recurses; every length is checked against what
holds it, and a file that breaks off raises `Broken`.

Formats: ISO/IEC 14496-12:2022, clauses 4.2 (boxes) and 8.11 (meta, iloc, iinf, pitm, iref, idat);
ISO/IEC 23008-12:2022, clause 9.3 (iprp, ipco, ipma); both from memory, checked against files that
two encoders write.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import BinaryIO

from .blocks import Broken
from .limits import limits

IN_FILE, IN_IDAT = 0, 1
META_KNOWN = {"hdlr", "pitm", "iinf", "iref", "iprp", "iloc", "idat", "dinf", "grpl", "ipro"}
GAPS = {"free", "skip"}
NONSENSE = "its list of contents makes no sense"


@dataclass(frozen=True, slots=True)
class Box:
    """One box: its content lies from `data` to `end`."""

    name: str
    data: int
    end: int


@dataclass(slots=True)
class Item:
    """One item: a picture, a piece of one, or notes. `spans` are (start, end) in the file."""

    kind: str = ""
    hidden: bool = False
    content: str = ""
    packed: bool = False
    properties: list[tuple[str, bytes]] = field(default_factory=list)
    spans: list[tuple[int, int]] = field(default_factory=list)

    def property(self, name: str) -> bytes | None:
        """The first property of this name."""
        return next((content for kind, content in self.properties if kind == name), None)


@dataclass(slots=True)
class Items:
    """What a file holds. `references` are (kind, from, to); `other` are boxes of no known use."""

    primary: int = 0
    items: dict[int, Item] = field(default_factory=dict)
    references: list[tuple[str, int, int]] = field(default_factory=list)
    other: list[str] = field(default_factory=list)
    data: list[tuple[int, int]] = field(default_factory=list)
    moving: bool = False


class Fields:
    """Reads numbers one after the other and never beyond the end."""

    def __init__(self, data: bytes, at: int, end: int) -> None:
        self.data, self.at, self.end = data, at, min(end, len(data))

    def take(self, size: int) -> bytes:
        """The next bytes."""
        if self.at + size > self.end:
            raise Broken(NONSENSE)
        self.at += size
        return self.data[self.at - size : self.at]

    def number(self, size: int) -> int:
        """The next number of so many bytes; 0 for none."""
        return int.from_bytes(self.take(size), "big")

    def text(self) -> str:
        """The next text, up to its zero byte or the end."""
        found = self.data.find(b"\x00", self.at, self.end)
        stop = found if found >= 0 else self.end
        text = self.data[self.at : stop].decode("utf-8", "replace")
        self.at = min(stop + 1, self.end)
        return text


def read_items(file: BinaryIO, length: int) -> Items:
    """Everything that the file's boxes say."""
    found, meta = Items(), None
    for box in _outer_boxes(file, length):
        if box.name == "meta" and meta is None:
            if box.end - box.data > limits().metadata_bytes_max:
                raise Broken("its list of contents is larger than any camera's")
            file.seek(box.data)
            meta = (file.read(box.end - box.data), box.data)
        elif box.name in ("moov", "moof"):
            found.moving = True
        elif box.name == "mdat":
            found.data.append((box.data, box.end))
        elif box.name in GAPS:
            file.seek(box.data)
            if file.read(box.end - box.data).strip(b"\x00"):
                found.other.append(box.name)
        elif box.name != "ftyp":
            found.other.append(box.name)
    if meta is None:
        if found.moving:
            return found
        raise Broken("it does not say what it holds")
    _meta(found, *meta, length)
    return found


def _name(raw: bytes) -> str:
    return raw.decode("ascii") if raw.isascii() and raw.isalnum() else raw.decode("latin-1")


def _outer_boxes(file: BinaryIO, length: int) -> Iterator[Box]:
    at = 0
    for _ in range(limits().segments_max):
        if at >= length:
            return
        file.seek(at)
        head = file.read(16)
        size, data = int.from_bytes(head[:4], "big"), at + 8
        if size == 1:
            size, data = int.from_bytes(head[8:], "big"), at + 16
        end = at + size if size else length  # no size: up to the end of the file
        if len(head) < 8 or data > end or end > length:
            raise Broken("it ends inside the picture")
        yield Box(_name(head[4:8]), data, end)
        at = end
    raise Broken("it has thousands of blocks")


def _boxes(data: bytes, at: int, end: int) -> Iterator[Box]:
    for _ in range(limits().segments_max):
        if at >= end:
            return
        fields = Fields(data, at, end)
        size, name = fields.number(4), _name(fields.take(4))
        if size == 1:
            size = fields.number(8)
        if fields.at > at + size or at + size > end:
            raise Broken(NONSENSE)
        yield Box(name, fields.at, at + size)
        at += size
    raise Broken("it has thousands of blocks")


def _meta(found: Items, data: bytes, offset: int, length: int) -> None:
    """Read the meta box. `offset` is where its content lies in the file."""
    boxes: dict[str, Box] = {}
    for box in _boxes(data, 4, len(data)):
        if box.name not in META_KNOWN:
            if box.name not in GAPS or data[box.data : box.end].strip(b"\x00"):
                found.other.append(box.name)
        elif boxes.setdefault(box.name, box) is not box:
            raise Broken(NONSENSE)
    for name, read in (("iinf", _iinf), ("pitm", _pitm), ("iref", _iref), ("iprp", _iprp)):
        if part := boxes.get(name):
            read(found, data, part)
    if part := boxes.get("iloc"):
        inner = boxes.get("idat")
        idat = (offset + inner.data, offset + inner.end) if inner else (0, 0)
        found.data += [idat] if inner else []
        _iloc(found, Fields(data, *_span(part)), idat, length)


def _pitm(found: Items, data: bytes, box: Box) -> None:
    fields = Fields(data, box.data, box.end)
    version = fields.number(4) >> 24
    found.primary = fields.number(4 if version else 2)


def _iinf(found: Items, data: bytes, box: Box) -> None:
    fields = Fields(data, box.data, box.end)
    fields.take(4 if fields.number(4) >> 24 else 2)
    for entry in _boxes(data, fields.at, box.end):
        if entry.name != "infe":
            continue
        row = Fields(data, entry.data, entry.end)
        head = row.number(4)
        if head >> 24 not in (2, 3):
            raise Broken(NONSENSE)
        number = row.number(2 if head >> 24 == 2 else 4)
        row.take(2)
        item = Item(_name(row.take(4)), bool(head & 1))
        row.text()
        if item.kind == "mime":
            item.content, item.packed = row.text(), bool(row.text())
        if number in found.items:
            raise Broken(NONSENSE)
        found.items[number] = item


def _iref(found: Items, data: bytes, box: Box) -> None:
    fields = Fields(data, box.data, box.end)
    size = 4 if fields.number(4) >> 24 else 2
    for entry in _boxes(data, fields.at, box.end):
        row = Fields(data, entry.data, entry.end)
        start = row.number(size)
        for _ in range(row.number(2)):
            found.references.append((entry.name, start, row.number(size)))
        if len(found.references) > limits().segments_max:
            raise Broken("it has thousands of blocks")


def _iprp(found: Items, data: bytes, box: Box) -> None:
    kept: list[tuple[str, bytes]] = []
    ties = []
    for part in _boxes(data, box.data, box.end):
        if part.name == "ipco":
            kept += [(row.name, data[row.data : row.end]) for row in _boxes(data, *_span(part))]
        elif part.name == "ipma":
            ties.append(part)
    found.other += [name for name, _ in kept if name in ("uuid", "udes")]
    for part in ties:
        _ipma(found, Fields(data, *_span(part)), kept)


def _span(box: Box) -> tuple[int, int]:
    return box.data, box.end


def _ipma(found: Items, fields: Fields, kept: list[tuple[str, bytes]]) -> None:
    head = fields.number(4)
    wide, budget = head & 1, 4 * limits().segments_max
    for _ in range(fields.number(4)):
        item = found.items.get(fields.number(4 if head >> 24 else 2))
        count = fields.number(1)
        budget -= 1 + count
        if budget < 0:
            raise Broken("it has thousands of blocks")
        for _ in range(count):
            index = fields.number(2 if wide else 1) & (0x7FFF if wide else 0x7F)
            if index > len(kept):
                raise Broken(NONSENSE)
            if item is not None and index:
                item.properties.append(kept[index - 1])


def _iloc(found: Items, fields: Fields, idat: tuple[int, int], length: int) -> None:
    version = fields.number(4) >> 24
    sizes = fields.number(2)
    offset, extent, base, index = (sizes >> shift & 15 for shift in (12, 8, 4, 0))
    if version > 2 or {offset, extent, base, index if version else 0} - {0, 4, 8}:
        raise Broken(NONSENSE)
    budget = 2 * limits().segments_max
    for _ in range(fields.number(2 if version < 2 else 4)):
        item = found.items.get(fields.number(2 if version < 2 else 4), Item())
        method = fields.number(2) & 15 if version else IN_FILE
        if fields.number(2):
            raise Broken("it points to another file")
        start = fields.number(base)
        count = fields.number(2)
        budget -= 1 + count
        if budget < 0:
            raise Broken("it has thousands of blocks")
        for _ in range(count):
            fields.take(index if version else 0)
            at, size = start + fields.number(offset), fields.number(extent)
            item.spans.append(_place(method, at, size, idat, length))


def _place(method: int, at: int, size: int, idat: tuple[int, int], length: int) -> tuple[int, int]:
    """Where an extent lies in the file."""
    if method not in (IN_FILE, IN_IDAT):
        raise Broken(NONSENSE)
    first, last = idat if method == IN_IDAT else (0, length)
    begin = first + at
    end = begin + size if size else last
    if not begin <= end <= last:
        raise Broken("it ends inside the picture")
    return begin, end
