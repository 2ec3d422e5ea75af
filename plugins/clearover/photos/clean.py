"""Take private data out of a photo and leave the picture itself as it is, bit for bit.

In: a photo's path and where to put the clean one. Out: the words for what was taken out. Blocks are
copied or left out; nothing is decoded or encoded again. What stays: the picture, its colour
profile, how it is turned, and what a decoder needs. HEIC and AVIF alone are decoded and made anew
as JPEG: their boxes hold places in the file, and every browser shows a JPEG.

Formats: as in `blocks`; JFIF, ITU-T T.871 (2011); ICC in JPEG, ICC.1:2022 annex B.4.
"""

from __future__ import annotations

import io
import zlib
from pathlib import Path

from .blocks import Block, jpeg_blocks, jpeg_markers, png_blocks, webp_blocks
from .cache import write_whole
from .header import faults_of, read_header, refused
from .kinds import HEIF, NAMES
from .limits import limits
from .results import PhotoRefused
from .told import Header

PNG_KEPT = {"IHDR", "PLTE", "IDAT", "IEND", "tRNS", "gAMA", "cHRM", "sRGB", "iCCP", "sBIT", "cICP"}
WEBP_KEPT = {"VP8 ", "VP8L", "VP8X", "ALPH", "ICCP"}
WEBP_EXIF, WEBP_XMP = 0x08, 0x04
_PLAIN_JFIF = b"\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00"


def clean_photo(source: Path, target: Path) -> list[str]:
    """Write a copy of `source` without private data to `target`, which may be the same file.

    Returns what was private, in words; an empty list where nothing was (the copy is then written
    too, since other notes of the camera are left out as well). Raises `PhotoRefused` for what is no
    photo of an accepted kind, is broken or moves; OSError where `target` cannot be written.
    """
    header = read_header(source)
    if header.animated:
        found = f"animated {NAMES[header.kind]}"
        raise refused("photo-animated", found, "add one still picture as JPEG")
    if header.kind in HEIF:
        clean = _as_jpeg(source, header)
    else:
        clean = _CLEANERS[header.kind](source.read_bytes(), header)
    beside = target.with_name(f".clean-{target.name}")
    try:
        write_whole(beside, clean)
        if left := read_header(beside).private:  # our own fault: never call that clean
            raise RuntimeError(f"private data was left in the photo: {', '.join(left)}")
        beside.replace(target)
    finally:
        beside.unlink(missing_ok=True)
    return list(dict.fromkeys(header.private))


def clean_name(source: Path) -> str:
    """What a clean copy is called: what is made anew as JPEG ends in `.jpg`.

    Raises `PhotoRefused` as `clean_photo` does.
    """
    if read_header(source).kind not in HEIF or source.suffix.lower() in (".jpg", ".jpeg"):
        return source.name
    return f"{source.stem}.jpg"


def _as_jpeg(path: Path, header: Header) -> bytes:
    """The picture upright as JPEG, its colours and their profile as they are."""
    from .opening import decoded_safely

    for fault in faults_of(header, path):
        if fault.rule != "photo-private-metadata":
            raise PhotoRefused(fault)
    picture, profile = decoded_safely(path, header)
    made = io.BytesIO()
    quality = limits().clean_quality
    picture.save(made, "JPEG", quality=quality, subsampling=0, icc_profile=profile)
    return made.getvalue()


def orientation_block(orientation: int) -> bytes:
    """An EXIF block that says how the picture is turned, and nothing else."""
    entry = b"\x01\x12\x00\x03\x00\x00\x00\x01" + orientation.to_bytes(2, "big") + b"\x00\x00"
    return b"MM\x00\x2a\x00\x00\x00\x08\x00\x01" + entry + b"\x00\x00\x00\x00"


def _jpeg(data: bytes, header: Header) -> bytes:
    out = [b"\xff\xd8"]
    if header.orientation != 1:
        exif = b"Exif\x00\x00" + orientation_block(header.orientation)
        out.append(b"\xff\xe1" + (len(exif) + 2).to_bytes(2, "big") + exif)
    at = 2
    for block in jpeg_blocks(io.BytesIO(data), len(data)):
        out.append(_kept_segment(data, block))
        at = block.end
    for marker, start, end in jpeg_markers(data, at):  # the scans, without notes between them
        note = 0xE0 <= marker <= 0xEF or marker == 0xFE
        out.append(data[at:start] if note else data[at:end])
        at = end
    return b"".join(out)


def _kept_segment(data: bytes, block: Block) -> bytes:
    content = data[block.data : block.data + block.size]
    if block.name == "e0":
        return _PLAIN_JFIF[:9] + content[5:12] + b"\x00\x00" if content[:4] == b"JFIF" else b""
    profile = block.name == "e2" and content.startswith(b"ICC_PROFILE\x00")
    decoding = block.name == "ee" and content.startswith(b"Adobe")
    note = block.name[0] == "e" or block.name == "fe"
    return data[block.start : block.end] if profile or decoding or not note else b""


def _png(data: bytes, header: Header) -> bytes:
    out = [data[:8]]
    for block in png_blocks(io.BytesIO(data), len(data)):
        if block.name in PNG_KEPT:
            out.append(data[block.start : block.end])
        if block.name == "IHDR" and header.orientation != 1:
            content = b"eXIf" + orientation_block(header.orientation)
            size, crc = len(content) - 4, zlib.crc32(content)
            out.append(size.to_bytes(4, "big") + content + crc.to_bytes(4, "big"))
    return b"".join(out)


def _webp(data: bytes, header: Header) -> bytes:
    out, turned, extended = [], header.orientation != 1, False
    for block in webp_blocks(io.BytesIO(data), len(data)):
        if block.name not in WEBP_KEPT:
            continue
        piece = data[block.start : block.end]
        if block.name == "VP8X":
            extended = True
            flags = piece[8] & ~(WEBP_EXIF | WEBP_XMP) | (WEBP_EXIF if turned else 0)
            piece = piece[:8] + bytes([flags]) + piece[9:]
        out.append(piece)
    if turned and extended:
        exif = orientation_block(header.orientation)
        out.append(b"EXIF" + len(exif).to_bytes(4, "little") + exif)
    body = b"WEBP" + b"".join(out)
    return b"RIFF" + len(body).to_bytes(4, "little") + body


_CLEANERS = {"jpeg": _jpeg, "png": _png, "webp": _webp}
