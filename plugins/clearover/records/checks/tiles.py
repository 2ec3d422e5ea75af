"""Checks on one tile against the other records: its firing, shelf, mark, dates and cones."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from ...firing.cone import Cone
from ...firing.witness import witness_cone
from ...suggest import hint
from .. import words
from ..models import Clear, Firing, Underglaze
from ..tile import Tile
from ..yaml_text import Path
from .context import Context
from .links import glaze_firing


def check_tiles(context: Context) -> None:
    """Note what is wrong with each tile beside the others."""
    marks: dict[str, str] = {}
    for tile in context.tiles.values():
        if tile.mark is not None:
            other = marks.setdefault(tile.mark, tile.file)
            if other != tile.file:
                context.note(tile, ("mark",), "mark-twice", found=tile.mark, other=other)
        _check_names(context, tile)
        _check_cone(context, tile)
        _check_dates(context, tile)
        _check_ranges(context, tile)
        _check_drag(context, tile)
    for colour in context.underglazes.values():
        _check_true_colour(context, colour)


def _check_names(context: Context, tile: Tile) -> None:
    for key, group in (("stacks", tile.stacks), ("mixes", tile.mixes)):
        for name in group:
            taken = name in context.underglazes or name == words.NONE
            twice = key == "mixes" and name in tile.stacks
            if taken or twice:
                other = "an underglaze" if taken else "a stack of this tile"
                other = "the word for nothing here" if name == words.NONE else other
                context.note(tile, (key, name), "name-taken", found=name, other=other)
    for stack, layers in tile.stacks.items():
        for index, layer in enumerate(layers):
            # A mixture may be a layer; a stack in a stack, or anything in itself, may not.
            if layer.underglaze in tile.stacks:
                path: Path = ("stacks", stack, index)
                context.note(tile, path, "made-of-itself", found=layer.underglaze, other="stack")
    for mix, parts in tile.mixes.items():
        for ident in parts:
            if ident in tile.mixes or ident in tile.stacks:
                path = ("mixes", mix, ident, "[key]")
                context.note(tile, path, "made-of-itself", found=ident, other="mixture")


def _check_cone(context: Context, tile: Tile) -> None:
    if tile.firings:
        for key, value in (("cone", tile.cone), ("atmosphere", tile.atmosphere)):
            if value is not None:
                context.note(tile, (key, "[key]"), "cone-and-firings", found=key)
        firing = glaze_firing(tile, context.firings)
        if firing is not None:
            _check_shelf(context, tile, firing)
    elif tile.cone is None:
        context.note(tile, (), "cone-unknown")


def _check_shelf(context: Context, tile: Tile, firing: Firing) -> None:
    shelves = firing.witness
    if tile.shelf is not None and shelves and tile.shelf not in shelves:
        context.note(
            tile,
            ("shelf",),
            "unknown-shelf",
            found=tile.shelf,
            firing=firing.id,
            suggestion=hint(tile.shelf, shelves),
            wanted=", ".join(shelves),
        )
    elif tile.shelf is None and len(shelves) > 1:
        reached = {shelf: witness_cone(cones) for shelf, cones in shelves.items()}
        if len(set(reached.values())) > 1:
            said = ", ".join(f"{s}: {c.shown if c else 'unknown'}" for s, c in reached.items())
            context.note(tile, (), "shelf-wanted", firing=firing.id, wanted=said)


def _check_dates(context: Context, tile: Tile) -> None:
    fired = [
        (index, ident, context.firings[ident].fired)
        for index, ident in enumerate(tile.firings)
        if ident in context.firings
    ]
    for (_, one, earlier), (index, other, later) in pairwise(fired):
        if later < earlier:
            context.note(
                tile,
                ("firings", index),
                "firings-out-of-order",
                found=other,
                date=later,
                other=one,
                other_date=earlier,
            )
    if not fired:
        return
    last = fired[-1][-1]
    if tile.made and tile.made > last:
        context.note(tile, ("made",), "made-after-fired", found=tile.made, wanted=last)
    for index, block in enumerate(tile.judged):
        if block.on and block.on < last:
            path: Path = ("judged", index, "on")
            context.note(tile, path, "judged-before-fired", found=block.on, wanted=last)


def _aimed(context: Context, tile: Tile) -> Cone | None:
    """The cone that was meant: that is where a slip of the pen shows."""
    firing = glaze_firing(tile, context.firings)
    return firing.aimed if firing else tile.cone


def _check_ranges(context: Context, tile: Tile) -> None:
    cone = _aimed(context, tile)
    if cone is None:
        return
    ranged: tuple[tuple[str, Mapping[str, Clear | Underglaze]], ...] = (
        ("clear", context.clears),
        ("underglaze", context.underglazes),
    )
    for kind, table in ranged:
        told: set[str] = set()
        for path, ident in _named(tile, kind):
            record = table.get(ident)
            if record is None or record.cones is None or ident in told or cone in record.cones:
                continue
            told.add(ident)
            other = twin(cone)
            slip = other is not None and other in record.cones
            meant = f"; was {other.shown} meant?" if other and slip else ""
            remedy = (
                f"if it was cone {other.shown}, correct the firing or the tile; if not, leave it"
                if other and slip
                else "leave it if the test was meant; else check the cone and the id"
            )
            context.note(
                tile,
                path,
                f"{kind}-outside-cones",
                **{kind: record.name},
                found=cone.shown,
                wanted=record.cones.shown,
                meant=meant,
                remedy=remedy,
            )


def twin(cone: Cone) -> Cone | None:
    """The cone that one lost or added zero makes of this one: 5 for 05, 05 for 5."""
    number = -cone.step if cone.cool else cone.step + 1
    return Cone(number - 1 if cone.cool else -number) if number <= 14 else None


def _named(tile: Tile, name: str) -> list[tuple[Path, str]]:
    found: list[tuple[Path, str]] = []
    if name in tile.all_:
        found.append((("all", name), str(tile.all_[name])))
    for key, group in (("across", tile.across), ("down", tile.down)):
        found += [
            ((key, name, i), str(value))
            for i, value in enumerate(group.get(name, ()))
            if value is not None
        ]
    return found


def _check_drag(context: Context, tile: Tile) -> None:
    if tile.stood != "flat":
        return
    for index, block in enumerate(tile.judged):
        if any("dragged" in verdict.words for verdict in block.line.values()):
            context.note(tile, ("judged", index, "line"), "dragged-when-flat")


def _check_true_colour(context: Context, colour: Underglaze) -> None:
    tile = context.tiles.get(colour.true_colour or "")
    if tile and (tile.id in context.loaded.broken["tile"] or context.noted(tile, "unknown-id")):
        return
    if tile and not any(cell.underglaze == colour.id for cell in tile.cells):
        context.note(
            colour,
            ("true colour",),
            "true-colour-elsewhere",
            found=tile.id,
            wanted=colour.name,
        )
