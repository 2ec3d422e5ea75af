"""`clearover export`: the catalogue as data for other programs.

In: the records. Out: `catalogue.json` and `cells.csv` in a folder. Each is written beside and put
in place in one step; other files of the folder are never touched.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ..pages.words import count
from .console import one_line, say, say_json, tell
from .group import Refused
from .opening import combos_option, json_option, open_catalogue

if TYPE_CHECKING:
    from ..records.catalogue import Catalogue


@click.command("export", epilog="Example: clearover export data")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option(
    "--cache",
    type=click.Path(path_type=Path),
    default=Path(".cache/clearover"),
    show_default=True,
    help="Where the build of the site keeps what it measured.",
)
@json_option
@combos_option
def command(folder: Path, cache: Path, as_json: bool, combos: Path) -> None:
    """Write everything into DIR: catalogue.json, and cells.csv for a spreadsheet.

    Only these two files of DIR are written; what else lies there stays as it is. Photos are not
    opened: they speak as far as the site's build has measured them.
    """
    catalogue = open_catalogue(combos)
    from ..catalogue import compute
    from ..export import files
    from ..photos.develop import kept_measurements

    measured = kept_measurements(catalogue, cache)
    _tell_unmeasured(catalogue, len(measured))
    contents = files(compute(catalogue, measured))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in contents.items():
            write_whole(folder / name, content)
    except OSError as error:
        raise Refused(f"cannot write into {one_line(str(folder))}: {error.strerror}") from error
    if as_json:
        say_json({"written": [(folder / name).as_posix() for name in contents]})
        return
    for name, content in contents.items():
        say(f"{one_line(str(folder / name))}: {len(content):,} bytes")


def _tell_unmeasured(catalogue: Catalogue, measured: int) -> None:
    photos = (tile.measured_photo for tile in catalogue.tiles.values())
    missing = sum(1 for photo in photos if photo and photo.corners) - measured
    if missing > 0:
        told = count(missing, "photo")
        tell(f"{told} not measured yet: build the site, and export again")


def write_whole(target: Path, content: bytes) -> None:
    """Write a file so that a reader sees the old one or the new one, never half of it."""
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        # The temporary file is for its owner only; give it what a new file would have.
        umask = os.umask(0)
        os.umask(umask)
        Path(name).chmod(0o666 & ~umask)
        Path(name).replace(target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
