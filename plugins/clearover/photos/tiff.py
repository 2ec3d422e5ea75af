"""Read the tags of an EXIF block, which is a small TIFF file, without believing it.

In: bytes, perhaps hostile. Out: tags by directory. Offsets that point nowhere, loops and huge
counts end the reading quietly and are told by `complete`.

Source: CIPA DC-008 (Exif 2.32, 2019), sections 4.5 and 4.6; TIFF 6.0 (Adobe, 1992), section 2.
"""

from __future__ import annotations

from dataclasses import dataclass, field

SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4}
EXIF_POINTER, GPS_POINTER, ORIENTATION = 0x8769, 0x8825, 0x0112
ENTRIES_MAX = 1000


@dataclass(slots=True)
class Tags:
    """Tags by (directory, number); directories are `main`, `exif`, `gps`, `thumbnail`.

    `complete` is False where the block could not be followed to its end.
    """

    order: str = "big"
    values: dict[tuple[str, int], bytes] = field(default_factory=dict)
    complete: bool = True

    def number(self, directory: str, tag: int) -> int | None:
        """The first number of a tag of 2 or 4 bytes."""
        raw = self.values.get((directory, tag))
        if not raw:
            return None
        size = 2 if len(raw) < 4 else 4
        return int.from_bytes(raw[:size], "little" if self.order == "little" else "big")

    @property
    def orientation(self) -> int:
        """1 to 8; 1 where none or a nonsensical one is given."""
        found = self.number("main", ORIENTATION)
        return found if found and found <= 8 else 1


def read_tags(block: bytes) -> Tags:
    """The tags of the directories that matter here. Never raises."""
    tags = Tags(order="little" if block[:2] == b"II" else "big")
    if block[:2] not in (b"II", b"MM") or len(block) < 8:
        tags.complete = False
        return tags
    after = _directory(block, _int(block, 4, 4, tags.order), "main", tags)
    for directory, pointer in (("exif", EXIF_POINTER), ("gps", GPS_POINTER)):
        at = tags.number("main", pointer)
        if at is not None:
            _directory(block, at, directory, tags)
    if after:
        _directory(block, after, "thumbnail", tags)
    return tags


def _int(block: bytes, at: int, size: int, order: str) -> int:
    return int.from_bytes(block[at : at + size], "little" if order == "little" else "big")


def _directory(block: bytes, at: int, directory: str, tags: Tags) -> int:
    """Read one directory; returns where the next one is, or 0."""
    count = _int(block, at, 2, tags.order)
    last = at + 2 + 12 * count
    if at < 8 or count > ENTRIES_MAX or last > len(block):
        tags.complete = False
        return 0
    for entry in range(at + 2, last, 12):
        tag = _int(block, entry, 2, tags.order)
        kind = _int(block, entry + 2, 2, tags.order)
        size = SIZES.get(kind, 1) * _int(block, entry + 4, 4, tags.order)
        place = entry + 8 if size <= 4 else _int(block, entry + 8, 4, tags.order)
        if place + size > len(block):
            tags.complete = False
            size = max(0, len(block) - place)
        tags.values[directory, tag] = block[place : place + size]
    return _int(block, last, 4, tags.order)
