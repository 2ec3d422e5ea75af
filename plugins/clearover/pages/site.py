"""All record pages of the site, written through one shell.

In: a `Site`, the frame and a writer. Out: files, and the addresses of the pages. The makers of
pages are the modules named here; each has `pages(site)`. It must not know MkDocs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from importlib import import_module
from pathlib import Path

from .links import Writer
from .page import PHOTOS, Asset, Page, Site
from .shell import Frame

MAKERS = (
    "home",
    "underglaze",
    "clear",
    "tile",
    "body",
    "firing",
    "matrix",
    "lists",
    "rules",
    "data",
    "methods",
    "photo",
)

FIXED = (
    "index.html",
    "matrix/index.html",
    "underglazes/index.html",
    "clears/index.html",
    "tiles/index.html",
    "bodies/index.html",
    "firings/index.html",
    "rules.html",
    "methods.html",
    "data.html",
    "photo.html",
)

SPARE_SECONDS = 3600
"""Pictures younger than this stay in the cache: another build may be about to use them."""


def known_addresses(site: Site) -> list[str]:
    """Addresses a guide page may link to: what every studio has, and one for each record."""
    catalogue = site.catalogue
    tables: dict[str, Iterable[str]] = {
        "underglazes": catalogue.underglazes,
        "clears": catalogue.clears,
        "bodies": catalogue.bodies,
        "firings": catalogue.firings,
        "tiles": catalogue.tiles,
    }
    return [*FIXED, *(f"{name}/{key}.html" for name, table in tables.items() for key in table)]


def write_site(site: Site, frame: Frame, writer: Writer) -> list[str]:
    """Make and write every page, asset and picture; the addresses of the pages come back."""
    addresses: list[str] = []
    for maker in _makers():
        for made in maker(site):
            if isinstance(made, Page):
                addresses.append(made.address)
                writer.write(made.address, frame.stamp(made))
            else:
                writer.write(made.address, made.content)
    for address, path in sorted(_pictures(site).items()):
        writer.place(address, path)
    return addresses


def prune_cache(site: Site) -> None:
    """Delete cached pictures that this site, now published, does not use."""
    from ..photos.cache import prune

    prune(site.cache, {path.name for path in _pictures(site).values()}, spare_s=SPARE_SECONDS)


def _makers() -> Iterator[Callable[[Site], Iterable[Page | Asset]]]:
    for name in MAKERS:
        yield import_module(f"{__package__}.{name}").pages


def _pictures(site: Site) -> dict[str, Path]:
    pictures = dict(site.pictures)
    for tile in site.photos.values():
        images = [size for photo in tile.photos for size in photo.sizes]
        images += [tile.sprite.image] if tile.sprite else []
        images += [tile.straight] if tile.straight else []
        pictures.update((PHOTOS + image.name, image.path) for image in images)
    return pictures
