"""The home page, which is the finder, and the two scripts of data it works from.

In: a `Site`. Out: `index.html`, and what the browser needs to answer. Without JavaScript the page
lists every colour as a link to its own page, where the same answers stand.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..finder.answers import asked_cones
from ..finder.data import COLOURS_SHOWN, Swatch, as_script, finder_data, names_data
from ..finder.swatches import swatches_of
from ..photos.sprites import strip
from ..records.models import Underglaze
from .environment import body_environment
from .page import PHOTOS, Asset, Page, Site

FINDER = "assets/clearover/finder/"
DATA = "assets/clearover/data/"
SCRIPTS = (
    DATA + "names.js",
    DATA + "finder.js",
    FINDER + "vendor/minisearch-7.2.0.js",
    *(
        f"{FINDER}{name}.js"
        for name in (
            "h",
            "words",
            "state",
            "search",
            "crops",
            "answers",
            "tests",
            "cards",
            "picker",
            "browse",
            "sentence",
            "finder",
        )
    ),
)
CELL = (160, 120)
"""Size of a colour's small picture, px: twice what the page shows."""
ELSEWHERE = "not on the studio’s shelf"
OWN_PAGES = (
    ("matrix/index.html", "Matrix: every colour under every clear"),
    ("rules.html", "Rules a record is held to"),
    ("methods.html", "Methods and sources"),
    ("data.html", "Data to take away"),
    ("photo.html", "Mark a photo: corners and grey card"),
    ("guide.html", "Guide"),
    ("first-day.html", "The first day: remove the demo and begin"),
    ("contribute.html", "Add a tile"),
    ("photo-guide.html", "Photo guide"),
    ("safety.html", "Safety: dust, fumes, kilns, food"),
)
"""Pages of every studio's site that a person may look for by name."""


@dataclass(frozen=True, slots=True)
class Colour:
    """One colour of the list: its page and, where a tile shows it, its small picture."""

    name: str
    href: str
    swatch: Swatch | None


def pages(site: Site) -> Iterator[Page | Asset]:
    """The home page and its data."""
    swatches = _swatches(site)
    catalogue = site.catalogue
    cone = catalogue.studio.usual_cone
    body = (
        body_environment()
        .get_template("home.html")
        .render(
            root="",
            photos=PHOTOS,
            groups=_groups(catalogue.underglazes.values(), swatches),
            colours=len(catalogue.underglazes),
            clears=len(catalogue.clears),
            tiles=len(catalogue.tiles),
            drawn=any(photo.drawn for tile in site.photos.values() for photo in tile.photos),
            cone=cone.shown if cone else None,
        )
    )
    asking = bool(catalogue.underglazes and catalogue.clears and asked_cones(site.findings))
    if asking:
        names = names_data(site.findings, OWN_PAGES)
        yield Asset(DATA + "names.js", as_script(names, "clearoverNames"))
        yield Asset(
            DATA + "finder.js", as_script(finder_data(site.findings, site.photos, swatches))
        )
    yield Page(
        address="index.html",
        kind="home",
        title="Which clear over which colour?",
        description=f"Which clear over which colour, by the tiles of {catalogue.studio.name}",
        nav="find",
        body_html=body,
        scripts=SCRIPTS if asking else (),
    )


def _swatches(site: Site) -> dict[str, Swatch]:
    """One small picture for all colours: a page with one file loads faster than with hundreds."""
    places = swatches_of(site.findings, site.photos)
    if not places:
        return {}
    shown = sorted(places.items())
    crops = [(site.photos[tile], row, column) for _, (tile, row, column) in shown]
    sprite = strip(crops, CELL, site.cache)
    site.picture(sprite.image)
    wide, high = sprite.cell_width, sprite.cell_height
    return {
        id_: Swatch(
            sprite.image.name,
            sprite.image.width,
            sprite.image.height,
            number % sprite.columns * wide,
            number // sprite.columns * high,
            wide,
            high,
        )
        for number, (id_, _) in enumerate(shown)
    }


def _groups(
    records: Iterable[Underglaze], swatches: dict[str, Swatch]
) -> list[tuple[str, list[Colour]]]:
    """Colours by colour word, in the order of the words; what is not in use comes last."""
    groups: dict[str, list[Colour]] = {word: [] for word in (*COLOURS_SHOWN, ELSEWHERE)}
    for one in sorted(records, key=lambda record: (record.name.casefold(), record.id)):
        group = one.colour if one.status == "in use" else ELSEWHERE
        found = Colour(one.name, f"underglazes/{one.id}.html", swatches.get(one.id))
        groups[group].append(found)
    return [(word, colours) for word, colours in groups.items() if colours]
