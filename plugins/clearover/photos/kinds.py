"""What kind of file this is, by its first bytes, never by its name.

In: the first 64 bytes. Out: a kind and, for kinds that are not accepted, what to do.
"""

from __future__ import annotations

from functools import cache

ACCEPTED = ("jpeg", "png", "webp", "heic", "avif")
HEIF = ("heic", "avif")
"""Kinds that lie in boxes (`boxes`), and that need a decoder that may not be there."""
NAMES = {"jpeg": "JPEG", "png": "PNG", "webp": "WebP", "heic": "HEIC", "avif": "AVIF"}
STILL = "add one still picture as JPEG"

EXPORT = "open it in any picture program and export it as JPEG"
NO_DECODER = {
    "heic": "set the phone's camera to its most compatible format (JPEG), or export the photo as "
    "JPEG (sending it to oneself by mail often does that), or install what reads HEIC: "
    "pip install pillow-heif",
    "avif": f"{EXPORT}, or install what reads AVIF: pip install 'pillow>=11.3'",
}
"""What to do about a kind that is accepted only where its decoder is installed."""
ADVICE = {
    "GIF": EXPORT,
    "TIFF or a camera's raw format": EXPORT,
    "BMP": EXPORT,
    "JPEG 2000": EXPORT,
    "JPEG XL": EXPORT,
    "Photoshop": EXPORT,
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


@cache
def can_decode(kind: str) -> bool:
    """Whether an accepted kind can be opened by what is installed here."""
    if kind == "heic":
        from importlib.util import find_spec

        return find_spec("pillow_heif") is not None
    if kind == "avif":
        from PIL import features

        return "avif" in features.get_supported_modules()
    return True


def kind_of(start: bytes) -> str | None:
    """A kind of `ACCEPTED`, a key of `ADVICE`, or None for anything else."""
    if start[:4] == b"RIFF" and start[8:12] == b"WEBP":
        return "webp"
    if start[4:8] == b"ftyp":
        stop = min(int.from_bytes(start[:4], "big"), len(start), 64)
        brands = {start[8:12], *(start[at : at + 4] for at in range(16, stop, 4))}
        if b"avif" in brands or b"avis" in brands:
            return "avif"
        return "heic" if brands & _HEIC_BRANDS else "video"
    for sign, kind in _STARTS:
        if start.startswith(sign):
            return kind
    text = start.lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if text.startswith((b"<svg", b"<?xml")):
        return "SVG drawing"
    return None
