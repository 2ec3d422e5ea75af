"""How well corners are found in drawn photos: `python tests/bench/find_corners.py FOLDER [SEED]`.

In: a folder for the photos (drawn there once, at the full difficulty). Out: printed lines: each
photo's largest corner error, of the grid's width; then the shares and the times.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

import numpy as np
from clearover.catalogue import read
from clearover.measuring.find_corners import find_corners
from clearover.measuring.suggesting import mostly_lines
from clearover.photos.opening import open_photo

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "drawn"))


def main(folder: Path, seed: str) -> None:
    """Draw what is missing, find, print."""
    import drawing

    catalogue = read(ROOT / "combos")
    folder.mkdir(parents=True, exist_ok=True)
    rows = []
    for number, (name, tile) in enumerate(sorted(catalogue.tiles.items())):
        photo, kept = folder / f"{name}.jpg", folder / f"{name}.json"
        if not kept.exists():
            backdrop = "plain" if number % 3 else "wood"
            picture, truth = drawing.draw_tile(
                tile, catalogue, drawing.seed_of(seed, name), 1.0, backdrop=backdrop
            )
            picture.save(photo, quality=80)
            kept.write_text(json.dumps(truth))
        truth = json.loads(kept.read_text())
        opened = open_photo(photo)
        start = time.process_time()
        width, height = truth["grid_mm"]
        lines, curved = mostly_lines(tile), tile.shape == "curved"
        found = find_corners(
            opened, tile.rows, tile.columns, width / height, lines=lines, curved=curved
        )
        took = time.process_time() - start
        off = _off(found.corners, np.asarray(truth["corners"]))
        kind = "lines" if lines else tile.shape or "flat"
        rows.append((off, found.confidence, took, kind))
        print(f"{name:34s} {kind:7s} {100 * off:7.2f} % {found.confidence}", flush=True)
    _tell(rows)


def _off(corners: tuple[tuple[float, float], ...] | None, true: np.ndarray) -> float:
    if corners is None:
        return float("inf")
    wide = (np.hypot(*(true[1] - true[0])) + np.hypot(*(true[2] - true[3]))) / 2
    return float(np.hypot(*(np.asarray(corners) - true).T).max() / wide)


def _tell(rows: list[tuple[float, str, float, str]]) -> None:
    for kind in sorted({row[3] for row in rows}):
        part = np.array([row[0] for row in rows if row[3] == kind])
        print(f"{kind}: {len(part)}, {np.mean(part <= 0.005):.0%} within 0.5 %", end=", ")
        print(f"{np.mean(part <= 0.01):.0%} within 1 %")
    off = np.array([row[0] for row in rows])
    sure = np.array([row[1] == "sure" for row in rows])
    took = np.array([row[2] for row in rows])
    print(f"all: {len(off)}, {np.mean(off <= 0.005):.0%} within 0.5 %, median {np.median(off):.2%}")
    print(f"sure: {sure.sum()}, {np.mean(off[sure] <= 0.01):.0%} within 1 %")
    print(f"processor time: median {np.median(took):.2f} s, most {took.max():.2f} s")


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2] if len(sys.argv) > 2 else "corners")
