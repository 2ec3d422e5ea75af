"""What one cell of the matrix shows: the tile's own crop and its verdict, or what to expect.

In: the look-ups and the cones of a board. Out: a row's cells as plain values, their pictures from
one sprite a row. It decides nothing: standings come from the answers, verdicts from the tiles.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from ..evidence.answers import split_by_cone
from ..evidence.results import Answer, Seen
from ..photos.cache import Stamps
from ..photos.results import TilePhotos
from ..photos.sprites import strip
from ..records.words import PROPERTIES
from . import words
from .board import Place
from .lookup import ROOT, Lookup
from .pictures import sprite_crop

CELL = (160, 120)
"""Size of a crop in a row's sprite, px: 80 by 60 on the page, at double density."""
USUAL_COATS = 2
"""Of several cells that show the same verdict, the one with two coats of clear is shown."""

Wanted = tuple[TilePhotos, int, int]


class Cells:
    """The cells of one board."""

    def __init__(self, known: Lookup, places: Sequence[Place], stamps: Stamps) -> None:
        self.known = known
        self._stamps = stamps
        self.places = tuple(places)
        self.tests_of_clear: Counter[str] = Counter()
        self.tests_of_underglaze: Counter[str] = Counter()
        self._seen: dict[tuple[str, str], list[list[Seen]]] = {}
        kept = known.catalogue
        for (underglaze, clear), cells in known.findings.by_pairing.items():
            here = [split_by_cone(cells, *place)[0] for place in self.places]
            if any(here) and underglaze in kept.underglazes and clear in kept.clears:
                self._seen[underglaze, clear] = here
                self.tests_of_clear[clear] += sum(1 for one in here if one)
                self.tests_of_underglaze[underglaze] += 1

    def tests(self, underglaze: str, clear: str) -> bool:
        """Whether a tile shows this pairing here."""
        return (underglaze, clear) in self._seen

    def row(self, underglaze: str, clears: Sequence[str]) -> list[dict[str, Any]]:
        """The cells of one colour, in the order of the clears."""
        boards = (self.known.board(*place).by_underglaze for place in self.places)
        answers = [{one.clear: one for one in board.get(underglaze, ())} for board in boards]
        cells = [
            self._cell(underglaze, clear, [found.get(clear) for found in answers])
            for clear in clears
        ]
        self._picture([half for cell in cells for half in cell["halves"] if half["from"]])
        return cells

    def _cell(
        self, underglaze: str, clear: str, answers: Sequence[Answer | None]
    ) -> dict[str, Any]:
        """One cell: a half for each cone of the board (one half is the whole cell)."""
        seen = self._seen.get((underglaze, clear), [[]] * len(self.places))
        halves = [self._half(*half) for half in zip(seen, answers, strict=True)]
        edges = {half["edge"] for half in halves}
        edge = next(one for one in ("tested", "expected", "unknown") if one in edges)
        texts = [half["words"] for half in halves]
        if edge == "tested":
            texts = [half["words"] if half["from"] else "–" for half in halves]
        elif len(set(texts)) == 1:
            texts = texts[:1]
        elif len(texts) > 1:
            texts = [text or "unknown" for text in texts]
        return {"edge": edge, "halves": halves, "words": " · ".join(texts)}

    def _half(self, here: list[Seen], answer: Answer | None) -> dict[str, Any]:
        if here:
            text, shown = _verdict(here)
            return {"edge": "tested", "words": text, "from": shown, "crop": None, "href": ""}
        if answer is None:  # the clear is not meant for this cone
            return {"edge": "unknown", "words": "–", "from": None, "crop": None, "href": ""}
        edge, said = words.EDGE[answer.standing], words.short_expectation(answer)
        return {"edge": edge, "words": said, "from": None, "crop": None, "href": ""}

    def _picture(self, halves: list[dict[str, Any]]) -> None:
        """Give each tested half its crop, all from one sprite."""
        wanted: list[tuple[dict[str, Any], Wanted]] = []
        for half in halves:
            seen: Seen = half["from"]
            half["href"] = f"{ROOT}tiles/{seen.tile}.html#r{seen.row}c{seen.column}"
            photos = self.known.photos.get(seen.tile)
            if photos and photos.sprite:
                wanted.append((half, (photos, seen.row, seen.column)))
        if not wanted:
            return
        sprite = strip([crop for _, crop in wanted], CELL, self.known.site.cache, self._stamps)
        self.known.site.picture(sprite.image)
        for number, (half, (photos, row, column)) in enumerate(wanted):
            label = self.known.in_words(photos.tile, row, column)
            place = number // sprite.columns + 1, number % sprite.columns + 1
            fill = self.known.fill(photos.tile, row, column)
            half["crop"] = sprite_crop(sprite, *place, label, ROOT, fill)


def _verdict(here: list[Seen]) -> tuple[str, Seen]:
    """What the cells say, in words, and the cell that shows it best.

    The colour speaks first; where nobody judged it, the line, the cover, then the surface.
    """
    for prop in PROPERTIES:
        judged = [(seen.verdicts[prop][0], seen) for seen in here if seen.verdicts.get(prop)]
        if judged:
            text = words.tally(text for text, _ in judged)
            most = Counter(text for text, _ in judged).most_common(1)[0][0]
            shown = _shown([seen for said, seen in judged if said == most])
            return (f"line {text}" if prop == "line" else text), shown
    return "not judged", _shown(here)


def _shown(cells: list[Seen]) -> Seen:
    return min(cells, key=lambda seen: abs((seen.clear_coats or USUAL_COATS) - USUAL_COATS))
