"""`clearover new`: a record to fill in.

In: a kind and an id; for a tile also what it holds, by options or by a few questions on a
terminal. Out: one new file. Nothing that exists is ever written over.
"""

from __future__ import annotations

import datetime as dt
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..day import today
from ..firing.cone import Cone
from ..records.fields import ID
from ..records.words import ATMOSPHERES, FOLDERS, NONE
from .blanks import Fired, Layout, blank, blank_tile
from .console import one_line, say, say_json
from .group import Refused
from .opening import ConeType, combos_option, find_id, json_option, read_catalogue
from .questions import ask_about_tile

if TYPE_CHECKING:
    from ..records.catalogue import Catalogue

_RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)")
"""Names that Windows keeps for devices: a file called so cannot be checked out there."""

_TILE_OPTIONS = (
    click.option("--mark", help="Tile: what is scratched into the clay."),
    click.option("--made", help="Tile: the day, like 2026-03-10; else today."),
    click.option("--underglaze", "underglazes", multiple=True, help="Tile: may be repeated."),
    click.option("--clear", "clears", multiple=True, help="Tile: may be repeated; or none."),
    click.option("--coats", help="Tile: coats of clear, like 1,2,3."),
    click.option("--body", help="Tile: the clay body."),
    click.option("--firing", "firings", multiple=True, help="Tile: in order, glaze firing last."),
    click.option("--cone", type=ConeType(), help="Tile: the cone, where no firing is recorded."),
    click.option("--atmosphere", type=click.Choice(ATMOSPHERES), help="Tile: goes with --cone."),
)


def _tile_options(function: Any) -> Any:
    for option in reversed(_TILE_OPTIONS):
        function = option(function)
    return function


@click.command(
    "new",
    epilog="Example: clearover new tile brick-dust-coats --underglaze brick-dust "
    "--clear ferry-glass --coats 1,2,3 --cone 6",
)
@click.argument("kind", type=click.Choice(list(FOLDERS)))
@click.argument("id")
@_tile_options
@json_option
@combos_option
def command(kind: str, id: str, as_json: bool, combos: Path, **given: Any) -> None:
    """Write a new record to fill in; KIND is tile, underglaze, clear and so on.

    ID is the file's name: lower case, digits, hyphens. For a tile, what is known already may be
    given; on a terminal a few questions are asked instead.
    """
    _check_id(id)
    if kind != "tile" and any(given.values()):
        raise Refused("--mark, --clear and the other options of that kind are for tiles")
    catalogue = read_catalogue(combos)
    target = combos / FOLDERS[kind] / (f"{id}/tile.yml" if kind == "tile" else f"{id}.yml")
    _refuse_known(catalogue, kind, id, target)
    text = _tile_text(catalogue, given) if kind == "tile" else blank(kind, id)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with target.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except OSError as error:
        raise Refused(f"cannot write {one_line(str(target))}: {error.strerror}") from error
    if as_json:
        say_json({"written": target.as_posix()})
        return
    say(f"{one_line(str(target))}: fill it in, then run: clearover check")


def _check_id(id: str) -> None:
    if not ID.fullmatch(id) or len(id) > 80:
        spelled = re.sub(r"[^a-z0-9]+", "-", id.lower()).strip("-")[:80]
        near = f"; did you mean `{spelled}`?" if spelled else ""
        raise Refused(f"{one_line(id)} is no id: lower case, digits and hyphens{near}")
    if _RESERVED.fullmatch(id):
        raise Refused(f"{id} cannot be a file's name on every computer; choose another")


def _refuse_known(catalogue: Catalogue, kind: str, id: str, target: Path) -> None:
    """End with 2 where such a record is there already, sound or not, or was once."""
    there = target if target.exists() else None
    if there is None and kind == "tile":
        # Tiles may lie deeper, grouped by year or course.
        there = next((catalogue.root / "tiles").glob(f"**/{id}/tile.yml"), None)
    if there is not None:
        raise Refused(f"{one_line(str(there))} exists already; nothing was written")
    if id in catalogue.moved.get(kind, {}):
        raise Refused(f"{id} is the old name of {catalogue.moved[kind][id]}; choose another")


def _tile_text(catalogue: Catalogue, given: dict[str, Any]) -> str:
    now = today()
    if not any(given.values()) and sys.stdin.isatty():
        given = ask_about_tile(now)
    if given["firings"] and given["cone"]:
        raise Refused("a tile has firings or a cone, not both: the last firing tells its cone")
    layout = Layout(
        underglazes=_ids(catalogue, "underglaze", given["underglazes"]),
        clears=_ids(catalogue, "clear", given["clears"]),
        coats=_coats(given["coats"]),
        body=find_id(catalogue, "body", given["body"]) if given["body"] else None,
    )
    if layout.too_many:
        raise Refused(
            "underglazes, clears and coats cannot all change on one tile: it has two directions"
        )
    cone: Cone | None = given["cone"]
    fired = Fired(
        made=_day(given["made"]),
        mark=given["mark"],
        firings=tuple(find_id(catalogue, "firing", each) for each in given["firings"]),
        cone=cone.label if cone else None,
        atmosphere=given["atmosphere"] or (catalogue.studio.atmosphere if cone else None),
    )
    return blank_tile(layout, fired, now)


def _ids(catalogue: Catalogue, kind: str, words: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(
        word if word == NONE else find_id(catalogue, kind, word)
        for each in words
        for word in (part.strip() for part in each.split(","))
        if word
    )


def _coats(text: str | None) -> tuple[str, ...]:
    counts = tuple(part.strip() for part in (text or "").split(",") if part.strip())
    for count in counts:
        if not re.fullmatch(r"\d|1[0-2]", count):
            raise Refused(f"{one_line(count)} is no number of coats; write them like 1,2,3")
    return counts


def _day(text: str | None) -> str | None:
    if not text:
        return None
    try:
        return dt.date.fromisoformat(text).isoformat()
    except ValueError:
        raise Refused(f"{one_line(text)} is no day; write it like 2026-03-10") from None
