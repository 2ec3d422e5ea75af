"""One 12-megapixel photo: its web sizes against libvips, then straightening, crops, measurement.

    python tests/bench/photo_speed.py [--times 7] [--keep FOLDER]

The photo is a drawn tile at 4000 x 3000 px with fresh grain, JPEG quality 90. Both make WebP at
quality 80, 400, 800 and 1600 px on the longer side, each in a process of its own with one thread,
by turns; medians of processor time, start of the process included. libvips is asked in its
quickest way that we know: the largest size from the JPEG, decoded smaller, the others from it; at
its own effort and at ours. Needs `vips` (Debian: libvips-tools); without it only ours is measured.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from PIL import Image

ROOT = Path(__file__).parents[2]
SIDES = (400, 800, 1600)
QUALITY = 80
SIZE = (4000, 3000)

OURS = """
import sys
from pathlib import Path
from clearover.photos.opening import open_photo
from clearover.photos.web import encode, resized, web_sizes
photo, folder = Path(sys.argv[1]), Path(sys.argv[2])
opened = open_photo(photo, 2)
picture = opened.picture
for size in reversed(web_sizes(opened.width, opened.height, (400, 800, 1600))):
    picture = resized(picture, size)
    (folder / f"ours-{max(size)}.webp").write_bytes(encode(picture, 80))
"""
START = "import clearover.photos.opening, clearover.photos.web"
WHOLE = """
import json, sys, time
from pathlib import Path
from clearover.measuring.request import CellRequest, Request
from clearover.photos.work import Job, process, look
import clearover.measuring.measure
told = json.loads(Path(sys.argv[2]).read_text())
corners = tuple(map(tuple, told["corners"]))
cells = tuple(CellRequest(row, column) for row, column in told["cells"])
request = Request("tile", "photo.jpg", told["rows"], told["columns"], corners, cells,
    *told["size"], tuple(map(tuple, told["card"])), plain_backdrop=True, lower="bottom")
asked = {"web": (None, None), "grid": (corners, None), "all": (corners, request)}[sys.argv[4]]
job = Job("tile", Path(sys.argv[1]), asked[0], *told["size"], told["rows"], told["columns"], (),
    asked[1])
process(job, Path(sys.argv[3]) / "first")
start = time.process_time()
outcome = process(job, Path(sys.argv[3]) / "second")
spent = time.process_time() - start
assert outcome.kept.web and not outcome.faults
if asked[1]:
    assert outcome.kept.says.balance.by == "grey card", outcome.kept.says.balance
    assert any(cell.lab for cell in outcome.kept.says.cells)
peak = next(line for line in open("/proc/self/status") if line.startswith("VmHWM"))
print(json.dumps([spent, int(peak.split()[1]) / 1024]))
"""


def draw(folder: Path) -> tuple[Path, Path]:
    """The photo, and where its grid and card lie."""
    sys.path.insert(0, str(ROOT / "tests/drawn"))
    import drawing  # type: ignore[import-not-found]
    from clearover.catalogue import read

    catalogue = read(ROOT / "combos")
    tile = catalogue.tiles["hedge-bottom-four-clears"]
    picture, truth = drawing.draw_tile(tile, catalogue, 7, 0.6, backdrop="plain")
    factor = SIZE[0] / picture.width
    large = np.asarray(picture.resize(SIZE, Image.Resampling.BICUBIC), dtype=np.float32)
    grain = np.random.default_rng(7).normal(0, 2.5, large.shape).astype(np.float32)
    photo = folder / "photo.jpg"
    Image.fromarray(np.clip(large + grain, 0, 255).astype(np.uint8)).save(photo, quality=90)
    told = {
        "corners": [[x * factor, y * factor] for x, y in truth["corners"]],
        "card": [[x * factor, y * factor] for x, y in truth["grey_card"]],
        "cells": [cell["at"] for cell in truth["cells"]],
        "rows": tile.rows,
        "columns": tile.columns,
        "size": truth["grid_mm"],
    }
    (folder / "told.json").write_text(json.dumps(told))
    return photo, folder / "told.json"


def spent(*commands: list[str]) -> float:
    """Processor time of commands one after the other, seconds, their children included."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    quiet = {**os.environ, "VIPS_CONCURRENCY": "1", "OMP_NUM_THREADS": "1"}
    for command in commands:
        subprocess.run(command, check=True, env=quiet, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def vips(photo: Path, folder: Path, effort: int) -> list[list[str]]:
    """The largest from the JPEG, kept also without loss; the smaller ones from that."""
    kept = str(folder / "large.v")
    save = f"[Q={QUALITY},effort={effort},strip]"
    rows = [["vips", "thumbnail", str(photo), kept, str(SIDES[-1])]]
    rows.append(["vips", "copy", kept, f"{folder}/vips-{SIDES[-1]}.webp{save}"])
    for side in SIDES[:-1]:
        rows.append(["vips", "thumbnail", kept, f"{folder}/vips-{side}.webp{save}", str(side)])
    return rows


def thumbnails(photo: Path, folder: Path, effort: int) -> list[list[str]]:
    """As one would type it: a run of vipsthumbnail for each size."""
    save = f"[Q={QUALITY},effort={effort},strip]"
    return [
        ["vipsthumbnail", str(photo), "-s", str(side), "-o", f"{folder}/thumb-{side}.webp{save}"]
        for side in SIDES
    ]


def whole(photo: Path, told: Path, folder: Path, what: str) -> tuple[float, float]:
    """Processor time of a worker's second photo and its peak memory (MB), on an empty cache.

    The second: a worker goes on from photo to photo, its tables read.
    """
    cache = Path(tempfile.mkdtemp(dir=folder))
    command = [sys.executable, "-c", WHOLE, str(photo), str(told), str(cache), what]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    shutil.rmtree(cache)
    seconds, peak = json.loads(done.stdout)
    return seconds, peak


def main() -> None:
    """Draw, measure by turns, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=7)
    parser.add_argument("--keep", type=Path)
    given = parser.parse_args()
    folder = given.keep or Path(tempfile.mkdtemp())
    folder.mkdir(parents=True, exist_ok=True)
    photo, told = draw(folder)
    python = sys.executable
    runs: dict[str, list[list[str]]] = {
        "ours": [[python, "-c", OURS, str(photo), str(folder)]],
        "start of Python and imports alone": [[python, "-c", START]],
    }
    if shutil.which("vips") and shutil.which("vipsthumbnail"):
        runs["libvips, its own effort (4)"] = vips(photo, folder, 4)
        runs["libvips, our effort (2)"] = vips(photo, folder, 2)
        runs["vipsthumbnail three times, effort 4"] = thumbnails(photo, folder, 4)
        runs["vipsthumbnail three times, effort 2"] = thumbnails(photo, folder, 2)
    times: dict[str, list[float]] = {name: [] for name in runs}
    parts: dict[str, list[tuple[float, float]]] = {"web": [], "grid": [], "all": []}
    for _ in range(given.times):
        for name, commands in runs.items():
            times[name].append(spent(*commands))
        for name, found in parts.items():
            found.append(whole(photo, told, folder, name))
    print(f"{photo.stat().st_size / 1e6:.1f} MB JPEG, medians of {given.times}, processor seconds")
    for name, seconds in times.items():
        print(f"  {name:40} {statistics.median(seconds):.2f}")
    web, grid, all_ = (statistics.median(one for one, _ in parts[name]) for name in parts)
    print(f"  in a worker: web sizes                   {web:.2f}")
    print(f"  and straight view and crops, more        {grid - web:.2f}")
    print(f"  and measurement and balanced view, more  {all_ - grid:.2f}")
    print(f"  peak memory of that worker, MB           {max(peak for _, peak in parts['all']):.0f}")
    for name in sorted(folder.glob("*.webp")):
        print(f"  {name.name:24} {name.stat().st_size / 1e3:.0f} kB")


if __name__ == "__main__":
    main()
