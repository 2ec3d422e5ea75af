"""The matrix: a board of tiles, rows colours, columns clears, one board a cone.

In: the site. Out: `matrix/index.html`, a board for each cone (and for each other atmosphere in
which tiles were fired), and boards that show two cones side by side in each cell. A board of many
colours is split by colour word, so that a page stays light.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

from ..evidence.findings import is_meant
from ..photos.cache import Stamps
from ..records.models import Clear, Underglaze
from .board import Place
from .environment import body_environment
from .link import Link
from .lookup import IN_ORDER, ROOT, Lookup, lookup
from .matrix_cells import Cells
from .page import Page, Site

MOST_ROWS = 60
"""Colours on one page; beyond that there is a page for each colour word."""


def pages(site: Site) -> Iterator[Page]:
    """The chooser and all boards."""
    known, stamps = lookup(site), Stamps(site.cache, "matrix-stamps.json")
    boards = [Board(known, (place,), stamps) for place in known.places]
    boards += [Board(known, pair, stamps) for pair in _pairs(known)]
    links = [(Link(board.title, f"{board.id}.html"), board) for board in boards]
    yield _index(known, links)
    for board in boards:
        others = [link for link, other in links if other is not board]
        yield from _board_pages(board, others)
    stamps.save()


def _pairs(known: Lookup) -> list[tuple[Place, Place]]:
    """The studio's own cones that follow one another and both have tiles."""
    own = known.catalogue.studio.atmosphere
    tested = {(seen.cone, seen.atmosphere) for seen in known.findings.seen if seen.counts}
    cones = sorted(cone for cone in set(known.catalogue.studio.cones) if (cone, own) in tested)
    return [((cool, own), (hot, own)) for cool, hot in pairwise(cones)]


class Board:
    """The colours and clears of one board, and the cells asked for row by row."""

    def __init__(self, known: Lookup, places: Sequence[Place], stamps: Stamps) -> None:
        self.known = known
        self.places = tuple(places)
        names = [known.place(*place) for place in self.places]
        self.title = " and ".join([names[0].capitalize(), *names[1:]])
        self.id = known.place_id(*self.places[0])
        if len(self.places) > 1:
            labels = "-and-".join(cone.label for cone, _ in self.places)
            self.id = f"cones-{labels}"
        self.cells = Cells(known, self.places, stamps)
        self.clears = self._clears()
        self.colours = self._colours()
        self.tested = sum(self.cells.tests(u.id, c.id) for u in self.colours for c in self.clears)

    def _clears(self) -> list[Clear]:
        """Clears meant for one of the cones or tested there; those with most tests first."""
        tests = self.cells.tests_of_clear
        found = [
            clear
            for clear in self.known.catalogue.clears.values()
            if tests.get(clear.id) or self._meant(clear)
        ]
        return sorted(found, key=lambda clear: (-tests.get(clear.id, 0), clear.name.lower()))

    def _meant(self, clear: Clear) -> bool:
        return any(is_meant(clear, cone) for cone, _ in self.places)

    def _colours(self) -> list[Underglaze]:
        """Colours in use or tested here, by colour word and name."""
        tests = self.cells.tests_of_underglaze
        found = [
            colour
            for colour in self.known.catalogue.underglazes.values()
            if colour.status == "in use" or tests.get(colour.id)
        ]
        return sorted(found, key=lambda one: (IN_ORDER.index(one.colour), one.name.lower()))

    def words(self) -> list[tuple[str, list[Underglaze]]]:
        """The colours under their colour words."""
        return [
            (word, found)
            for word in IN_ORDER
            if (found := [colour for colour in self.colours if colour.colour == word])
        ]


def _index(known: Lookup, links: list[tuple[Link, Board]]) -> Page:
    rows = [
        {
            "to": link,
            "tested": board.tested,
            "of": len(board.colours) * len(board.clears),
            "two": len(board.places) > 1,
        }
        for link, board in links
    ]
    body = body_environment().get_template("matrix_index.html").render(root=ROOT, boards=rows)
    return Page(
        address="matrix/index.html",
        kind="matrix",
        title="Matrix",
        description="Every colour under every clear, cone by cone, shown by the tiles themselves.",
        nav="matrix",
        body_html=body,
    )


def _board_pages(board: Board, others: list[Link]) -> Iterator[Page]:
    """One page, or a page a colour word and one that leads to them."""
    groups = board.words()
    if len(board.colours) <= MOST_ROWS:
        yield _page(board, others, board.id, board.title, groups)
        return
    parts = [Link(f"{word} ({len(found)})", f"{board.id}-{word}.html") for word, found in groups]
    yield _page(board, others, board.id, board.title, [], parts)
    for word, found in groups:
        title = f"{board.title}, {word}"
        yield _page(board, others, f"{board.id}-{word}", title, [(word, found)], parts)


def _page(
    board: Board,
    others: list[Link],
    id_: str,
    title: str,
    groups: list[tuple[str, list[Underglaze]]],
    parts: Sequence[Link] = (),
) -> Page:
    known = board.known
    view = {
        "root": ROOT,
        "title": title,
        "others": others,
        "banded": bool(known.findings.measured),
        "parts": parts,
        "two": [known.place(*place) for place in board.places] if len(board.places) > 1 else [],
        "columns": [_column(known, clear) for clear in board.clears] if groups else [],
        "groups": [
            {
                "word": word,
                "rows": [
                    {
                        "to": known.link("underglaze", colour.id),
                        "cells": board.cells.row(colour.id, [clear.id for clear in board.clears]),
                    }
                    for colour in found
                ],
            }
            for word, found in groups
        ],
    }
    return Page(
        address=f"matrix/{id_}.html",
        kind="matrix",
        title=f"Matrix, {title[0].lower()}{title[1:]}",
        description=f"Every colour under every clear at {title[0].lower()}{title[1:]}.",
        nav="matrix",
        body_html=body_environment().get_template("matrix.html").render(view),
    )


def _column(known: Lookup, clear: Clear) -> dict[str, Any]:
    zinc = known.findings.chemistry[clear.id].zinc.value
    said = {"bearing": "zinc", "free": "no zinc"}.get(zinc, "zinc unknown")
    return {"to": known.link("clear", clear.id), "zinc": said}
