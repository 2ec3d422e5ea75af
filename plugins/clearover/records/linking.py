"""From records one by one to a catalogue whose links hold.

In: what `loading` read. Out: the `Catalogue`: sound records only, moved ids followed, all problems
sorted. A record with an error is left out, and so is a tile that needs it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import cast

from .catalogue import Catalogue
from .checks.clears import check_clears, check_materials, check_underglazes
from .checks.context import Context
from .checks.firings import check_firings
from .checks.links import check_links, check_moved, references, resolve
from .checks.photos import check_photos
from .checks.tiles import check_tiles
from .factors import Value
from .loading import Loaded, load
from .models import Record, Studio, Underglaze
from .problem import in_order
from .tile import Cell, Tile

CHECKS: tuple[Callable[[Context], None], ...] = (
    check_links,
    check_underglazes,
    check_materials,
    check_clears,
    check_firings,
    check_tiles,
    check_photos,
)


def read_catalogue(root: Path) -> Catalogue:
    """Read and check everything below a catalogue's folder."""
    root = Path(root)
    context = Context(root, load(root))
    for check in CHECKS:
        check(context)
    loaded = context.loaded
    problems = in_order([*loaded.problems, *context.problems(), *check_moved(context)])
    _follow_moves(context)
    _drop_unsound(loaded, {p.place.file for p in problems if p.is_error})
    studio = loaded.studio or Studio.model_validate(
        {"name": "A studio without a name", "@id": "studio", "@file": f"{root.name}/studio.yml"}
    )
    return Catalogue(
        root=root,
        studio=studio,
        underglazes=context.underglazes,
        clears=context.clears,
        bodies=context.bodies,
        materials=context.materials,
        firings=context.firings,
        tiles=context.tiles,
        moved=_moves(context),
        problems=tuple(problems),
    )


def _moves(context: Context) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    for kind, stubs in context.loaded.moved.items():
        for ident in stubs:
            if target := resolve(context, kind, ident):
                found.setdefault(kind, {})[ident] = target
    return found


def _drop_unsound(loaded: Loaded, files: set[str]) -> None:
    """Leave out records with errors, then tiles that link to what is no longer there."""
    for table in loaded.records.values():
        for ident in [ident for ident, record in table.items() if record.file in files]:
            del table[ident]
    tiles = loaded.records["tile"]
    for ident, tile in list(tiles.items()):
        own = {*cast(Tile, tile).stacks, *cast(Tile, tile).mixes, "none"}
        if any(
            name not in own and name not in loaded.records[kind]
            for _, kind, name in references(tile)
        ):
            del tiles[ident]
    colours = loaded.records["underglaze"]
    for ident, colour in colours.items():
        colours[ident] = _without_dead_links(cast(Underglaze, colour), set(tiles), set(colours))


def _without_dead_links(colour: Underglaze, tiles: set[str], colours: set[str]) -> Underglaze:
    """A colour without links to records that were left out; it is sound by itself."""
    stands = [ident for ident in colour.stands_in_for if ident in colours]
    true = colour.true_colour if colour.true_colour in tiles else None
    if stands == colour.stands_in_for and true == colour.true_colour:
        return colour
    return colour.model_copy(update={"stands_in_for": stands, "true_colour": true})


def _follow_moves(context: Context) -> None:
    """Put the present id wherever a record names one that has moved."""
    moves = _moves(context)
    if not moves:
        return
    for table in context.loaded.records.values():
        for ident, record in table.items():
            if any(name in moves.get(kind, {}) for _, kind, name in references(record)):
                table[ident] = _renamed(record, moves)


def _renamed(record: Record, moves: dict[str, dict[str, str]]) -> Record:
    def now(kind: str, ident: str) -> str:
        return moves.get(kind, {}).get(ident, ident)

    if isinstance(record, Underglaze):
        stands = [now("underglaze", ident) for ident in record.stands_in_for]
        true = record.true_colour and now("tile", record.true_colour)
        return record.model_copy(update={"stands_in_for": stands, "true_colour": true})
    if not isinstance(record, Tile):
        return record

    def value(name: str, found: Value) -> Value:
        return now(name, str(found)) if name in ("underglaze", "clear", "body") else found

    cells = tuple(
        Cell(cell.row, cell.column, {n: value(n, v) for n, v in cell.where.items()})
        for cell in record.cells
    )
    return record.model_copy(
        update={
            "cells": cells,
            "firings": [now("firing", ident) for ident in record.firings],
            "across": {n: tuple(value(n, v) for v in vs) for n, vs in record.across.items()},
            "down": {n: tuple(value(n, v) for v in vs) for n, vs in record.down.items()},
            "all_": {n: value(n, v) for n, v in record.all_.items()},
            "stacks": {
                name: tuple(
                    replace(each, underglaze=now("underglaze", each.underglaze)) for each in layers
                )
                for name, layers in record.stacks.items()
            },
            "mixes": {
                name: {now("underglaze", ident): amount for ident, amount in parts.items()}
                for name, parts in record.mixes.items()
            },
        }
    )
