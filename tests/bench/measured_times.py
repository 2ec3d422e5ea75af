"""What photos add to a build once they are measured: `python tests/bench/measured_times.py [N]`.

In: a number of tiles. Out: a table: wall clock, processor time and peak memory of a build without
photos and of one in which every tile has a photo that an earlier build developed and measured.
The photos' cache is filled with made-up measurements by the cache's own code, so that nothing is
drawn; all that a build does with what it finds there is the real thing.
"""

from __future__ import annotations

import io
import os
import random
import sys
import tempfile
from functools import cache
from pathlib import Path

from build_times import Run, build, middle, project
from clearover.catalogue import read
from clearover.measuring.asking import request_for
from clearover.measuring.results import MEASURED, Balance, CellColour, Cover, Surface
from clearover.measuring.results import TileMeasurement as Measured
from clearover.measuring.stored import as_kept
from clearover.photos.cache import Cache, Made, Stamps, file_sha256
from clearover.photos.develop import job_of
from clearover.records.tile import Tile
from PIL import Image

TIMES = 3
CELL = (200, 150)
SIZES = ((400, 300), (800, 600), (1200, 900))
PHOTO = """photos:
  - file: front.jpg
    corners: [[200, 150], [1000, 150], [1000, 750], [200, 750]]
    grey card: [[20, 20], [120, 20], [120, 120], [20, 120]]
    width mm: 120
    height mm: 90
    drawn: yes
"""


def main() -> None:
    """Make two catalogues, build each by turns, print."""
    tiles = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    with tempfile.TemporaryDirectory(prefix="measured-times-") as folder:
        plain = project(Path(folder) / "plain", tiles)
        seen = project(Path(folder) / "seen", tiles)
        for each in (plain, seen):
            _agree(each / "combos")
        _photograph(seen)
        build(seen, keep=(".cache",))  # makes the strips of the lists
        runs: dict[Path, list[Run]] = {plain: [], seen: []}
        for _ in range(TIMES):
            runs[plain].append(build(plain))
            runs[seen].append(build(seen, keep=(".cache",)))
    print(f"{tiles} tiles | wall clock, s | processor, s | peak, MiB\n---|---|---|---")
    for name, path in (("no photos", plain), ("all measured", seen)):
        each = runs[path]
        peak = max(run.peak for run in each)
        print(f"{name} | {middle(each, 'wall'):.1f} | {middle(each, 'processor'):.1f} | {peak:.0f}")


def _agree(combos: Path) -> None:
    """A tile without clear for every underglaze, which agrees on its true colour."""
    for record in sorted((combos / "underglazes").glob("*.yml")):
        name = f"bare-{record.stem}"
        with record.open("a", encoding="utf-8") as file:
            file.write(f"true colour: {name}\n")
        tile = combos / "tiles" / "bare" / name / "tile.yml"
        tile.parent.mkdir(parents=True)
        tile.write_text(
            f"mark: {name}\nfirings: [load-1]\nshelf: top\n"
            f"across: {{underglaze coats: [1, 2]}}\nall:\n  underglaze: {record.stem}\n"
            "  clear: none\n  body: white-stoneware\n",
            encoding="utf-8",
        )


def _photograph(folder: Path) -> None:
    """One photo for all tiles, and what a build would have kept of each."""
    combos = folder / "combos"
    one = folder / "one.jpg"
    Image.new("RGB", SIZES[-1], (150, 140, 130)).save(one, quality=80)
    for record in sorted(combos.rglob("tile.yml")):
        os.link(one, record.parent / "front.jpg")
        with record.open("a", encoding="utf-8") as file:
            file.write(PHOTO)
    catalogue = read(combos)
    store = Cache(folder / ".cache" / "clearover")
    stamps, sha = Stamps(store.folder), file_sha256(one)
    os.utime(one, (1_700_000_000, 1_700_000_000))
    rng = random.Random(1)
    for tile in catalogue.tiles.values():
        job = job_of(catalogue, tile, tile.photos[0])
        stamps.remember(job.path, sha, job.path.stat())
        web = [Made("web", tile.id, _picture(*size), *size) for size in SIZES]
        store.keep(job.web_key(sha), web, width=SIZES[-1][0], height=SIZES[-1][1], notes=[])
        sheet = (CELL[0] * tile.columns, CELL[1] * tile.rows)
        grid = [Made(role, tile.id, _picture(*sheet), *sheet) for role in ("straight", "sprite")]
        kept = store.keep(job.grid_key(sha), grid, cell_width=CELL[0], cell_height=CELL[1])
        view = [Made("balanced", tile.id, _picture(*sheet), *sheet)]
        beside = [picture.name for picture in kept.pictures]
        says = as_kept(_measured(tile, rng))
        store.keep(job.measured_key(sha), view, measured=says, beside=beside)
    for picture in store.pictures.iterdir():
        os.utime(picture, (1_700_000_000, 1_700_000_000))
    stamps.save()


@cache
def _picture(wide: int, tall: int) -> bytes:
    """One picture for all of a size."""
    data = io.BytesIO()
    Image.new("RGB", (wide, tall), (150, 140, 130)).save(data, "WEBP")
    return data.getvalue()


def _measured(tile: Tile, rng: random.Random) -> Measured:
    request = request_for(tile)
    assert request is not None
    spots = [(cell.row, cell.column) for cell in request.cells]
    colours = [(rng.uniform(20, 85), rng.uniform(-40, 50), rng.uniform(-40, 60)) for _ in spots]
    return Measured(
        tile.id,
        "front.jpg",
        6.7,
        Balance("grey card", 0.18, True, (1.1, 1.0, 1.2), ("the grey card",), 1.2),
        0.9,
        tuple(
            CellColour(*spot, lab, 0.8, 4000, 0.02, MEASURED)
            for spot, lab in zip(spots, colours, strict=True)
        ),
        (),
        tuple(Cover(*spot, 0.9, 0.03, MEASURED) for spot in spots),
        tuple(Surface(*spot, 0.02, 0.1, 0.0, 0.3, MEASURED) for spot in spots),
    )


if __name__ == "__main__":
    main()
