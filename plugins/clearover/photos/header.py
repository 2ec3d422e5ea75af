"""What a photo's file says before it is decoded: kind, size, orientation, and what is wrong.

In: a path. Out: a `Header`. Reads the first blocks and the last bytes only, so that thousands are
cheap; decodes nothing and trusts no length.
"""

from __future__ import annotations

import shlex
import stat
from pathlib import Path
from typing import BinaryIO

from . import cicp, heif, private
from .blocks import Block, Broken, jpeg_blocks, jpeg_end, png_blocks, webp_blocks
from .kinds import ACCEPTED, ADVICE, NAMES, NO_DECODER, STILL, can_decode, kind_of
from .limits import limits
from .results import PhotoFault, PhotoRefused
from .told import Header

SIZE_BLOCKS = {f"c{n:x}" for n in range(16)} - {"c4", "c8", "cc"}


def regular_file(path: Path) -> int:
    """The length of a file that really is one; a link, folder, pipe or device is refused."""
    try:
        found = path.lstat()
    except (OSError, ValueError):
        raise refused("photo-not-a-photo", "no such file", "put it beside the record") from None
    if not stat.S_ISREG(found.st_mode):
        what = "a link to another file" if stat.S_ISLNK(found.st_mode) else "no ordinary file"
        raise refused("photo-not-a-photo", what, "put the picture file itself here")
    if found.st_size > limits().bytes_max:
        size = f"{found.st_size / 1e6:.1f} MB"
        raise refused("photo-too-large", size, f"{limits().bytes_max / 1e6:.0f} MB")
    return found.st_size


def refused(rule: str, found: str, wanted: str, *, lasting: bool = True) -> PhotoRefused:
    """The exception for one fault."""
    return PhotoRefused(PhotoFault(rule, found, wanted), lasting=lasting)


def read_header(path: Path) -> Header:
    """The header; raises `PhotoRefused` where not even that can be read."""
    length = regular_file(path)
    try:
        with path.open("rb") as file:
            start = file.read(64)
            kind = kind_of(start)
            if not start:
                raise refused("photo-not-a-photo", "an empty file", "add the photo again")
            if kind is None:
                raise refused(
                    "photo-not-a-photo", "no kind of picture known here", "add a JPEG photo"
                )
            if kind not in ACCEPTED:
                raise refused("photo-kind-not-accepted", kind, ADVICE[kind])
            header = Header(kind)
            _READERS[kind](file, length, header)
    except Broken as fault:
        raise refused("photo-truncated", str(fault), "export it as JPEG") from None
    except OSError as error:
        raise refused(
            "photo-not-a-photo", error.strerror or "unreadable", "save it again"
        ) from None
    return header


def _content(file: BinaryIO, block: Block) -> bytes:
    file.seek(block.data)
    return file.read(min(block.size, limits().metadata_bytes_max))


def _jpeg(file: BinaryIO, length: int, header: Header) -> None:
    scan = 0
    for block in jpeg_blocks(file, length):
        if block.name in SIZE_BLOCKS:
            content = _content(file, block)
            if len(content) < 6:
                raise Broken("it does not say its size")
            header.bits = content[0]
            header.height = int.from_bytes(content[1:3], "big")
            header.width = int.from_bytes(content[3:5], "big")
            header.components = content[5]
        elif block.name[0] == "e":
            tags, found = private.in_jpeg_block(block.name, _content(file, block))
            header.private += found
            if tags and header.orientation == 1:
                header.orientation = tags.orientation
        scan = block.end
    file.seek(-2, 2)
    if file.read(2) != b"\xff\xd9":
        file.seek(0)
        data = file.read(limits().bytes_max)
        if data[jpeg_end(data, scan) :].strip(b"\x00\r\n "):
            header.private.append("more data behind the picture")


def _png(file: BinaryIO, length: int, header: Header) -> None:
    for block in png_blocks(file, length):
        if block.name == "IHDR":
            content = _content(file, block).ljust(13, b"\x00")
            header.width = int.from_bytes(content[:4], "big")
            header.height = int.from_bytes(content[4:8], "big")
            header.bits = content[8]
        elif block.name == "cICP":
            content = _content(file, block).ljust(2, b"\x00")
            header.cicp = content[0], content[1]
        elif block.name == "acTL":
            header.animated = True
        elif block.name == "eXIf":
            tags, found = private.in_exif(_content(file, block))
            header.private += found
            header.orientation = tags.orientation
        elif block.name in ("tEXt", "zTXt", "iTXt"):
            header.private += private.in_png_text(block.name, _content(file, block))
        if block.end < length and block.name == "IEND":
            header.private.append("more data behind the picture")


def _webp(file: BinaryIO, length: int, header: Header) -> None:
    end = 12
    for block in webp_blocks(file, length):
        start = _content(file, block) if block.name in ("EXIF", "XMP ") else _start(file, block)
        end = block.end
        if block.name == "VP8X":
            header.animated = bool(start[0] & 2)
            header.width = 1 + int.from_bytes(start[4:7], "little")
            header.height = 1 + int.from_bytes(start[7:10], "little")
        elif block.name == "VP8 ":
            header.width = int.from_bytes(start[6:8], "little") & 0x3FFF
            header.height = int.from_bytes(start[8:10], "little") & 0x3FFF
        elif block.name == "VP8L":
            bits = int.from_bytes(start[1:5], "little")
            header.width, header.height = 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
        elif block.name in ("ANIM", "ANMF"):
            header.animated = True
        elif block.name == "EXIF":
            tags, found = private.in_exif(start)
            header.private += found
            header.orientation = tags.orientation
        elif block.name == "XMP ":
            header.private += private.in_xmp(start)
    if end < length:
        header.private.append("more data behind the picture")


def _start(file: BinaryIO, block: Block) -> bytes:
    file.seek(block.data)
    return file.read(10).ljust(10, b"\x00")


_READERS = {
    "jpeg": _jpeg,
    "png": _png,
    "webp": _webp,
    "heic": heif.describe,
    "avif": heif.describe,
}


def faults_of(header: Header, path: Path) -> list[PhotoFault]:
    """What is wrong with a header that could be read."""
    faults = []
    if not can_decode(header.kind):
        found = f"{NAMES[header.kind]}, and nothing that reads it is installed here"
        faults.append(PhotoFault("photo-kind-not-accepted", found, NO_DECODER[header.kind]))
    if header.animated:
        faults.append(PhotoFault("photo-animated", f"animated {NAMES[header.kind]}", STILL))
    if header.further:
        many = f"{1 + header.further} pictures in one {NAMES[header.kind]} file"
        faults.append(PhotoFault("photo-animated", many, STILL))
    if header.cicp and (why := cicp.why_not(header.cicp)):
        wanted = "export it as an ordinary JPEG, colour profile sRGB"
        faults.append(PhotoFault("photo-colour-mode", why, wanted))
    if header.kind == "jpeg" and header.components == 4:
        ink = "CMYK (printing inks)"
        wanted = "export it as a JPEG in RGB, colour profile sRGB"
        faults.append(PhotoFault("photo-colour-mode", ink, wanted))
    if header.kind == "jpeg" and (header.bits != 8 or header.components not in (1, 3, 4)):
        mode = f"{header.bits} bits in {header.components} channels"
        faults.append(PhotoFault("photo-colour-mode", mode, "export it as an ordinary JPEG"))
    faults += _size_faults(header)
    if header.private:
        found = ", ".join(dict.fromkeys(header.private))
        wanted = f"clearover clean-photo {shlex.quote(str(path))}"
        faults.append(PhotoFault("photo-private-metadata", found, wanted))
    return faults


def _size_faults(header: Header) -> list[PhotoFault]:
    limit = limits()
    width, height = header.upright
    size = f"{width} × {height} px"
    if width * height > limit.pixels_max:
        wanted = f"{limit.pixels_max // 1_000_000} million px"
        return [PhotoFault("photo-too-large", size, wanted)]
    if max(width, height) > limit.side_max:
        return [PhotoFault("photo-too-large", size, f"{limit.side_max} px a side")]
    if min(width, height) < limit.side_min:
        return [PhotoFault("photo-too-small", size, f"at least {limit.side_min} px")]
    return []
