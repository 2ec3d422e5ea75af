"""The lists: colours by colour word, clears, tiles, bodies, loads; and pages for old names.

In: the site. Out: the `index.html` of each folder, and for every record that was renamed a page
under its old id that leads to the new one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from ..finder.swatches import swatches_of
from ..records.models import Clear, Underglaze
from . import words
from .clear import classes
from .environment import body_environment
from .link import Link
from .lookup import FOLDERS, IN_ORDER, ROOT, Lookup, lookup, newest_first
from .page import Page, Site

STATUS_LAST = ("in use", "member's own", "retired")
NAV = {"underglaze": "colours", "clear": "clears"}


def pages(site: Site) -> Iterator[Page]:
    """The five lists, then a page for each old name."""
    known = lookup(site)
    yield _page("underglazes", "Colours", "colours", _colours(known))
    yield _page("clears", "Clears", "clears", _clears(known))
    yield _page("tiles", "Tiles", "tiles", _tiles(known))
    yield _page("bodies", "Clay bodies", "tiles", _bodies(known))
    yield _page("firings", "Kiln loads", "tiles", _firings(known))
    yield from _moved(known)


def _page(folder: str, title: str, nav: str, view: dict[str, Any]) -> Page:
    template = body_environment().get_template(f"list_{folder}.html")
    return Page(
        address=f"{folder}/index.html",
        kind="list",
        title=title,
        description=f"{title} of this studio.",
        nav=nav,
        body_html=template.render(view, root=ROOT, title=title),
    )


def _in_order(records: Sequence[Any]) -> list[Any]:
    """By name, what is no longer in use last."""
    return sorted(records, key=lambda one: (STATUS_LAST.index(one.status), one.name.lower()))


def _colours(known: Lookup) -> dict[str, Any]:
    """Colours by colour word, in the order of the words."""
    groups = []
    shown = swatches_of(known.findings, known.photos)
    for word in IN_ORDER:
        found = [one for one in known.catalogue.underglazes.values() if one.colour == word]
        if found:
            items = [_colour(known, one, shown) for one in _in_order(found)]
            groups.append({"word": word, "rows": items})
    return {"groups": groups}


def _colour(
    known: Lookup, colour: Underglaze, shown: Mapping[str, tuple[str, int, int]]
) -> dict[str, Any]:
    return {
        "to": known.link("underglaze", colour.id),
        "crop": known.crop(*shown[colour.id], named=False) if colour.id in shown else None,
        "status": "" if colour.status == "in use" else colour.status,
        "tiles": len(known.tiles_of("underglaze", colour.id)),
    }


def _clears(known: Lookup) -> dict[str, Any]:
    return {
        "rows": [
            {
                "to": known.link("clear", clear.id),
                "facts": _clear_facts(clear),
                "classes": [said for _, said, _ in classes(known.findings.chemistry[clear.id])],
                "zinc": known.findings.chemistry[clear.id].zinc.value,
                "tiles": len(known.tiles_of("clear", clear.id)),
            }
            for clear in _in_order(list(known.catalogue.clears.values()))
        ]
    }


def _clear_facts(clear: Clear) -> str:
    parts = [
        clear.surface or "",
        f"cone {clear.cones.shown}" if clear.cones else "",
        "" if clear.status == "in use" else clear.status,
    ]
    return " · ".join(part for part in parts if part)


def _tiles(known: Lookup) -> dict[str, Any]:
    tiles = sorted(known.catalogue.tiles.values(), key=newest_first)
    return {"rows": known.tile_rows(tiles)}


def _bodies(known: Lookup) -> dict[str, Any]:
    return {
        "rows": [
            {
                "to": known.link("body", body.id),
                "facts": body.colour or "",
                "tiles": len(known.tiles_of("body", body.id)),
            }
            for body in _in_order(list(known.catalogue.bodies.values()))
        ]
    }


def _firings(known: Lookup) -> dict[str, Any]:
    loads = sorted(known.catalogue.firings.values(), key=lambda one: one.fired, reverse=True)
    return {
        "rows": [
            {
                "to": known.link("firing", load.id),
                "fired": words.day(load.fired),
                "facts": " · ".join(
                    part
                    for part in (
                        f"aimed at cone {load.aimed.shown}" if load.aimed else "",
                        load.atmosphere if load.atmosphere != "unknown" else "",
                        f"{load.kiln} kiln" if load.kiln else "",
                    )
                    if part
                ),
                "tiles": len(known.tiles_of("firing", load.id)),
            }
            for load in loads
        ]
    }


def _moved(known: Lookup) -> Iterator[Page]:
    """A page under each old id; nothing where the id lives again as another record."""
    template = body_environment().get_template("moved.html")
    for kind, table in known.catalogue.moved.items():
        for old, new in table.items():
            if kind not in FOLDERS or old in known.catalogue.of(kind):
                continue
            link = known.link(kind, new)
            yield Page(
                address=f"{FOLDERS[kind]}/{old}.html",
                kind="moved",
                title=f"Moved to {link.text}",
                description=f"This record is now called {link.text}.",
                nav=NAV.get(kind, "tiles"),
                body_html=template.render(root=ROOT, old=old, to=Link(link.text, link.href)),
            )
