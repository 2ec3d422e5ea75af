"""How well pinholes, bubbles and cover are measured: draws tiles, measures them, prints tables.

`python tests/bench/measure_surfaces.py [PHOTOS] [--keep FOLDER]`; 0 PHOTOS for cover alone. Nothing
here runs with the tests.
"""

from __future__ import annotations

import argparse
import dataclasses
import io
import tempfile
import time
from collections import Counter, defaultdict
from pathlib import Path
from typing import Any

import drawn_surfaces
import numpy as np
from clearover.catalogue import read
from clearover.colour.srgb import luminance
from clearover.measuring.asking import request_for
from clearover.measuring.limits import limit
from clearover.measuring.measure import measure
from clearover.measuring.request import Request
from clearover.measuring.results import TileMeasurement
from clearover.photos.opening import open_photo
from clearover.records.catalogue import Catalogue

ROOT = Path(__file__).resolve().parents[2]
GROUNDS = ("yellows", "greens", "pinks")


def main() -> None:
    """Draw, measure, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photos", nargs="?", type=int, default=12)
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--times", type=int, default=4, help="photos of each tile of grounds")
    parser.add_argument("--seed", default="cover", help="a word; `tunec` is what limits saw")
    asked = parser.parse_args()
    catalogue = read(ROOT / "combos")
    if asked.photos:
        _spots(catalogue, asked.photos, asked.keep)
    _cover(catalogue, asked.times, asked.seed)


def _measured(jpeg: bytes, request: Request) -> TileMeasurement:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "drawn.jpg"
        file.write_bytes(jpeg)
        return measure(open_photo(file), request)


def _spots(catalogue: Catalogue, photos: int, keep: Path | None) -> None:
    rows: dict[str, list[tuple[Any, float]]] = defaultdict(list)
    for number in range(photos):
        drawn = drawn_surfaces.kept(number, catalogue, keep)
        found = {(s.row, s.column): s for s in _measured(drawn["jpeg"], drawn["request"]).surface}
        for cell in drawn["cells"]:
            rows[cell["surface"]].append((found[tuple(cell["at"])], cell["per_cm2"]))
    print("| drawn | cells | counted | pinholes a cm² | bubbles a cm² | drawn a cm² |")
    print("|---|---|---|---|---|---|")
    for word, pairs in rows.items():
        holes = [s.pinholes_per_cm2 for s, _ in pairs if s.pinholes_per_cm2 is not None]
        rings = [s.bubbles_per_cm2 for s, _ in pairs if s.bubbles_per_cm2 is not None]
        told = [
            f"{np.median(v):.1f} ({min(v):.1f} to {max(v):.1f})" if v else "-"
            for v in (holes, rings)
        ]
        true = np.median([density for _, density in pairs])
        print(
            f"| {word} | {len(pairs)} | {len(holes)}, {len(rings)} | {told[0]} | {told[1]}"
            f" | {true:.1f} |"
        )


def _cover(catalogue: Catalogue, times: int, word: str) -> None:
    """Contrast ratios and their 90 % ranges against those of the true colours."""
    import drawing

    errors, held, halves, words, spent = [], [], [], Counter(), []
    for name in (f"{colour}-over-light-and-dark" for colour in GROUNDS):
        tile = catalogue.tiles[name]
        for turn in range(times):
            picture, truth = drawing.draw_tile(
                tile, catalogue, drawing.seed_of(word, name, turn), 1.0
            )
            memory = io.BytesIO()
            picture.save(memory, "JPEG", quality=80)
            asked = request_for(tile)
            assert asked is not None
            request = dataclasses.replace(
                asked,
                corners=tuple(map(tuple, truth["corners"])),  # type: ignore[call-overload]
                grey_card=tuple(map(tuple, truth["grey_card"])),  # type: ignore[call-overload]
                plain_backdrop=True,
            )
            began = time.process_time()
            measured = _measured(memory.getvalue(), request)
            spent.append(time.process_time() - began)
            lab = {tuple(c["at"]): c["lab"] for c in truth["cells"]}  # type: ignore[attr-defined]
            for one in measured.cover:
                if one.contrast_ratio is None or one.column % 2:
                    continue
                pair = [lab[one.row, one.column - dark][0] for dark in (0, 1)]
                true = luminance(pair[0]) / luminance(pair[1])
                errors.append(abs(one.contrast_ratio - true))
                held.append(one.ratio_low <= true <= one.ratio_high)
                halves.append((one.ratio_high - one.ratio_low) / 2 / one.contrast_ratio)
                words[one.hides, "hides" if true >= limit("cover_hides") else "shows"] += 1
    print(
        f"contrast ratio, {len(errors)} pairs: median error {np.median(errors):.3f}, "
        f"95th percentile {np.percentile(errors, 95):.3f}; the 90 % range holds the truth for "
        f"{np.mean(held):.0%}, its half is {np.median(halves):.1%} of the ratio (median)"
    )
    for (told, true), count in sorted(words.items()):
        print(f"  told {told!r}, in truth it {true}: {count}")
    print(f"{1000 * float(np.median(spent)):.0f} ms of processor to open and measure (median)")


if __name__ == "__main__":
    main()
