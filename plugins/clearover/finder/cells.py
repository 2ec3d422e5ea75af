"""Every fired cell as columns of whole numbers, with the tiles and pictures they belong to.

In: findings, names and photos. Out: a `Columns`: what is sent, and where each cell lies in it.
Numbers are places in the lists sent along; -1 says nobody knows or there is none. It judges
nothing: it repeats what was seen.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..evidence.findings import Findings
from ..evidence.results import Seen
from ..photos.results import TilePhotos
from ..records.words import NONE
from . import wording
from .names import Names
from .pool import Pool

Picture = tuple[str, int, int, int, int]
"""Name, width and height of a sprite, width and height of one cell of it, px."""


@dataclass(frozen=True, slots=True)
class Columns:
    """`data` holds the keys to send; `at` finds a cell's place by tile, row and column."""

    data: dict[str, object]
    at: dict[tuple[str, int, int], int]
    pictures: Pool[Picture]
    cones: list[tuple[str, str]]


def columns_of(findings: Findings, names: Names, photos: Mapping[str, TilePhotos]) -> Columns:
    """Lay out all cells, sorted by tile, row and column; one that lies in two pairings, once."""
    cones = _cones(findings)
    cone_at = {label: at for at, (label, _) in enumerate(cones)}
    airs = _airs(findings)
    pictures: Pool[Picture] = Pool()
    layered = _layered(findings)
    extra: Pool[str] = Pool()
    said: Pool[tuple[str, ...]] = Pool()
    columns: dict[str, list[int]] = {
        name: []
        for name in ("tile", "row", "column", "underglaze", "clear", "coats", "body", "seen")
    }
    at: dict[tuple[str, int, int], int] = {}
    for seen in sorted(findings.seen, key=lambda one: (one.tile, one.row, one.column)):
        place = (seen.tile, seen.row, seen.column)
        if place in at:
            continue
        at[place] = len(at)
        under = names.underglaze_at.get(seen.underglaze, -1) if seen.alone else -1
        if under < 0:
            name = layered.get((seen.tile, seen.row, seen.column), _bare(seen.underglaze))
            under = len(names.underglazes) + extra(name)
        columns["tile"].append(names.tile_at[seen.tile])
        columns["row"].append(seen.row)
        columns["column"].append(seen.column)
        columns["underglaze"].append(under)
        columns["clear"].append(names.clear_at.get(seen.clear, -1))
        columns["coats"].append((seen.clear_coats or 0) if seen.clear != NONE else 0)
        columns["body"].append(names.body_at.get(seen.body or "", -1))
        columns["seen"].append(said(_said(seen)))
    tiles = _tiles(findings, names, photos, pictures, cone_at, airs)
    data: dict[str, object] = {
        "cones": cones,
        "atmospheres": airs,
        "cells": columns,
        "seen": said.values,
        "layered": extra.values,
        "tiles": tiles,
    }
    return Columns(data, at, pictures, cones)


def _cones(findings: Findings) -> list[tuple[str, str]]:
    studio = findings.catalogue.studio
    found = {*findings.cones, *studio.cones, *([studio.usual_cone] if studio.usual_cone else [])}
    found |= {one.cone for one in findings.reached.values() if one.cone is not None}
    return [(cone.label, cone.shown) for cone in sorted(found)]


def _airs(findings: Findings) -> list[str]:
    """The studio's own atmosphere first, then those that tiles were fired in."""
    own = findings.catalogue.studio.atmosphere
    return [own, *sorted({one.atmosphere for one in findings.reached.values()} - {own})]


def _said(seen: Seen) -> tuple[str, ...]:
    """Property and verdict in turn, each distinct verdict once, the newest first."""
    return tuple(
        word for prop, texts in seen.verdicts.items() for text in texts for word in (prop, text)
    )


def _bare(underglaze: str) -> str:
    return "no colour" if underglaze == NONE else underglaze.replace("-", " ")


def _layered(findings: Findings) -> dict[tuple[str, int, int], str]:
    """Tile, row and column -> the stack or mix that lies there, in words."""
    names = {one.id: one.name for one in findings.catalogue.underglazes.values()}
    found: dict[tuple[str, int, int], str] = {}
    for tile in findings.catalogue.tiles.values():
        if not (tile.stacks or tile.mixes):
            continue
        called = {
            name: wording.layered_name([one.underglaze for one in reversed(stack)], names, " over ")
            for name, stack in tile.stacks.items()
        }
        for name, parts in tile.mixes.items():
            called[name] = wording.layered_name(parts, names, " with ")
        for cell in tile.cells:
            if cell.underglaze in called:
                found[tile.id, cell.row, cell.column] = called[cell.underglaze]
    return found


def _tiles(
    findings: Findings,
    names: Names,
    photos: Mapping[str, TilePhotos],
    pictures: Pool[Picture],
    cone_at: Mapping[str, int],
    airs: list[str],
) -> dict[str, list[int]]:
    columns: dict[str, list[int]] = {
        name: [] for name in ("cone", "atmosphere", "picture", "drawn", "aside")
    }
    for id_, _ in names.tiles:
        reached = findings.reached.get(id_)
        cone = reached.cone if reached else None
        sprite = photos[id_].sprite if id_ in photos else None
        columns["cone"].append(cone_at[cone.label] if cone else -1)
        columns["atmosphere"].append(airs.index(reached.atmosphere) if reached else 0)
        drawn = id_ in photos and any(photo.drawn for photo in photos[id_].photos)
        columns["drawn"].append(int(drawn))
        columns["aside"].append(int(bool(findings.catalogue.tiles[id_].set_aside)))
        columns["picture"].append(
            pictures(
                (
                    sprite.image.name,
                    sprite.image.width,
                    sprite.image.height,
                    sprite.cell_width,
                    sprite.cell_height,
                )
            )
            if sprite
            else -1
        )
    return columns
