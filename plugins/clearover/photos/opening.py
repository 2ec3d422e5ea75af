"""Open an untrusted photo: decoded, upright, 8-bit sRGB.

In: a path. Out: `Opened`. Whatever is wrong raises `PhotoRefused` with a fault in a record rule's
words; nothing is decoded before its header was found sound and within the limits.

Orientation: CIPA DC-008 (Exif 2.32, 2019), tag 0x0112.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

import numpy as np
from PIL import Image, UnidentifiedImageError

from .cicp_profile import profile_of, profile_of_gamma
from .header import faults_of, read_header, refused
from .kinds import HEIF, can_decode
from .profile import to_srgb
from .results import PhotoRefused
from .told import Header

T = TypeVar("T")
Point = tuple[float, float]
_FORMATS = {"jpeg": "JPEG", "png": "PNG", "webp": "WEBP", "heic": "HEIF", "avif": "AVIF"}
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
# Orientations whose upright x (y) runs against the stored direction it comes from.
_X_BACKWARD, _Y_BACKWARD = (2, 3, 6, 7), (3, 4, 7, 8)


@dataclass(frozen=True, slots=True)
class Opened:
    """A photo ready to use. `width` and `height` are its full upright size, px.

    `picture` may be decoded smaller by the whole `factor` (1, 2, 4 or 8). `notes` say what was
    taken for granted, such as a colour profile that could not be used. `views` keeps what was made
    of the picture already (`straighten.straight_view`).
    """

    picture: Image.Image
    width: int
    height: int
    factor: int = 1
    shift: Point = (0.0, 0.0)
    notes: tuple[str, ...] = ()
    views: dict[object, Image.Image] = field(default_factory=dict, compare=False, repr=False)

    def inside(self, points: Iterable[Point]) -> list[Point]:
        """Points of the full upright photo as points of `picture`."""
        dx, dy = self.shift
        return [(x / self.factor + dx, y / self.factor + dy) for x, y in points]


def open_photo(path: Path, factor: int = 1, *, public: bool = False) -> Opened:
    """Open a photo. `factor` (1, 2, 4, 8) lets a JPEG be decoded smaller, which is faster.

    Private metadata is no reason to refuse unless `public`: none of it leaves this function.
    """
    header = read_header(path)
    for fault in faults_of(header, path):
        if public or fault.rule != "photo-private-metadata":
            raise PhotoRefused(fault, lasting=can_decode(header.kind))
    return _safely(lambda: _decode(path, header, factor))


def decoded_safely(path: Path, header: Header) -> tuple[Image.Image, bytes | None]:
    """As `decoded`, but whatever a decoder raises is a `PhotoRefused`."""
    return _safely(lambda: decoded(path, header))


def _safely(decode: Callable[[], T]) -> T:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # bombs: limits hold already; EXIF: we read our own
            return decode()
    except PhotoRefused:
        raise
    except MemoryError:
        found = "it does not fit in memory"
        raise refused("photo-too-large", found, "a smaller one", lasting=False) from None
    except Exception as error:  # a decoder may raise anything on hostile bytes
        rule = "photo-truncated" if "truncated" in str(error) else "photo-not-a-photo"
        lasting = not (isinstance(error, OSError) and error.errno)  # a decoder's has no number
        raise refused(rule, _plain(error), "save it again as JPEG", lasting=lasting) from None


def _plain(error: Exception) -> str:
    if isinstance(error, UnidentifiedImageError):  # its text names this machine's folders
        return "its decoder makes nothing of it"
    said = (str(error).splitlines() or [type(error).__name__])[0][:120]
    return f"its decoder says: {said}"


def _decode(path: Path, header: Header, factor: int) -> Opened:
    picture, profile = decoded(path, header, factor)
    picture, note = to_srgb(picture, profile)
    picture.info.clear()
    width, height = header.upright
    taken = _factor_taken(width, picture.width)
    dx = picture.width - width / taken if header.orientation in _X_BACKWARD else 0.0
    dy = picture.height - height / taken if header.orientation in _Y_BACKWARD else 0.0
    return Opened(picture, width, height, taken, (dx, dy), (note,) if note else ())


def decoded(path: Path, header: Header, factor: int = 1) -> tuple[Image.Image, bytes | None]:
    """The picture upright in 8 bits, `L` or `RGB`, its colours as stored, and their profile.

    The header must have been found sound. Raises whatever a decoder raises.
    """
    if header.kind == "heic":
        _know_heic()
    with Image.open(path, formats=(_FORMATS[header.kind],)) as file:
        turned = header.kind == "heic"  # this decoder turns the picture itself
        _same_size(file, header.upright if turned else (header.width, header.height))
        profile = header.profile if header.kind in HEIF else file.info.get("icc_profile")
        if factor > 1 and header.kind == "jpeg":
            file.draft(None, (file.width // factor, file.height // factor))
        size = file.size
        file.load()
        _same_size(file, size)
        if header.kind == "png" and not (profile or header.cicp or "srgb" in file.info):
            profile = profile_of_gamma(file.info.get("gamma"))
        picture = _plain_mode(file)
    picture.info.clear()
    if header.orientation != 1 and not turned:
        picture = picture.transpose(_TURNS[header.orientation])
    if header.kind == "png" and header.cicp:
        profile = None  # the numbers come before a profile: PNG, third edition, 2025, clause 4.3
    return picture, profile or profile_of(header.cicp)


def _same_size(file: Image.Image, size: tuple[int, int]) -> None:
    if file.size != size:
        raise refused("photo-not-a-photo", "it states two sizes", "save it again as JPEG")


def _know_heic() -> None:
    import pillow_heif

    pillow_heif.register_heif_opener(thumbnails=False, depth_images=False, aux_images=False)


def _factor_taken(full: int, got: int) -> int:
    """The scale the JPEG decoder chose: its sizes are rounded up."""
    return next(factor for factor in (1, 2, 4, 8) if -(-full // factor) == got)


def _plain_mode(file: Image.Image) -> Image.Image:
    """Grey (`L`) or `RGB`, 8 bits a channel; see-through parts are laid on white."""
    if file.mode.startswith("I") or file.mode == "F":
        wide = np.asarray(file, dtype=np.float64)
        return Image.fromarray(np.clip(wide / 257 + 0.5, 0, 255).astype(np.uint8))
    if file.mode in ("LA", "PA", "RGBA", "RGBa", "La") or "transparency" in file.info:
        grey = file.mode in ("L", "LA", "La", "1")  # stays grey, for its profile is one for grey
        clear = file.convert("RGBA")
        sheet = Image.new("RGBA", clear.size, "white")
        return Image.alpha_composite(sheet, clear).convert("L" if grey else "RGB")
    if file.mode in ("1", "P"):
        return file.convert("L" if file.mode == "1" else "RGB")
    if file.mode not in ("L", "RGB"):
        raise refused("photo-colour-mode", file.mode, "export it as an RGB JPEG")
    return file.copy()
