"""Private data in a photo: places, names, serial numbers, hidden pictures.

In: the content of metadata blocks. Out: what was found, in a contributor's words, in the order of
`data/photo-private-tags.csv`. Knows nothing of files; a block that cannot be read counts as
private, since nobody can say that it is not.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache

from ..tables import read_text
from .tiff import Tags, read_tags

EXIF_START = b"Exif\x00\x00"
XMP_STARTS = (b"http://ns.adobe.com/xap/1.0/\x00", b"http://ns.adobe.com/xmp/extension/\x00")
UNREADABLE = "an EXIF block that cannot be read"
_TEXT_COMMENTS = {0x9286, 0x9C9C}
_GPS_VERSION = 0
# Blocks that say how to decode or show the picture. APP12 is one program's quality setting.
_HARMLESS_APP = {"ec", "ee"}


@dataclass(frozen=True, slots=True)
class Private:
    """One row of the table. `tag` is a number, `*`, or a word to look for in XMP."""

    where: str
    tag: str
    says: str


@cache
def table() -> tuple[Private, ...]:
    """The table of private tags, read once."""
    text = read_text("photo-private-tags.csv")
    return tuple(
        Private(row["where"], row["tag"], row["says"]) for row in csv.DictReader(text.splitlines())
    )


def in_exif(block: bytes) -> tuple[Tags, list[str]]:
    """The tags of an EXIF block and what is private in it."""
    tags = read_tags(block.removeprefix(EXIF_START))
    found = [row.says for row in table() if _has(tags, row)]
    if not tags.complete:
        found.append(UNREADABLE)
    return tags, found


def _has(tags: Tags, row: Private) -> bool:
    if row.where == "xmp":
        return False
    if row.tag == "*":
        return any(place == row.where and tag != _GPS_VERSION for place, tag in tags.values)
    number = int(row.tag, 16)
    value = tags.values.get((row.where, number))
    if value is None:
        return False
    if number in _TEXT_COMMENTS:
        value = value[8:] if number == 0x9286 else value  # the first 8 bytes name the alphabet
    return bool(value.strip(b"\x00 \xff"))


def in_xmp(block: bytes) -> list[str]:
    """What is private in an XMP packet, by the words of the table."""
    return [row.says for row in table() if row.where == "xmp" and row.tag.encode() in block]


def in_photoshop(block: bytes) -> list[str]:
    """What is private in a Photoshop block (JPEG APP13).

    Source: Adobe Photoshop File Formats Specification, 2019, image resource ids; from memory.
    """
    found = []
    if b"8BIM\x04\x04" in block:
        found.append("an IPTC block (names, places)")
    if b"8BIM\x04\x0c" in block or b"8BIM\x04\x09" in block:
        found.append("a small copy of the picture (it may show what was cropped away)")
    return found


def in_jpeg_block(name: str, content: bytes) -> tuple[Tags | None, list[str]]:
    """What is private in one JPEG segment; its EXIF tags where it holds them."""
    if name == "e1" and content.startswith(EXIF_START):
        return in_exif(content)
    if name == "e1" and content.startswith(XMP_STARTS):
        return None, in_xmp(content)
    if name == "ed":
        return None, in_photoshop(content)
    if name == "e0":
        thumbnail = content[:5] == b"JFXX\x00" or any(content[12:14])
        return None, ["a small copy of the picture"] if thumbnail else []
    if name == "e2":
        further = content.startswith(b"MPF\x00")
        return None, ["further pictures behind the first"] if further else []
    if name.startswith("e") and name not in _HARMLESS_APP:
        return None, [f"a maker's own block (APP{int(name[1], 16)})"]
    return None, []


def in_png_text(name: str, content: bytes) -> list[str]:
    """What is private in a PNG text chunk, by its keyword (PNG, 2003, clause 11.3.4.2)."""
    keyword = content.split(b"\x00", 1)[0][:80].decode("latin-1").lower()
    if keyword.startswith("raw profile type") and not keyword.endswith(("icc", "icm")):
        return ["a metadata block written as text"]
    if keyword == "xml:com.adobe.xmp":
        return in_xmp(content) if name == "iTXt" and content[18:19] != b"\x01" else ["an XMP block"]
    words = {"author": "the author's name", "copyright": "a name (copyright)"}
    if keyword in words:
        return [words[keyword]]
    return ["where it was taken"] if "gps" in keyword or "location" in keyword else []
