"""A photo in the sizes a page needs, as WebP without any metadata.

In: an upright sRGB picture. Out: encoded bytes with their size. Never larger than the photo.

WebP alone, without a JPEG beside it: every browser in use shows it (the last to learn it did in
2020; from memory), and an older one has no `dialog`, `clip-path` or grid for these pages either. A
reader without pictures has the words. Not AVIF: at its quickest it took a fifth longer and a fifth
more bytes for the same nearness to the original (measured, `tests/bench/README.md`).
"""

from __future__ import annotations

import io
from collections.abc import Sequence

from PIL import Image

SIDE_OF_WEBP = 16383
"""The longest side a WebP picture can have, px (RFC 9649, 2024, section 2.7)."""


def encode(picture: Image.Image, quality: int) -> bytes:
    """WebP bytes of an RGB picture: the same bytes for the same picture and encoder."""
    target = io.BytesIO()
    # Effort 2 of 6: a third of the default's time for pictures some 6 % larger. The three empty
    # blocks keep the encoder from copying what the picture was opened with.
    picture.save(target, "WEBP", quality=quality, method=2, exif=b"", icc_profile=b"", xmp=b"")
    return target.getvalue()


def web_sizes(width: int, height: int, sides: Sequence[int]) -> list[tuple[int, int]]:
    """The sizes to make, smallest first: each of `sides` on the longer side, never enlarged.

    A photo smaller than a step ends the row at its own size.
    """
    longer = max(width, height)
    wanted = [side for side in sorted(sides) if side < longer]
    if len(wanted) < len(sides):
        wanted.append(longer)
    return [
        (max(1, round(width * side / longer)), max(1, round(height * side / longer)))
        for side in wanted
    ]


def resized(picture: Image.Image, size: tuple[int, int]) -> Image.Image:
    """The picture at a smaller size, every pixel weighed.

    Bicubic, as Pillow's own thumbnails: two thirds of the time of its sharpest filter, and no
    difference to be seen.
    """
    if picture.size == size:
        return picture
    return picture.resize(size, Image.Resampling.BICUBIC, reducing_gap=3.0)
