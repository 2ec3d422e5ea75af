"""How every command opens a catalogue and finds a record in it.

In: a folder, and an id or a name as somebody typed it. Out: the records, and the id meant.
A folder or id that does not exist ends the command with 2, a record with errors with 1.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..firing.cone import Cone, parse_cone
from ..pages.words import count
from ..records.words import FOLDERS
from ..suggest import hint
from .console import one_line, tell
from .group import RecordsBroken, Refused

if TYPE_CHECKING:
    from ..records.catalogue import Catalogue

    _ConeParam = click.ParamType[Cone]
else:
    # Older releases of click cannot be subscripted.
    _ConeParam = click.ParamType

combos_option = click.option(
    "--combos",
    type=click.Path(path_type=Path),
    default=Path("combos"),
    show_default=True,
    help="The folder that holds the records.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="One JSON value for scripts.")


MOST_TOLD = 12
"""How many ids are listed where none is like the one asked for."""


class ConeType(_ConeParam):
    """A cone on the command line: 05, 5, 5.5."""

    name = "cone"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Cone:
        """Read it, or say what was wrong with it."""
        if isinstance(value, Cone):
            return value
        try:
            return parse_cone(str(value))
        except ValueError as error:
            self.fail(str(error), param, ctx)


def open_catalogue(combos: Path) -> Catalogue:
    """All sound records below a folder; broken ones are told of on standard error."""
    catalogue = read_catalogue(combos)
    broken = {problem.place.file for problem in catalogue.errors}
    if broken:
        tell(
            f"{count(len(broken), 'record')} with errors left out; "
            f"`clearover check` says what is wrong."
        )
    return catalogue


def read_catalogue(combos: Path) -> Catalogue:
    """As `open_catalogue`, without a word about broken records."""
    if not combos.is_dir():
        raise Refused(
            f"there is no folder {one_line(str(combos))}; name the one with the records: "
            "--combos FOLDER"
        )
    from ..catalogue import read

    return read(combos)


def find_id(catalogue: Catalogue, kind: str, asked: str) -> str:
    """The id of the record meant: by id, by an old id, or by its name in any case."""
    records = catalogue.of(kind)
    moved = catalogue.moved.get(kind, {})
    word = asked.strip()
    steps = 0
    while word not in records and word in moved and steps < 20:
        word, steps = moved[word], steps + 1
    if word in records:
        return word
    names = {str(getattr(record, "name", record.id)).lower(): id for id, record in records.items()}
    if word.lower() in names:
        return names[word.lower()]
    _refuse_broken(catalogue, kind, word)
    # A name typed with spaces is nearest to an id written with hyphens.
    spelled = re.sub(r"\s+", "-", word.lower())
    near = hint(spelled, records)
    raise Refused(f"there is no {kind} {one_line(asked)}{near or _where_to_look(records)}")


def _where_to_look(records: Mapping[str, object]) -> str:
    """What else to say where nothing is like the word: all of a few, or that there is none."""
    if not records:
        return "; none is written yet (clearover new writes one)"
    return f" (there are: {', '.join(records)})" if len(records) <= MOST_TOLD else ""


def _refuse_broken(catalogue: Catalogue, kind: str, id: str) -> None:
    """End with 1 where the record is there but has errors, and show them."""
    ends = (f"/{FOLDERS[kind]}/{id}.yml", f"/{id}/tile.yml" if kind == "tile" else "\0")
    faults = [fault for fault in catalogue.errors if fault.place.file.endswith(ends)]
    if faults:
        told = "\n".join(one_line(f"{fault.place}: {fault.message}") for fault in faults)
        raise RecordsBroken(f"the record {kind} {id} has errors\n{told}")


def usual_cone(catalogue: Catalogue, asked: Cone | None) -> Cone:
    """The cone asked for, else the studio's usual one; ends with 2 where there is neither."""
    cone = asked or catalogue.studio.usual_cone
    if cone is None:
        raise Refused("say which cone: --cone 6 (studio.yml states no `usual cone:`)")
    return cone
