"""The whole catalogue as one JSON value: every record as checked, and what was computed from it.

In: findings, and photos where they were developed. Out: bytes, one record a line, so that two
exports can be compared line by line. Records come as lists, each with its `id`, in order of ids.
"""

from __future__ import annotations

import io
import json
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from .. import __version__
from ..records.words import PROPERTIES
from . import movement
from .measured import report_of
from .plain import chemistry_json, plain, reached_json, where

if TYPE_CHECKING:
    from ..evidence.findings import Findings
    from ..evidence.results import Seen
    from ..photos.results import TilePhotos
    from ..records.tile import Judged, Tile

    Photos = Mapping[str, TilePhotos]

Lines = Iterator[dict[str, Any]]


def catalogue_json(findings: Findings, photos: Photos) -> bytes:
    """The file's bytes, UTF-8. Each line is encoded as it is made: all of them as text, and joined,
    took several times the memory."""
    out = io.BytesIO()
    for text in _texts(findings, photos):
        out.write(text.encode("utf-8"))
    return out.getvalue()


def _texts(findings: Findings, photos: Photos) -> Iterator[str]:
    catalogue = findings.catalogue
    heads = {
        "clearover": __version__,
        "studio": plain(catalogue.studio),
        "moved": plain(catalogue.moved),
        "left_out": _left_out(findings),
    }
    lists = {
        "underglazes": _underglazes(findings),
        "clears": _clears(findings),
        "bodies": (plain(body) for _, body in sorted(catalogue.bodies.items())),
        "materials": (plain(each) for _, each in sorted(catalogue.materials.items())),
        "firings": (plain(firing) for _, firing in sorted(catalogue.firings.items())),
        "tiles": _tiles(findings, photos),
        "conflicts": (plain(conflict) for conflict in findings.conflicts),
    }
    yield "{\n" + ",\n".join(f'"{name}": {_json(value)}' for name, value in heads.items())
    for name, lines in lists.items():
        yield f',\n"{name}": '
        yield from _list(lines)
    yield "\n}\n"


_encode = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode


def _json(value: Any) -> str:
    return _encode(value)


def _list(lines: Lines) -> Iterator[str]:
    before = "[\n"
    for line in lines:
        yield before + _json(line)
        before = ",\n"
    yield "[]" if before == "[\n" else "\n]"


def _left_out(findings: Findings) -> list[str]:
    """Files of records that have errors and are therefore not here."""
    return sorted({problem.place.file for problem in findings.catalogue.errors})


def _underglazes(findings: Findings) -> Lines:
    tested: dict[str, list[dict[str, Any]]] = {}
    for (underglaze, clear), cells in sorted(findings.by_pairing.items()):
        tested.setdefault(underglaze, []).extend(_pairings(clear, cells))
    for id, record in sorted(findings.catalogue.underglazes.items()):
        yield {**plain(record), "tested": tested.get(id, [])}


def _pairings(clear: str, cells: list[Seen]) -> Lines:
    """What was seen of one underglaze alone under one clear, cone by cone."""
    groups: dict[tuple[Any, str], list[Seen]] = {}
    for cell in cells:
        if cell.alone and cell.counts:
            groups.setdefault((cell.cone, cell.atmosphere), []).append(cell)
    for (cone, atmosphere), group in sorted(groups.items(), key=_cool_first):
        yield {
            "clear": clear,
            "cone": plain(cone),
            "atmosphere": atmosphere,
            "tiles": sorted({cell.tile for cell in group}),
            "cells": len(group),
            "verdicts": _tallies(group),
        }


def _cool_first(entry: tuple[tuple[Any, str], list[Seen]]) -> tuple[float, str]:
    (cone, atmosphere), _ = entry
    return (cone.step if cone else -99.0, atmosphere)


def _tallies(cells: list[Seen]) -> dict[str, dict[str, int]]:
    """For each property, how many cells bear each verdict."""
    counted: dict[str, dict[str, int]] = {name: {} for name in PROPERTIES}
    for cell in cells:
        for name, verdicts in cell.verdicts.items():
            tally = counted[name]
            for verdict in verdicts:
                tally[verdict] = tally.get(verdict, 0) + 1
    return {name: dict(sorted(tally.items())) for name, tally in counted.items()}


def _clears(findings: Findings) -> Lines:
    for id, record in sorted(findings.catalogue.clears.items()):
        chemistry = findings.chemistry.get(id)
        told = chemistry and chemistry_json(chemistry)
        yield {**plain(record), "chemistry": told, "movement": movement.usual(findings, record)}


def _tiles(findings: Findings, photos: Photos) -> Lines:
    seen = {(each.tile, each.row, each.column): each for each in findings.seen}
    for id, tile in sorted(findings.catalogue.tiles.items()):
        yield {
            **_tile(tile),
            "reached": reached_json(findings.reached.get(id)),
            "judged": [_judged(block) for block in tile.judged],
            "cells": [
                {
                    "row": cell.row,
                    "column": cell.column,
                    "where": where(cell.where),
                    "verdicts": _verdicts(seen.get((id, cell.row, cell.column))),
                }
                for cell in tile.cells
            ],
            **movement.on_tile(findings, tile),
            "measured": report_of(findings, id),
            "pictures": _pictures(photos.get(id)),
        }


_OWN_FORM = frozenset(("judged", "cells", "across", "down", "all_"))


def _tile(tile: Tile) -> dict[str, Any]:
    """The record's own keys; its layout is told by the cells."""
    names = [name for name in type(tile).model_fields if name not in _OWN_FORM]
    return {name: plain(getattr(tile, name)) for name in names}


def _verdicts(seen: Seen | None) -> dict[str, list[str]]:
    return {name: list(texts) for name, texts in seen.verdicts.items()} if seen else {}


def _judged(block: Judged) -> dict[str, Any]:
    verdicts = {
        name: [
            {"row": row, "column": column, "verdict": verdict.text}
            for (row, column), verdict in sorted(getattr(block, name).items())
        ]
        for name in PROPERTIES
    }
    return {"by": block.by, "on": plain(block.on), "notes": block.notes, **verdicts}


def _pictures(found: TilePhotos | None) -> dict[str, Any] | None:
    """Names of the pictures, as the site serves them below `assets/photos/`."""
    if found is None:
        return None
    return {
        "straight": found.straight and found.straight.name,
        "balanced": found.balanced and found.balanced.name,
        "cells": found.sprite and found.sprite.image.name,
        "photos": [[image.name for image in photo.sizes] for photo in found.photos],
    }
