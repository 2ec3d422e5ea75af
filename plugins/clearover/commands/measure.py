"""`clearover measure`: what a tile's photo says, in numbers.

In: a tile's id, name or mark. Out: how the photo was balanced, each cell's colour and how far it
lies from true, each line's width and drag; and for each that could not be measured, why.
"""

from __future__ import annotations

import io
from pathlib import Path
from typing import TYPE_CHECKING

import click

from .console import one_line, say, say_json
from .export import write_whole
from .group import Refused
from .opening import combos_option, find_id, json_option, open_catalogue

if TYPE_CHECKING:
    from PIL.Image import Image

ASK = "from its upper left. Look at them, and turn the order if the tile lay on its side."


@click.command("measure", epilog="Example: clearover measure hedge-bottom-two-clears")
@click.argument("tile", metavar="TILE")
@click.option(
    "--find-corners", is_flag=True, help="Only suggest where the grid's corners lie in the photo."
)
@click.option(
    "--picture",
    metavar="FILE.png",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Also write a picture that shows which pixels were used and which were left out.",
)
@json_option
@combos_option
def command(
    tile: str, find_corners: bool, picture: Path | None, as_json: bool, combos: Path
) -> None:
    """Read colours and lines from a tile's photo.

    TILE is an id. The photo needs the corners of the grid, and a grey card or a colour chart.
    """
    if find_corners:
        _suggest(tile, as_json, combos)
        return
    from ..measuring.against import against
    from ..measuring.clays import Clays
    from ..measuring.reading import NotMeasurable, measured_and_asked, true_colours_of
    from ..measuring.remedies import help_for
    from ..measuring.report import measure_report
    from .measure_words import in_words

    catalogue = open_catalogue(combos)
    record = catalogue.tiles[find_id(catalogue, "tile", tile)]
    try:
        measured, view, asked = measured_and_asked(catalogue, record)
    except NotMeasurable as reason:
        raise Refused(f"{reason}. {help_for(str(reason))}".strip()) from None
    if picture is not None:
        from ..measuring.shown import shown

        _write(shown(view, asked, measured), picture, combos)
    others = true_colours_of(catalogue, record)
    differences = against(catalogue, record, measured, others)
    doubt = Clays(catalogue, others).doubt(record, measured)
    report = measure_report(record, measured, differences, doubt)
    if as_json:
        say_json(report)
    else:
        for sentence in in_words(report):
            say(one_line(sentence))


def _write(shown: Image, target: Path, combos: Path) -> None:
    """Write a PNG. Never among the records: a photo of the same name would be lost."""
    if target.suffix.lower() != ".png":
        raise Refused(f"{one_line(str(target))}: the picture is a PNG; let its name end in .png")
    if target.resolve().is_relative_to(combos.resolve()):
        raise Refused(f"{one_line(str(target))} lies among the records; write it elsewhere")
    memory = io.BytesIO()
    shown.save(memory, "PNG")
    try:
        write_whole(target, memory.getvalue())
    except OSError as error:
        raise Refused(f"cannot write {one_line(str(target))}: {error.strerror}") from error


def _suggest(name: str, as_json: bool, combos: Path) -> None:
    """Print corners as the record wants them. Nothing is written, nothing is measured."""
    from ..measuring.reading import NotMeasurable
    from ..measuring.suggesting import suggest_corners

    catalogue = open_catalogue(combos)
    tile = catalogue.tiles[find_id(catalogue, "tile", name)]
    try:
        photo, found = suggest_corners(catalogue, tile)
    except NotMeasurable as reason:
        raise Refused(str(reason)) from None
    corners = None if found.corners is None else [[round(v) for v in at] for at in found.corners]
    if as_json:
        told = {"corners": corners, "confidence": found.confidence, "reason": found.reason}
        say_json({"tile": tile.id, "photo": photo, "corners_found": told})
        return
    say(f"{found.confidence.capitalize()}: {found.reason}.")
    if corners is not None:
        say()
        say(f"  - file: {one_line(photo)}")
        say(f"    corners: {corners}")
        say()
        say(f"Clockwise as the photo lies, {ASK}")
