"""`clearover clean-photo`: take place, names and serial numbers out of photos.

In: photo files. Out: the same pictures without private metadata, in place or in another folder,
and a line each that says what was taken out.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from ..pages.words import joined
from .console import one_line, say, say_json, tell
from .group import DONE, RECORDS_AT_FAULT, Refused
from .opening import json_option


@click.command(
    "clean-photo",
    epilog="Example: clearover clean-photo combos/tiles/hedge-bottom-four-clears/front.jpg",
)
@click.argument(
    "files",
    metavar="FILE...",
    nargs=-1,
    required=True,
    type=click.Path(path_type=Path),
)
@click.option(
    "--into",
    "folder",
    metavar="DIR",
    type=click.Path(path_type=Path, file_okay=False),
    help="Write the cleaned photos there and leave the originals as they are.",
)
@json_option
@click.pass_context
def command(
    ctx: click.Context, files: tuple[Path, ...], folder: Path | None, as_json: bool
) -> None:
    """Remove private data (place, owner, serial numbers) from photos before they are shared.

    The photo itself, its colours and which way is up stay as they are. Without --into the file
    is replaced, so keep your original elsewhere. A HEIC or AVIF photo is made anew as JPEG beside
    it: then name the JPEG in the record and delete the other.
    """
    _refuse(files, folder)
    made: set[Path] = set()
    told = [_clean(file, folder, made) for file in files]
    cleaned = [each for each in told if each is not None]
    if as_json:
        say_json({"cleaned": cleaned})
    else:
        for each in cleaned:
            removed = joined(each["removed"]) or "nothing private was in it"
            say(f"{one_line(each['file'])}: cleaned; taken out: {one_line(removed)}")
            if each["from"]:
                old, new = one_line(each["from"]), one_line(Path(each["file"]).name)
                say(f"    made anew as JPEG: name {new} in the record, and delete {old}")
    ctx.exit(DONE if len(cleaned) == len(files) else RECORDS_AT_FAULT)


def _refuse(files: tuple[Path, ...], folder: Path | None) -> None:
    for file in files:
        if not file.is_file():
            raise Refused(f"there is no file {one_line(str(file))}")
    if folder is None:
        return
    names = [file.name for file in files]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise Refused(f"two of the photos are called {one_line(twice[0])}; clean them one by one")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refused(f"cannot make {one_line(str(folder))}: {error.strerror}") from error


def _clean(source: Path, folder: Path | None, made: set[Path]) -> dict[str, Any] | None:
    """Clean one photo; what was taken out, or None with the reason on standard error.

    `made` are the files written before this one: none of them is written twice.
    """
    from ..photos.clean import clean_name, clean_photo
    from ..photos.results import PhotoRefused

    try:
        target = (folder or source.parent) / clean_name(source)
        remade = target.name != source.name
        if target in made or (remade and target.exists()):
            tell(f"{one_line(str(source))}: not cleaned: {one_line(str(target))} is there already")
            return None
        removed = clean_photo(source, target)
        made.add(target)
        old = source.as_posix() if remade else None
        return {"file": target.as_posix(), "removed": removed, "from": old}
    except PhotoRefused as refused:
        told = f"{refused.fault.found}\n    fix: {one_line(refused.fault.wanted)}"
    except OSError as error:
        told = error.strerror or "it cannot be read or written"
    tell(f"{one_line(str(source))}: not cleaned: {told}")
    return None
