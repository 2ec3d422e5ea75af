"""All record pages of the site, written through one shell.

In: a `Site`, the frame and a writer. Out: files, and the addresses of the pages. The makers of
pages are the modules named here; each has `pages(site)`. It must not know MkDocs.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

from .hands import by_two, can_share
from .links import Writer
from .page import PHOTOS, Page, Site
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

BESIDE = ("home", "clear", "matrix", "data")
"""Makers left to a second process: about half of the work, measured at 2,000 tiles."""
WORTH_SHARING = range(500, 3001)
"""Tiles with which a second process saves more than it costs, and both keep below 300 MB (our own
limit; measured with `tests/bench`)."""

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


@dataclass(frozen=True, slots=True)
class Made:
    """What one maker wrote: addresses of its pages, of all its files, and pictures it needs."""

    pages: list[str]
    written: set[str]
    pictures: dict[str, Path]


def write_site(site: Site, frame: Frame, writer: Writer) -> list[str]:
    """Make and write every page, asset and picture; the addresses of the pages come back."""

    def job(name: str) -> Made:
        return _make(name, site, frame, writer)

    site.findings.compare_photos()
    if len(site.catalogue.tiles) in WORTH_SHARING and can_share():
        made = by_two(job, MAKERS, BESIDE)
    else:
        made = {name: job(name) for name in MAKERS}
    for each in made.values():
        writer.written |= each.written
        site.pictures.update(each.pictures)
    for address, path in sorted(_pictures(site).items()):
        writer.place(address, path)
    return [address for name in MAKERS for address in made[name].pages]


def _make(name: str, site: Site, frame: Frame, writer: Writer) -> Made:
    pages, written, before = [], set(), set(site.pictures)
    for made in import_module(f"{__package__}.{name}").pages(site):
        written.add(made.address)
        if isinstance(made, Page):
            pages.append(made.address)
            writer.write(made.address, frame.stamp(made))
        else:
            writer.write(made.address, made.content)
    pictures = {key: path for key, path in site.pictures.items() if key not in before}
    return Made(pages, written, pictures)


def prune_cache(site: Site) -> None:
    """Delete cached pictures that this site, now published, does not use."""
    from ..photos.cache import prune

    prune(site.cache, {path.name for path in _pictures(site).values()}, spare_s=SPARE_SECONDS)


def _pictures(site: Site) -> dict[str, Path]:
    pictures = dict(site.pictures)
    for tile in site.photos.values():
        images = [size for photo in tile.photos for size in photo.sizes]
        images += [tile.sprite.image] if tile.sprite else []
        images += [image for image in (tile.straight, tile.balanced) if image]
        pictures.update((PHOTOS + image.name, image.path) for image in images)
    return pictures
