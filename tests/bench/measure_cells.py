"""How far measured colours lie from the drawn: `python tests/bench/measure_cells.py SEED [WIDTH]`.

In: a seed nothing was tried on, and how wide the photos are, px. Out: printed lines: the worst
cells, then ΔE00 of cells and of differences between two cells of one photo. Every tile of the demo
that has painted cells is drawn at full difficulty (tilt to 25°, light 2 : 1, 5 % glare, noise, JPEG
80); lines are left out. The corners and the card are where they were drawn.
"""

from __future__ import annotations

import os
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
from clearover.catalogue import read
from clearover.colour import ciede2000
from clearover.measuring.measure import measure

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "drawn"))
WORST = 15
APART = (0, 5, 10, 20)
"""Pairs of cells are told by how far they truly differ, ΔE00."""
Row = tuple[str, tuple[int, int], float, float]
"""Tile, cell, ΔE00, share left out."""


def main(seed: str, wide: int) -> None:
    """Draw, measure, print."""
    catalogue = read(ROOT / "combos")
    names = sorted(
        name
        for name, tile in catalogue.tiles.items()
        if not any("line" in cell.where for cell in tile.cells)
    )
    rows: list[Row] = []
    between: list[np.ndarray] = []
    missing = 0
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        jobs = [
            (name, seed, wide, "wood" if k % 3 == 2 else "plain") for k, name in enumerate(names)
        ]
        for found, off, unmeasured in pool.map(_one, jobs):
            rows += found
            between.append(off)
            missing += unmeasured
    rows.sort(key=lambda row: -row[2])
    for name, spot, delta, left_out in rows[:WORST]:
        print(f"{name} {spot}: ΔE00 {delta:.1f}, {left_out:.0%} left out")
    cells, pairs = np.array([row[2] for row in rows]), np.concatenate(between)
    print(f"{len(names)} photos, {len(cells)} cells, {missing} not measured")
    print(f"cells: median {np.median(cells):.2f}, 95th percentile {np.quantile(cells, 0.95):.2f}")
    true, off = pairs.T
    print(f"two cells: median {np.median(off):.2f}, {np.mean(off <= 0.8):.0%} within 0.8")
    for low, high in zip(APART, (*APART[1:], np.inf), strict=True):
        part = off[(true >= low) & (true < high)]
        print(f"  {low} to {high} apart: {len(part)}, {np.mean(part <= 0.8):.0%} within 0.8")


def _one(job: tuple[str, str, int, str]) -> tuple[list[Row], np.ndarray, int]:
    from drawing import seed_of
    from taking import take

    name, seed, wide, backdrop = job
    catalogue = read(ROOT / "combos")
    tile = catalogue.tiles[name]
    size = (wide, wide * 3 // 4)
    with tempfile.TemporaryDirectory() as folder:
        one = take(tile, catalogue, seed_of(seed, name), Path(folder), size=size, backdrop=backdrop)
        measured = measure(one.opened, one.request)
    true = {tuple(cell["at"]): cell["lab"] for cell in one.truth["cells"]}
    seen = [cell for cell in measured.cells if cell.lab and (cell.row, cell.column) in true]
    if not seen:
        return [], np.empty((0, 2)), len(measured.cells)
    labs = np.array([cell.lab for cell in seen])
    wanted = np.array([true[cell.row, cell.column] for cell in seen])
    deltas = ciede2000(labs, wanted)
    i, j = np.triu_indices(len(seen), 1)
    apart = ciede2000(wanted[i], wanted[j])
    off = np.column_stack([apart, np.abs(ciede2000(labs[i], labs[j]) - apart)])
    rows = [
        (name, (cell.row, cell.column), float(delta), cell.left_out)
        for cell, delta in zip(seen, deltas, strict=True)
    ]
    return rows, off, len(measured.cells) - len(seen)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 1600)
