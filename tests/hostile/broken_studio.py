"""A small sound studio, laid out on disk, with something broken laid over it."""

from __future__ import annotations

import shutil
from functools import cache
from io import BytesIO
from pathlib import Path

import yaml
from clearover.records.problem import Problem
from PIL import Image

HERE = Path(__file__).parent
PHOTO = "tiles/hedge-two-clears/front.jpg"


@cache
def photo() -> bytes:
    """A picture of six squares, 320 x 300 px, as small as JPEG gets it."""
    picture = Image.new("RGB", (320, 300), (200, 196, 188))
    for column, colour in enumerate(((110, 90, 50), (40, 120, 70), (45, 125, 75))):
        picture.paste(colour, (10 + 100 * column, 10, 110 + 100 * column, 210))
    buffer = BytesIO()
    picture.save(buffer, "JPEG", quality=20)
    return buffer.getvalue()


def lay_out(target: Path, case: Path | None = None) -> Path:
    """The sound base as `target/combos`, with the files of a case over it."""
    combos = target / "combos"
    shutil.copytree(HERE / "base", combos)
    (combos / PHOTO).write_bytes(photo())
    if case is not None:
        for name in expected(case).get("remove", []):
            (combos / name).unlink()
        if (case / "combos").is_dir():
            shutil.copytree(case / "combos", combos, dirs_exist_ok=True)
    return combos


def expected(case: Path) -> dict[str, object]:
    """What a case must lead to."""
    found: dict[str, object] = yaml.safe_load((case / "expected.yml").read_text("utf-8"))
    return found


def place_of(problem: Problem) -> str:
    """`file:line:column` below the catalogue's folder."""
    return str(problem.place).removeprefix("combos/")
