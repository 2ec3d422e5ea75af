"""Whether every id that a record names exists, and where it has moved to.

Links to a record that is there but cannot be read are not reported a second time.
"""

from __future__ import annotations

from collections.abc import Iterator

from ...suggest import hint
from .. import words
from ..faults import Faults, worded
from ..models import Firing, Record, Underglaze
from ..problem import Problem
from ..tile import Tile
from ..yaml_text import Path, decode
from .context import Context

Reference = tuple[Path, str, str]
"""Where in the record, which kind, which id."""


def references(record: Record) -> Iterator[Reference]:
    """Every id of another record that this one names."""
    if isinstance(record, Underglaze):
        for index, ident in enumerate(record.stands_in_for):
            yield ("stands in for", index), "underglaze", ident
        if record.true_colour:
            yield ("true colour",), "tile", record.true_colour
    elif isinstance(record, Tile):
        yield from _of_tile(record)


def _of_tile(tile: Tile) -> Iterator[Reference]:
    for index, ident in enumerate(tile.firings):
        yield ("firings", index), "firing", ident
    for name in ("underglaze", "clear", "body"):
        if name in tile.all_:
            yield ("all", name), name, str(tile.all_[name])
        for key, group in (("across", tile.across), ("down", tile.down)):
            for index, value in enumerate(group.get(name, ())):
                if value is not None:  # what could not be read has been told already
                    yield (key, name, index), name, str(value)
    for stack, layers in tile.stacks.items():
        for index, layer in enumerate(layers):
            yield ("stacks", stack, index), "underglaze", layer.underglaze
    for mix, parts in tile.mixes.items():
        for ident in parts:
            yield ("mixes", mix, ident, "[key]"), "underglaze", ident


def check_links(context: Context) -> None:
    """Note every id that leads nowhere, and every one that has moved."""
    for kind in context.loaded.records:
        for record in context.of(kind).values():
            own = _own_names(record)
            for path, wanted_kind, ident in references(record):
                if ident not in own or wanted_kind != "underglaze":
                    _check_one(context, record, path, wanted_kind, ident)


def _own_names(record: Record) -> set[str]:
    if isinstance(record, Tile):
        return {*record.stacks, *record.mixes}
    return set()


def _check_one(context: Context, record: Record, path: Path, kind: str, ident: str) -> None:
    if ident == words.NONE and kind in ("underglaze", "clear"):
        return
    if ident in context.of(kind) or ident in context.loaded.broken[kind]:
        return
    if ident in context.loaded.moved[kind]:
        target = resolve(context, kind, ident)
        if target:
            context.note(record, path, "moved-id", kind=kind, found=ident, wanted=target)
        return
    known = [*context.of(kind), *context.loaded.moved[kind]]
    ending = f"{ident}/tile.yml" if kind == "tile" else f"{ident}.yml"
    context.note(
        record,
        path,
        "unknown-id",
        kind=kind,
        found=ident,
        suggestion=hint(ident, known),
        wanted=f"{context.root.name}/{words.FOLDERS[kind]}/{ending}",
    )


def resolve(context: Context, kind: str, ident: str) -> str | None:
    """Where a moved id leads in the end, or None where it leads nowhere."""
    last, _ = _follow(context, kind, ident)
    return last if last in context.of(kind) else None


def _follow(context: Context, kind: str, ident: str) -> tuple[str, bool]:
    """The id at the end of a chain of stubs, and whether the chain is a circle."""
    seen: set[str] = set()
    while ident in context.loaded.moved[kind]:
        if ident in seen:
            return ident, True
        seen.add(ident)
        ident = context.loaded.moved[kind][ident][0]
    return ident, False


def check_moved(context: Context) -> list[Problem]:
    """Problems of the stubs themselves."""
    problems = []
    for kind, stubs in context.loaded.moved.items():
        for ident, (_, file) in stubs.items():
            if faults := _of_stub(context, kind, ident):
                text, _ = decode((context.root.parent / file).read_bytes(), file)
                problems += worded(faults, text or "", file)
    return problems


def _of_stub(context: Context, kind: str, ident: str) -> Faults | None:
    faults = Faults()
    target = context.loaded.moved[kind][ident][0]
    last, circle = _follow(context, kind, ident)
    if circle:
        faults.add(("moved to",), "moved-in-circle", found=ident)
    elif last == target and last not in {*context.of(kind), *context.loaded.broken[kind]}:
        near = hint(target, [*context.of(kind)])
        faults.add(("moved to",), "moved-nowhere", found=target, kind=kind, suggestion=near)
    return faults if faults.found else None


def glaze_firing(tile: Tile, firings: dict[str, Firing]) -> Firing | None:
    """The last firing of a tile, the one that counts."""
    return firings.get(tile.firings[-1]) if tile.firings else None
