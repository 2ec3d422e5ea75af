"""What kind of file this is, by its first bytes, never by its name.

In: the first 32 bytes or more. Out: a kind and, for kinds that are not accepted, what to do.
"""

from __future__ import annotations

ACCEPTED = ("jpeg", "png", "webp")

_EXPORT = "open it in any picture program and export it as JPEG"
_HEIC = (
    "set the phone's camera to its most compatible format, or export the photo as JPEG "
    "(sending it to oneself by mail often does that)"
)
ADVICE = {
    "HEIC": _HEIC,
    "AVIF": _EXPORT,
    "GIF": _EXPORT,
    "TIFF or a camera's raw format": _EXPORT,
    "BMP": _EXPORT,
    "JPEG 2000": _EXPORT,
    "JPEG XL": _EXPORT,
    "Photoshop": _EXPORT,
    "SVG drawing": "add a photo of the tile as JPEG",
    "PDF": "add the photo itself as JPEG",
    "video": "add one picture of it as JPEG",
}
"""Kinds known but not accepted, and what a contributor can do."""

_STARTS = (
    (b"\xff\xd8\xff", "jpeg"),
    (b"\x89PNG\r\n\x1a\n", "png"),
    (b"GIF87a", "GIF"),
    (b"GIF89a", "GIF"),
    (b"II*\x00", "TIFF or a camera's raw format"),
    (b"MM\x00*", "TIFF or a camera's raw format"),
    (b"II+\x00", "TIFF or a camera's raw format"),
    (b"MM\x00+", "TIFF or a camera's raw format"),
    (b"BM", "BMP"),
    (b"\x00\x00\x00\x0cjP  ", "JPEG 2000"),
    (b"\xff\x4f\xff\x51", "JPEG 2000"),
    (b"\xff\x0a", "JPEG XL"),
    (b"\x00\x00\x00\x0cJXL ", "JPEG XL"),
    (b"8BPS", "Photoshop"),
    (b"%PDF", "PDF"),
)
_HEIC_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"}


def kind_of(start: bytes) -> str | None:
    """`jpeg`, `png`, `webp`, a key of `ADVICE`, or None for anything else."""
    if start[:4] == b"RIFF" and start[8:12] == b"WEBP":
        return "webp"
    if start[4:8] == b"ftyp":
        brands = {start[8:12], *(start[at : at + 4] for at in range(16, min(len(start), 64), 4))}
        if b"avif" in brands or b"avis" in brands:
            return "AVIF"
        return "HEIC" if brands & _HEIC_BRANDS else "video"
    for sign, kind in _STARTS:
        if start.startswith(sign):
            return kind
    text = start.lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if text.startswith((b"<svg", b"<?xml")):
        return "SVG drawing"
    return None
