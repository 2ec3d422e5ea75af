"""Decode a photo fully, once for each content, to see whether it is whole.

In: a path and a cache folder. Out: a fault or None, both remembered by the photo's checksum. A
header can be sound while the picture behind it is not.
"""

from __future__ import annotations

from pathlib import Path

from .cache import digest_of, file_sha256, write_whole
from .faults import known_fault, remember_fault
from .results import PhotoFault, PhotoRefused


def verify(path: Path, cache: Path) -> PhotoFault | None:
    """The fault met when decoding, or None. A photo is decoded only the first time."""
    try:
        sha = file_sha256(path)
    except OSError as error:
        return PhotoFault("photo-not-a-photo", error.strerror or "unreadable", "save it again")
    known = cache / "verified" / digest_of("verified", sha)
    if known.exists():
        return None
    if fault := known_fault(cache, sha):
        return fault
    from .opening import open_photo

    try:
        open_photo(path, public=True)
    except PhotoRefused as refusal:
        remember_fault(cache, sha, refusal)
        return refusal.fault
    write_whole(known, b"")
    return None
