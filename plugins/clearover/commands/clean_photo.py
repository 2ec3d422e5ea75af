"""`clearover clean-photo`: take place, names and serial numbers out of photos.

In: photo files. Out: the same pictures without private metadata, in place or in another folder.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

import click

from .console import one_line, say, tell
from .group import DONE, RECORDS_AT_FAULT, Refused


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
    type=click.Path(path_type=Path, file_okay=False),
    help="Write the cleaned photos there and leave the originals as they are.",
)
@click.pass_context
def command(ctx: click.Context, files: tuple[Path, ...], folder: Path | None) -> None:
    """Remove private data (place, owner, serial numbers) from photos before they are shared.

    The photo itself, its colours and which way is up stay as they are. Without --into the file
    is replaced, so keep your original elsewhere.
    """
    for file in files:
        if not file.is_file():
            raise Refused(f"there is no file {one_line(str(file))}")
    if folder is not None:
        folder.mkdir(parents=True, exist_ok=True)
    failed = 0
    for file in files:
        target = folder / file.name if folder else file
        failed += not _clean(file, target)
    ctx.exit(RECORDS_AT_FAULT if failed else DONE)


def _clean(source: Path, target: Path) -> bool:
    """Clean one photo; say what became of it."""
    from ..photos.clean import clean_photo

    try:
        with tempfile.TemporaryDirectory(dir=target.parent, prefix=".clean-") as beside:
            fresh = Path(beside) / target.name
            clean_photo(source, fresh)
            fresh.replace(target)
    except (OSError, ValueError) as error:
        tell(f"{one_line(str(source))}: not cleaned: {one_line(str(error))}")
        return False
    say(f"{one_line(str(target))}: cleaned")
    return True
