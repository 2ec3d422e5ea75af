"""A tile's page: what it is, what happened to each cell, who says so, how it was fired.

In: the site. Out: one page a tile. First comes what became of each pairing, then the
photo with its grid, then the verdicts in the tile's own shape.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..evidence.results import Reached
from ..records.factors import Value
from ..records.tile import Judged, Tile
from ..records.words import EDGES, PROPERTIES
from . import measured, movement, words
from .environment import body_environment
from .firing_note import firing_note
from .link import Link
from .lookup import ROOT, Lookup, lookup, tile_name
from .page import Page, Site
from .pictures import grid_path, shown
from .reasons import Reasons, number_sources
from .tile_cells import everywhere_alike, table

LINKED = ("underglaze", "clear", "body")
EXPECTED = {"line": "crisp", "cover": "opaque", "surface": "clean"}
"""What goes without saying in the short account; anything else is named."""
MOST = 8
"""Pairings told at the head of the page; the table below has them all."""


def pages(site: Site) -> Iterator[Page]:
    """One page for each tile."""
    known = lookup(site)
    template = body_environment().get_template("tile.html")
    for tile in site.catalogue.tiles.values():
        view = tile_view(known, tile)
        yield Page(
            address=f"tiles/{tile.id}.html",
            kind="tile",
            title=f"{view['called']}: {view['title']}",
            description=f"{view['title']}, {view['cone']}. {view['account']}",
            nav="tiles",
            body_html=template.render(view),
            scripts=measured.scripts(view),
        )


def tile_view(known: Lookup, tile: Tile) -> dict[str, Any]:
    """Everything the template says of one tile, as plain values."""
    reached = known.findings.reached.get(tile.id)
    judges = [_judge(judged, number) for number, judged in enumerate(tile.judged, 1)]
    told = Reasons(known, tile, reached)
    everywhere = everywhere_alike(tile)
    but = measured.contradictions(known, tile)
    photo = measured.cells(known, tile, but)
    happened = _happened(known, tile)
    return {
        "root": ROOT,
        "tile": tile,
        "missed": firing_note(known, tile),
        "called": words.first_upper(tile_name(tile)),
        "title": known.title(tile),
        "cone": words.cone(reached.cone if reached else None),
        "made": words.day(tile.made),
        "happened": happened[:MOST],
        "more": max(0, len(happened) - MOST),
        "account": "; ".join(f"{name}: {text}" for name, text in happened[:MOST]),
        "photos": _photos(known, tile),
        "columns": _heads(known, tile.across, tile.columns),
        "rows": _heads(known, tile.down, tile.rows),
        "column_reasons": told.of_columns,
        "row_reasons": told.of_rows,
        "everywhere": list(everywhere.items()),
        "table": table(known, tile, judges, told, everywhere, photo),
        "reasons": told.grouped,
        "sources": number_sources(told.grouped),
        "against": _against(known, tile),
        "facts": _facts(known, tile),
        "fired": _fired(known, tile, reached),
        "made_of": _made_of(known, tile),
        "measured": measured.section(known, tile, but),
        "movement": movement.tile_section(known, tile),
        "judges": [
            {"name": name, "notes": judged.notes}
            for name, judged in zip(judges, tile.judged, strict=True)
        ],
    }


def _happened(known: Lookup, tile: Tile) -> list[tuple[str, str]]:
    """What became of each pairing: [(`Ferry Glass`, `true`), …] in the tile's order.

    Only what differs between pairings is named: the clear where one colour lies on the tile.
    """
    said: dict[tuple[str, str], dict[str, None]] = {}
    for _, seen in sorted(known.cells.get(tile.id, {}).items()):
        verdicts = said.setdefault((seen.underglaze, seen.clear), {})
        for prop in PROPERTIES:
            for text in seen.verdicts.get(prop, ()):
                if text != EXPECTED.get(prop):
                    verdicts[f"line {text}" if prop == "line" else text] = None
    several = len({underglaze for underglaze, _ in said}) > 1, len({c for _, c in said}) > 1
    told = []
    for (underglaze, clear), verdicts in said.items():
        names = [known.link("underglaze", underglaze).text, known.link("clear", clear).text]
        name = " under ".join(names) if all(several) else names[0 if several[0] else 1]
        if verdicts:
            told.append((words.first_upper(name), ", ".join(verdicts)))
    return told


def _judge(judged: Judged, number: int) -> str:
    """`R. A., 22 March 2026`."""
    parts = [part for part in (judged.by, words.day(judged.on)) if part]
    return ", ".join(parts) or f"somebody (judgement {number})"


def _photos(known: Lookup, tile: Tile) -> list[dict[str, Any]]:
    """The tile's photos, the measured one first, its grid drawn over it."""
    found = known.photos.get(tile.id)
    if found is None:
        return []
    ordered = sorted((p for p in found.photos if p.sizes), key=lambda photo: photo.corners is None)
    views = []
    for number, photo in enumerate(ordered):
        what = "another photo" if number else "the whole tile"
        view = shown(photo, ROOT, f"{words.first_upper(tile_name(tile))}, {what}")
        size = photo.sizes[-1]
        view["grid"] = (
            grid_path(photo.corners, tile.rows, tile.columns, size.width, size.height)
            if photo.corners
            else ""
        )
        views.append(view)
    return views


def _heads(
    known: Lookup, factors: Mapping[str, tuple[Value, ...]], number: int
) -> list[list[Link]]:
    """What stands over each column (or before each row): every factor's value there."""
    return [
        [_named(known, factor, given[i]) for factor, given in factors.items() if i < len(given)]
        for i in range(number)
    ]


def _named(known: Lookup, factor: str, given: Value) -> Link:
    if factor in LINKED:
        return known.link(factor, str(given))
    return Link(words.value(factor, given))


def _facts(known: Lookup, tile: Tile) -> list[tuple[str, Link | str]]:
    """What holds for the whole tile: [(label, value)]."""
    facts = [
        (words.first_upper(words.label(factor)), _fact(known, factor, given))
        for factor, given in tile.all_.items()
    ]
    if tile.stood:
        facts.append(("Stood in the kiln", _stood(tile)))
    if tile.lower_edge and tile.lower_edge in EDGES and tile.stood != "flat":
        facts.append(("Lower edge in the kiln", f"the grid's {tile.lower_edge}"))
    if tile.shape:
        facts.append(("Shape", tile.shape))
    if tile.made:
        facts.append(("Made", words.day(tile.made) or ""))
    if tile.mark:
        facts.append(("Scratched into the clay", f"Mark {tile.mark}"))
    return facts


def _fact(known: Lookup, factor: str, given: Value) -> Link | str:
    if factor in LINKED:
        return known.link(factor, str(given))
    return words.plain(factor, given)


def _stood(tile: Tile) -> str:
    return "flat, so nothing could run downhill" if tile.stood == "flat" else str(tile.stood)


def _fired(known: Lookup, tile: Tile, reached: Reached | None) -> dict[str, Any]:
    """The firing that counts, the cone it reached there and how that is known."""
    last = known.catalogue.firings.get(tile.firings[-1]) if tile.firings else None
    return {
        "cone": words.cone(reached.cone if reached else None),
        "how": words.reached(reached),
        "atmosphere": reached.atmosphere if reached else "unknown",
        "shelf": tile.shelf,
        "aimed": last.aimed.shown if last and last.aimed else None,
        "on": words.day(last.fired) if last else None,
        "last": known.link("firing", tile.firings[-1]) if tile.firings else None,
        "before": [known.link("firing", id_) for id_ in tile.firings[:-1]],
    }


def _against(known: Lookup, tile: Tile) -> list[dict[str, Any]]:
    """Other tiles that say the contrary of the same combination."""
    told = []
    for conflict, first in known.conflicts.get(tile.id, ()):
        (_, row, column), (other, there, along) = (
            (conflict.one, conflict.other) if first else (conflict.other, conflict.one)
        )
        here, said = conflict.words if first else conflict.words[::-1]
        place = f"#r{there}c{along}"
        link = known.link("tile", other)
        told.append(
            {
                "to": Link(link.text, link.href and link.href + place),
                "prop": conflict.prop,
                "here": here,
                "there": said,
                "cell": f"r{row}c{column}",
            }
        )
    return told


def _made_of(known: Lookup, tile: Tile) -> list[dict[str, Any]]:
    """The tile's own stacks and mixes, spelled out."""
    told: list[dict[str, Any]] = []
    for id_, layers in tile.stacks.items():
        parts = [
            (known.link("underglaze", one.underglaze), words.coats(one.coats) if one.coats else "")
            for one in layers
        ]
        told.append({"name": id_.replace("-", " "), "how": "layers, bottom first", "parts": parts})
    for id_, shares in tile.mixes.items():
        parts = [
            (
                known.link("underglaze", one),
                words.count(1, "part") if share == 1 else f"{share:g} parts",
            )
            for one, share in shares.items()
        ]
        told.append({"name": id_.replace("-", " "), "how": "a mixture", "parts": parts})
    return told
