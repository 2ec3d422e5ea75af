"""What a HEIC or AVIF file says of its picture before it is decoded.

In: an open binary file, its length, a `Header` to fill. Size, turn, depth, colours, further
pictures, private data; decodes nothing.

Formats: HEIF, ISO/IEC 23008-12:2022, clauses 6.4 (kinds of pictures), 6.5 (properties: ispe, clap,
irot, imir, auxC) and annex A.2 (Exif and XMP items; the turn comes from irot and imir, an Exif
orientation is not applied); colr, ISO/IEC 14496-12:2022, clause 12.1.5; hvcC, ISO/IEC 14496-15;
av1C, AV1 in ISOBMFF, 2019, section 2.3. From memory, checked against files that two encoders write.
"""

from __future__ import annotations

from fractions import Fraction
from typing import BinaryIO

from . import private
from .av1 import largest_frame
from .blocks import Broken
from .boxes import NONSENSE, Fields, Item, Items, read_items
from .kinds import EXPORT, STILL
from .limits import limits
from .results import PhotoFault, PhotoRefused
from .told import Header

CODED = {"heic": {"hvc1", "hev1"}, "avif": {"av01"}}
DERIVED = {"grid", "iden", "iovl", "tmap"}
PICTURES = {*CODED["heic"], *CODED["avif"], *DERIVED}
PICTURES |= {"avc1", "vvc1", "jpeg", "j2k1", "unci", "mski", "lhv1"}
ALPHA = (b"urn:mpeg:mpegB:cicp:systems:auxiliary:alpha", b"urn:mpeg:hevc:2015:auxid:1")
FURTHER = "further pictures behind the first"
SMALL = "a small copy of the picture (it may show what was cropped away)"
PADDING = 64
"""A crop of fewer px is an encoder's filling up to its block size (HEVC: 64, ITU-T H.265)."""
AREAS = 4
"""Times the largest photo: its pieces, and what phones keep beside it. Our choice."""
# EXIF orientation by (mirrored left to right first, then quarter turns anticlockwise).
_ORIENTATIONS = {
    (0, 0): 1,
    (1, 0): 2,
    (0, 2): 3,
    (1, 2): 4,
    (1, 1): 5,
    (0, 3): 6,
    (1, 3): 7,
    (0, 1): 8,
}


def describe(file: BinaryIO, length: int, header: Header) -> None:
    """Fill the header of a `heic` or `avif` file."""
    found = read_items(file, length)
    if found.moving:
        moving = f"a series of pictures or a video in {header.kind.upper()}"
        raise PhotoRefused(PhotoFault("photo-animated", moving, STILL))
    main = found.items.get(found.primary)
    if main is None:
        raise Broken("it does not say which picture is the first")
    parts = _parts(found)
    coded = {item.kind for item in parts.values() if item.kind not in DERIVED}
    if not coded or coded - CODED[header.kind]:
        what = f"{header.kind.upper()} with a picture of another kind inside"
        raise PhotoRefused(PhotoFault("photo-kind-not-accepted", what, EXPORT))
    first = next(item for item in parts.values() if item.kind in CODED[header.kind])
    _size(main, header)
    header.orientation = _orientation(main)
    header.bits = _bits(first)
    _colour(main if main.property("colr") else first, header)
    _further(found, parts, header)
    _coded_sizes(file, found)
    _notes(file, found, header)


def _parts(found: Items) -> dict[int, Item]:
    """The first picture, and all that it is put together from."""
    made_of: dict[int, list[int]] = {}
    for kind, start, to in found.references:
        if kind == "dimg":
            made_of.setdefault(start, []).append(to)
    parts, waiting = {}, [found.primary]
    while waiting:
        number = waiting.pop()
        if number not in parts and number in found.items:
            parts[number] = found.items[number]
            waiting += made_of.get(number, [])
    return parts


def _size(main: Item, header: Header) -> None:
    size = main.property("ispe")
    if size is None or len(size) < 12:
        raise Broken("it does not say its size")
    fields = Fields(size, 4, len(size))
    width, height = fields.number(4), fields.number(4)
    header.width, header.height = width, height
    if (clap := main.property("clap")) is None:
        return
    left, top, header.width, header.height = _crop(clap, width, height)
    if header.kind == "avif" and (header.width, header.height) != (width, height):
        crop = "a crop that is noted in the file but not made"  # the AVIF decoder passes it over
        raise PhotoRefused(PhotoFault("photo-not-a-photo", crop, EXPORT))
    if max(left, top, width - header.width, height - header.height) >= PADDING:
        header.private.append("a part of the picture that was cropped away")


def _coded_sizes(file: BinaryIO, found: Items) -> None:
    """Refuse coded pictures larger than their box says (AV1; the HEVC decoder checks by itself),
    and more of them than a photo is made of."""
    left, area = limits().bytes_max, 0
    for item in found.items.values():
        if item.kind not in CODED["avif"] | CODED["heic"]:
            continue
        size = Fields((item.property("ispe") or b"")[4:12].ljust(8, b"\0"), 0, 8)
        width, height = size.number(4), size.number(4)
        area += width * height
        if item.kind in CODED["avif"]:
            content = _content(file, item, left)
            left -= len(content)
            if not left:
                raise Broken(NONSENSE)
            wide, high = largest_frame(content)
            if wide > width or high > height:
                two = f"it states two sizes, {width} × {height} and {wide} × {high} px"
                raise PhotoRefused(PhotoFault("photo-not-a-photo", two, EXPORT))
    if area > AREAS * limits().pixels_max:
        many = f"{area // 1_000_000} million px in all its pictures"
        wanted = f"{limits().pixels_max // 1_000_000} million px"
        raise PhotoRefused(PhotoFault("photo-too-large", many, wanted))


def _crop(clap: bytes, width: int, height: int) -> tuple[int, int, int, int]:
    """Left, top, width, height in px of a clean aperture; ISO/IEC 14496-12, clause 12.1.4."""
    fields = Fields(clap, 0, len(clap))
    found = []
    for signed in (False, False, True, True):
        above = int.from_bytes(fields.take(4), "big", signed=signed)
        below = fields.number(4)
        if not below:
            raise Broken(NONSENSE)
        found.append(Fraction(above, below))
    wide, high, right, down = found
    left = Fraction(width - wide) / 2 + right
    top = Fraction(height - high) / 2 + down
    whole = all(value.denominator == 1 for value in (left, top, wide, high))
    if not whole or min(left, top) < 0 or left + wide > width or top + high > height:
        raise Broken(NONSENSE)
    return int(left), int(top), int(wide), int(high)


def _orientation(main: Item) -> int:
    """irot and imir in their order, as one EXIF orientation."""
    mirrored, turns = 0, 0
    for name, content in main.properties:
        number = content[0] if content else 0
        if name == "irot":
            turns += number & 3
        elif name == "imir":  # 0: top and bottom change places; 1: left and right
            mirrored ^= 1
            turns = -turns + (0 if number & 1 else 2)
    return _ORIENTATIONS[mirrored, turns % 4]


def _bits(first: Item) -> int:
    if (config := first.property("hvcC")) and len(config) > 17:
        return 8 + (config[17] & 7)
    if (config := first.property("av1C")) and len(config) > 2 and config[2] & 0x40:
        return 12 if config[2] & 0x20 else 10
    return 8


def _colour(item: Item, header: Header) -> None:
    for name, content in item.properties:
        if name != "colr":
            continue
        kind, rest = content[:4], content[4:]
        if kind in (b"prof", b"rICC") and header.profile is None:
            header.profile = rest
        elif kind == b"nclx" and header.cicp is None and len(rest) >= 4:
            header.cicp = int.from_bytes(rest[:2], "big"), int.from_bytes(rest[2:4], "big")


def _further(found: Items, parts: dict[int, Item], header: Header) -> None:
    """Pictures beside the first one: shown beside it, or hidden."""
    pieces = {to for kind, _, to in found.references if kind == "dimg"}
    roles: dict[int, set[str]] = {}
    for kind, start, to in found.references:
        if to in parts or kind in ("thmb", "auxl"):
            roles.setdefault(start, set()).add(kind)
    for number, item in found.items.items():
        if item.kind not in PICTURES or number in parts or number in pieces:
            continue
        role = roles.get(number, set())
        if "thmb" in role:
            header.private.append(SMALL)
        elif "auxl" in role:
            says = item.property("auxC") or b""
            if not says[4:].startswith(ALPHA):
                header.private.append(FURTHER)
        elif "dimg" in role or item.hidden:
            header.private.append(FURTHER)
        else:
            header.further += 1


def _notes(file: BinaryIO, found: Items, header: Header) -> None:
    left = limits().metadata_bytes_max
    for item in found.items.values():
        if item.kind in PICTURES:
            continue
        content = _content(file, item, left)
        left -= len(content)
        if not left:
            raise Broken("its notes are larger than any camera's")
        if item.kind == "Exif":
            tiff = content[4 + int.from_bytes(content[:4], "big") :]
            header.private += private.in_exif(tiff)[1]
        elif item.content == "application/rdf+xml" and not item.packed:
            header.private += private.in_xmp(content)
        else:
            header.private.append("notes that cannot be read")
    if found.other:
        header.private.append("blocks that are no part of the picture")
    if _gaps(file, found):
        header.private.append("more data behind the picture")


def _content(file: BinaryIO, item: Item, left: int) -> bytes:
    pieces = []
    for start, end in item.spans:
        file.seek(start)
        pieces.append(file.read(min(end - start, left)))
        left -= len(pieces[-1])
    return b"".join(pieces)


def _gaps(file: BinaryIO, found: Items) -> bool:
    """Whether there is data, other than zeros, that belongs to no item."""
    spans = sorted(span for item in found.items.values() for span in item.spans)
    at, reached = 0, 0
    for start, end in sorted(found.data):
        reached = max(reached, start)
        while reached < end:
            while at < len(spans) and spans[at][0] <= reached:
                reached = max(reached, spans[at][1])
                at += 1
            if reached >= end:
                break
            stop = min(spans[at][0], end) if at < len(spans) else end
            file.seek(reached)
            if file.read(stop - reached).strip(b"\x00"):
                return True
            reached = stop
    return False
