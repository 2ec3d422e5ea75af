"""What a maker of record pages takes and gives: a `Site` in, `Page`s and `Asset`s out.

A maker is a module of this package with `pages(site: Site) -> Iterator[Page | Asset]`; `site.py`
lists the modules. These types must not know MkDocs, templates or files.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from ..evidence.findings import Findings
from ..photos.results import Image, TilePhotos
from ..records.catalogue import Catalogue

PHOTOS = "assets/photos/"


@dataclass(frozen=True)
class Page:
    """One stamped page of the site.

    `address` is the path below the site, with `/` and the ending `.html`
    (`tiles/2026-03-ferry.html`). `kind` is one word (`tile`, `clear`, `home` ...): it becomes a
    class of the body. `title` and `description` are plain text, escaped by the shell. `nav` names
    the entry of the header that is lit: find, matrix, colours, clears, tiles, guide, or `""`.
    `body_html` is finished, escaped HTML of the main part, its `<h1>` included; links in it are
    relative to the page itself. `scripts` are addresses below the site of classic scripts, loaded
    with `defer` in the order given.
    """

    address: str
    kind: str
    title: str
    description: str
    nav: str
    body_html: str
    scripts: tuple[str, ...] = ()

    @property
    def depth(self) -> int:
        """How many folders the page lies below the site: 0 for `index.html`."""
        return self.address.count("/")

    @property
    def root(self) -> str:
        """What leads from the page back to the site: `""`, `../`, `../../`."""
        return "../" * self.depth


@dataclass(frozen=True)
class Asset:
    """One other file of the site: data, a script with data. `address` as in `Page`."""

    address: str
    content: bytes


@dataclass(slots=True)
class Site:
    """All that a maker may draw on. `findings.catalogue` holds the records.

    `photos` maps a tile's id to its pictures; `cache` is the folder for what is worth keeping
    from build to build. A picture outside `photos` (a strip for a matrix row) is announced by
    `picture`, else it does not reach the site.
    """

    findings: Findings
    photos: dict[str, TilePhotos]
    cache: Path
    pictures: dict[str, Path] = field(default_factory=dict)

    @property
    def catalogue(self) -> Catalogue:
        """The records."""
        return self.findings.catalogue

    def picture(self, image: Image) -> str:
        """The picture's address below the site; from now on it is part of the site."""
        address = PHOTOS + image.name
        self.pictures[address] = image.path
        return address
