"""How often a card in a shadow is doubted, and a good photo not: draws, shades, prints a table.

`python tests/bench/card_shadows.py [TILES] [--seed WORD]`: tiles drawn by chance at difficulty 0.2
to 1, every third in light of 2 : 1, each on a plain sheet and on wood, then shaded in each way of
`drawing.shadows`. The limits were tried on `--seed tune` with 12 tiles. Nothing here runs with the
tests.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from pathlib import Path
from typing import Any

import numpy as np
from clearover.catalogue import read
from clearover.colour import ciede2000
from clearover.measuring.asking import request_for
from clearover.measuring.measure import measure
from clearover.photos.opening import open_photo

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "drawn"))

import drawing  # noqa: E402
from drawing.shadows import KINDS  # noqa: E402
from photo_rules import Way, _measured  # noqa: E402


def main() -> None:
    """Draw, shade, measure, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("tiles", nargs="?", type=int, default=14)
    parser.add_argument("--seed", default="report")
    asked = parser.parse_args()
    catalogue = read(ROOT / "combos")
    _demo(catalogue)
    names = sorted(t.id for t in catalogue.tiles.values() if t.measured_photo and t.shape is None)
    rng = np.random.default_rng(drawing.seed_of(asked.seed) % 2**32)
    total: Counter[str] = Counter()
    told: Counter[str] = Counter()
    off: dict[str, list[float]] = {}
    for number, name in enumerate(rng.choice(names, asked.tiles, replace=False)):
        settings = {"light_ratio": 2.0} if number % 3 == 0 else None
        for backdrop in ("plain", "wood"):
            seed = drawing.seed_of(asked.seed, str(name), backdrop)
            difficulty = float(rng.uniform(0.2, 1))
            tile = catalogue.tiles[str(name)]
            picture, truth = drawing.draw_tile(
                tile, catalogue, seed, difficulty, backdrop=backdrop, settings=settings
            )
            for kind, how in {"good": None, **KINDS}.items():
                found = _measured(tile, picture, truth, Way(kind, spoil=how, backdrop=backdrop))
                total[kind] += 1
                told[kind] += bool(found.balance.doubt)
                off.setdefault(kind, []).extend(_errors(found, truth))
    print("| shadow | photos | doubted | median ΔE00 of their cells |\n|---|---|---|---|")
    for kind, count in total.items():
        print(f"| {kind} | {count} | {told[kind]} | {np.median(off[kind]):.1f} |")


def _errors(found: Any, truth: dict[str, Any]) -> list[float]:
    true = {tuple(cell["at"]): cell.get("lab") for cell in truth["cells"]}
    return [
        float(ciede2000(cell.lab, true[cell.row, cell.column]))
        for cell in found.cells
        if cell.lab is not None and true.get((cell.row, cell.column))
    ]


def _demo(catalogue: Any) -> None:
    """No photo of the demo may be doubted."""
    doubted = {}
    asked = [(tile, request_for(tile)) for tile in catalogue.tiles.values()]
    carded = [(tile, request) for tile, request in asked if request and request.grey_card]
    for tile, request in carded:
        photo = catalogue.photo_path(tile, request.photo)
        doubt = measure(open_photo(photo), request).balance.doubt
        if doubt:
            doubted[tile.id] = doubt
    print(f"{len(carded)} photos of the demo, doubted: {doubted or 'none'}")


if __name__ == "__main__":
    main()
