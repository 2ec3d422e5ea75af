"""Checks on the photos of each tile: there, safe to publish, and with corners that make sense."""

from __future__ import annotations

from ...suggest import hint
from ..tile import Photo, Tile
from .context import Context
from .firings import is_bare_name

ENDINGS = (
    *(".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif", ".hif", ".avif"),
    *(".gif", ".tif", ".tiff", ".bmp"),
)


def check_photos(context: Context) -> None:
    """Note what is wrong with each photo that a tile names or that lies beside it unnamed."""
    for tile in context.tiles.values():
        if not tile.photos:
            context.note(tile, (), "no-photo")
        for index, photo in enumerate(tile.photos):
            _check_photo(context, tile, index, photo)
        named = {photo.file for photo in tile.photos}
        for name in context.beside(tile):
            if name not in named and name.lower().endswith(ENDINGS):
                context.note(tile, ("photos",), "photo-unused", found=name)
                _check_unnamed(context, tile, name)


def _check_unnamed(context: Context, tile: Tile, name: str) -> None:
    """A photo that no line names is not shown, yet whoever copies the records has it."""
    from ...photos.check import look

    for fault in look(context.folder(tile) / name).faults:
        if fault.rule == "photo-private-metadata":
            found = f"{name}: {fault.found}"
            context.note(tile, ("photos",), fault.rule, found=found, wanted=fault.wanted)


def _check_photo(context: Context, tile: Tile, index: int, photo: Photo) -> None:
    path = ("photos", index, "file")
    if not is_bare_name(photo.file):
        context.note(tile, path, "path-leaves-folder", found=photo.file)
        return
    if photo.file not in context.beside(tile):
        wanted = f"{tile.file.rpartition('/')[0]}/{photo.file}"
        near = hint(photo.file, context.beside(tile))
        context.note(tile, path, "photo-missing", found=photo.file, wanted=wanted, suggestion=near)
        return
    # The picture library is only needed, and only loaded, where there are photos.
    from ...photos.check import check_corners, look

    seen = look(context.folder(tile) / photo.file)
    for fault in seen.faults:
        context.note(tile, path, fault.rule, found=fault.found, wanted=fault.wanted)
    if seen.faults or seen.width is None or seen.height is None:
        return
    for key, corners in (
        ("corners", photo.corners),
        ("grey card", photo.grey_card),
        ("colour chart", photo.colour_chart),
    ):
        wrong = check_corners(corners, seen.width, seen.height) if corners else None
        if wrong:
            spot = ("photos", index, key)
            context.note(tile, spot, wrong.rule, found=wrong.found, wanted=wrong.wanted)
    if photo.corners and (photo.width_mm is None or photo.height_mm is None):
        context.note(tile, ("photos", index, "corners"), "corners-without-size")
