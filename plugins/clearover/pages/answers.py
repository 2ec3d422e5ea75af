"""The answers at one cone as a page lays them out: the tested with pictures, the rest by name.

In: (what it pairs with, answer) in order of rank. Out: groups of plain values, in the same order.
Used both ways: clears over a colour, colours under a clear.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import Any

from ..chemistry.results import Flag
from ..evidence.findings import IN_USE
from ..evidence.results import Answer
from ..evidence.wishes import wishes
from ..evidence.wording import standing
from ..records.models import Clear, Underglaze
from . import words
from .board import WISH
from .link import linked
from .lookup import ROOT, Lookup
from .reasons import gravity

SHOWN = 3
"""Crops in one strip: one, two and three coats."""

MOST_TILES = 6
"""Tiles named beside an answer; the page lists all of them further down."""

OVER = {
    "tested": "Stays true under",
    "mixed": "True on some tiles, not on others, under",
    "expected": "Expected to stay true under",
    "unknown": "Unknown: test it under",
    "doubtful": "Doubtful under",
    "avoid": "Does not stay true under",
}
UNDER = {
    "tested": "Stay true",
    "mixed": "True on some tiles, not on others",
    "expected": "Expected to stay true",
    "unknown": "Unknown: test it",
    "doubtful": "Doubtful",
    "avoid": "Do not stay true",
}


def groups(
    known: Lookup,
    kind: str,
    answers: Iterable[tuple[str, Answer]],
    headings: dict[str, str],
) -> list[dict[str, Any]]:
    """One group a standing. `kind` is what each answer is about (`clear` or `underglaze`).

    What is not in use is told only where a tile tested it.
    """
    told = []
    table = known.catalogue.clears if kind == "clear" else known.catalogue.underglazes
    for place, found in groupby(answers, lambda pair: pair[1].standing):
        edge = words.EDGE[place]
        items = [
            _item(known, kind, table[id_], answer)
            for id_, answer in found
            if answer.judged or table[id_].status == IN_USE
        ]
        if items:
            told.append({"heading": headings[place], "edge": edge, "rows": items})
    return told


def _item(known: Lookup, kind: str, record: Clear | Underglaze, answer: Answer) -> dict[str, Any]:
    """What is told of one answer; little where no tile stands behind it."""
    told = {"to": known.link(kind, record.id), "reason": answer.reason}
    if words.EDGE[answer.standing] != "tested":
        return told | {"short": _short(answer)}
    tiles = [known.link("tile", tile) for tile in answer.tiles[:MOST_TILES]]
    return told | {
        "status": "" if record.status == "in use" else record.status,
        "standing": standing((wishes()[WISH],), answer),
        "verdict": words.numbered(answer.verdicts),
        "strip": strip(known, answer.crops),
        "rests": words.rests_on(answer),
        "tiles": linked(tiles),
    }


def strip(known: Lookup, places: Iterable[tuple[str, int, int]]) -> dict[str, Any] | None:
    """Cells side by side as one link to the first, said in words; None without a picture."""
    shown = [(place, known.crop(*place, named=False)) for place in list(places)[:SHOWN]]
    crops = [crop for _, crop in shown if crop]
    if not crops:
        return None
    tile, row, column = shown[0][0]
    said = words.joined([known.cell_words(*place) for place, crop in shown if crop])
    return {
        "crops": crops,
        "href": f"{ROOT}tiles/{tile}.html#r{row}c{column}",
        "label": f"{known.pair_words(tile, row, column)}: {said}",
    }


def _short(answer: Answer) -> str:
    """What the gravest flag leads to, for a line with no room for a reason."""
    harm = [flag for flag in answer.flags if flag.direction == "harm"]
    return harm[0].effect if harm else ""


def told_flags(pairs: Iterable[tuple[str, Flag]]) -> list[dict[str, Any]]:
    """Flags said once, the gravest first, with the pigments and the names it is said of."""
    table: dict[tuple[str, str], dict[str, Any]] = {}
    for name, flag in pairs:
        row = table.setdefault((flag.rule, flag.because), {"flag": flag, "pigments": [], "of": []})
        if flag.pigment not in row["pigments"]:
            row["pigments"].append(flag.pigment)
        if name not in row["of"]:
            row["of"].append(name)
    return sorted(table.values(), key=lambda row: gravity(row["flag"]))
