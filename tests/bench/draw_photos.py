"""Draw a photo of every tile of a catalogue made to measure with.

In: the catalogue's folder. Out: a `front.jpg` beside each record and the lines that name it, with
corners and grey card as drawn. Same records and seed, same bytes. About a second a tile.
"""

from __future__ import annotations

import os
import sys
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from pathlib import Path

from clearover.catalogue import read
from clearover.records.catalogue import Catalogue

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "drawn"))

SIZE = (1200, 900)
FILE = "front.jpg"


def draw_all(folder: Path, seed: int) -> None:
    """Every tile, as many at once as there are processors."""
    root = folder.resolve()
    tiles = sorted(read(root).tiles)
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        for _ in pool.map(_draw, [(root, name, seed) for name in tiles], chunksize=8):
            pass


@cache
def _catalogue(root: Path) -> Catalogue:
    return read(root)


def _draw(job: tuple[Path, str, int]) -> None:
    from drawing import draw_tile, seed_of

    root, name, seed = job
    catalogue = _catalogue(root)
    tile = catalogue.tiles[name]
    number = seed_of("bench", name, seed)
    image, truth = draw_tile(tile, catalogue, number, 0.2 + 0.5 * (number % 100) / 100, size=SIZE)
    image.save(catalogue.photo_path(tile, FILE), "JPEG", quality=80, optimize=True)
    wide, high = truth["grid_mm"]
    record = root.parent / tile.file
    with record.open("a", encoding="utf-8", newline="\n") as file:
        file.write(
            f"photos:\n  - file: {FILE}\n    corners: {_points(truth['corners'])}\n"
            f"    grey card: {_points(truth['grey_card'])}\n"
            f"    width mm: {wide:g}\n    height mm: {high:g}\n    drawn: yes\n"
        )


def _points(points: list[list[float]]) -> str:
    return "[" + ", ".join(f"[{x:.0f}, {y:.0f}]" for x, y in points) + "]"
