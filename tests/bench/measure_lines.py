"""How well lines are measured: draws line tiles at full difficulty, measures them, prints a table.

`python tests/bench/measure_lines.py [PHOTOS] [--keep FOLDER]`. A photo takes some seconds to draw;
with `--keep` it is drawn once. Nothing here runs with the tests.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections import Counter
from pathlib import Path
from typing import Any

import drawn_lines
import numpy as np
from clearover.catalogue import read
from clearover.measuring.balancing import balance_of
from clearover.measuring.lines import line_measures
from clearover.measuring.results import LineMeasure
from clearover.measuring.view import View, view_of
from clearover.photos.opening import open_photo

ROOT = Path(__file__).resolve().parents[2]
KINDS = ("crisp", "softened", "bled", "smudged", "dragged")


def main() -> None:
    """Draw, measure, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photos", nargs="?", type=int, default=20)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--each", action="store_true", help="also print every line that is off")
    asked = parser.parse_args()
    catalogue = read(ROOT / "combos")
    pairs, spent = [], []
    for number in range(asked.first, asked.first + asked.photos):
        drawn = drawn_lines.kept(number, catalogue, asked.keep)
        view = _view(drawn)
        began = time.process_time()
        lines = line_measures(view, drawn["request"])
        spent.append(time.process_time() - began)
        truths = {tuple(cell["at"]): cell for cell in drawn["cells"]}
        pairs += [(number, truths[line.row, line.column], line) for line in lines]
    _table(pairs, asked.each)
    print(f"{1000 * float(np.median(spent)):.0f} ms of processor a photo (median)")


def _view(drawn: dict[str, Any]) -> View:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "drawn.jpg"
        file.write_bytes(drawn["jpeg"])
        opened = open_photo(file)
    field, matrix, _ = balance_of(opened, drawn["request"])
    return view_of(opened, drawn["request"], field, matrix)


def _table(pairs: list[tuple[int, dict[str, Any], LineMeasure]], each: bool) -> None:
    print(f"{len(pairs)} lines")
    print(Counter(line.status for _, _, line in pairs))
    have = [pair for pair in pairs if pair[2].drag_mm is not None]
    print("| drawn as | lines | within 0.15 mm or 10 % | median error | 95th pct | 90 % holds |")
    print("|---|---|---|---|---|---|")
    for kind in ("all", *KINDS):
        _row(kind, [one for one in have if kind in ("all", one[1]["line"])])
    print("words:", Counter((t["line"], line.kind) for _, t, line in pairs if line.kind))
    wide = [abs(line.width_mm - t["width"]) for _, t, line in have if t["line"] == "crisp"]
    print(f"width of crisp lines: median error {np.median(wide):.2f} mm, most {max(wide):.2f} mm")
    for number, truth, line in have if each else ():
        if _error(truth, line) > _allowed(truth) or not _holds(truth, line):
            print(number, truth, line)


def _row(kind: str, pairs: list[tuple[int, dict[str, Any], LineMeasure]]) -> None:
    if not pairs:
        return
    errors = np.array([_error(truth, line) for _, truth, line in pairs])
    good = np.mean([_error(t, line) <= _allowed(t) for _, t, line in pairs])
    held = np.mean([_holds(truth, line) for _, truth, line in pairs])
    signed = np.median([line.drag_mm - truth["drag"] for _, truth, line in pairs])
    print(
        f"| {kind} | {len(pairs)} | {good:.0%} | {signed:+.3f} | {np.percentile(errors, 95):.2f}"
        f" | {held:.0%} |"
    )


def _error(truth: dict[str, Any], line: LineMeasure) -> float:
    assert line.drag_mm is not None
    return float(abs(line.drag_mm - truth["drag"]))


def _allowed(truth: dict[str, Any]) -> float:
    return max(0.15, 0.1 * abs(float(truth["drag"])))


def _holds(truth: dict[str, Any], line: LineMeasure) -> bool:
    assert line.drag_low_mm is not None and line.drag_high_mm is not None
    return line.drag_low_mm <= float(truth["drag"]) <= line.drag_high_mm


if __name__ == "__main__":
    main()
