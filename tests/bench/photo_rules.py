"""What each rule of the photo guide buys: the same tiles drawn well, and with one rule broken.

`python tests/bench/photo_rules.py [TILES]`. Prints two tables: colours and lines. The photos are
drawn, so what is true of every cell is known. Nothing here runs with the tests.
"""

from __future__ import annotations

import argparse
import io
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any
from unittest import mock

import numpy as np
from clearover.catalogue import read
from clearover.colour import ciede2000
from clearover.measuring.measure import measure
from clearover.measuring.request import CellRequest, Request
from clearover.measuring.results import TileMeasurement
from clearover.photos.opening import open_photo
from PIL import Image, ImageEnhance, ImageFilter

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "drawn"))

from drawing import shadows  # noqa: E402
from drawing.shadows import lit  # noqa: E402

GOOD: dict[str, object] = {
    "tilt_deg": 3.0,
    "turn_deg": 1.0,
    "light_ratio": 1.15,
    "cast": "neutral",
    "cast_strength": 0.5,
    "noise": 0.005,
    "glare": 0.0,
    "exposure": 1.0,
}
COLOURS = (
    "inkwell-night-four-clears",
    "hedge-bottom-slope",
    "warm-colours-at-cone-five",
    "rosehip-jam-raw-coats",
    "gorse-path-three-clears",
    "stoneware-clears-at-05",
)
Spoil = Callable[[Image.Image, dict[str, Any]], Image.Image]


@dataclass(frozen=True)
class Way:
    """One way to take the photo: what differs from a good one."""

    name: str
    settings: dict[str, object] = field(default_factory=dict)
    spoil: Spoil | None = None
    backdrop: str = "plain"
    card: bool = True
    share: float = 1.0
    """How many px the photo is wide, as a share of a good one's."""


def mixed_light(picture: Image.Image, truth: dict[str, Any]) -> Image.Image:
    """A window on the left, a warm lamp on the right."""
    warm, cool = np.array((1.15, 1.0, 0.72)), np.array((0.90, 1.0, 1.16))
    along = np.linspace(0, 1, picture.width)[None, :, None]
    return lit(picture, cool * (1 - along) + warm * along)


def vivid(picture: Image.Image, truth: dict[str, Any]) -> Image.Image:
    """What a "vivid" filter does: more saturation, more contrast."""
    picture = ImageEnhance.Color(picture).enhance(1.35)
    return ImageEnhance.Contrast(picture).enhance(1.2)


def shaken(picture: Image.Image, truth: dict[str, Any]) -> Image.Image:
    """Out of focus or shaken: about 0.25 mm."""
    return picture.filter(ImageFilter.GaussianBlur(picture.width / 2000 * 3.5))


WAYS = (
    Way("good"),
    Way("lamp at one side, plain ground", {"light_ratio": 2.0}),
    Way("lamp at one side, wooden table", {"light_ratio": 2.0}, backdrop="wood"),
    Way("two kinds of light", spoil=mixed_light),
    Way("lamp mirrored in the glaze", {"glare": 0.05}),
    Way("lamp mirrored, twice as large", {"glare": 0.10}),
    Way("tilted by 25 degrees", {"tilt_deg": 25.0}),
    Way("dim light", {"noise": 0.03}),
    Way("too bright", {"exposure": 1.8}),
    Way("card in a shadow", spoil=shadows.card_alone),
    Way("half the card in a shadow", spoil=shadows.half_the_card),
    Way("card in a soft shadow", spoil=shadows.soft),
    Way("no card", card=False),
    Way("vivid filter", spoil=vivid),
)
LINE_WAYS = (
    Way("good"),
    Way("from twice as far", share=0.5),
    Way("from four times as far", share=0.25),
    Way("shaken", spoil=shaken),
    Way("lamp mirrored in the glaze", {"glare": 0.05}),
    Way("tilted by 25 degrees", {"tilt_deg": 25.0}),
    Way("dim light", {"noise": 0.03}),
)


def main() -> None:
    """Draw, measure, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("tiles", nargs="?", type=int, default=6)
    asked = parser.parse_args()
    catalogue = read(ROOT / "combos")
    print("| colours | cells | not measured | median ΔE00 | 95th pct | noise | doubted |")
    print("|---|---|---|---|---|---|---|")
    for way in WAYS:
        _colour_row(way, catalogue, COLOURS[: asked.tiles])
    print("\n| lines | px/mm | lines | drag told | limit, mm | median error, mm | range ±, mm |")
    print("|---|---|---|---|---|---|---|")
    for way in LINE_WAYS:
        _line_row(way, catalogue, asked.tiles)


def _colour_row(way: Way, catalogue: Any, names: tuple[str, ...]) -> None:
    import drawing

    off, missing, total, noise, doubted = [], 0, 0, [], 0
    for name in names:
        tile = catalogue.tiles[name]
        seed = drawing.seed_of("rules", name)
        settings = GOOD | way.settings
        picture, truth = drawing.draw_tile(
            tile, catalogue, seed, 0.5, backdrop=way.backdrop, settings=settings
        )
        found = _measured(tile, picture, truth, way)
        noise.append(found.noise_delta_e)
        doubted += bool(found.balance.doubt)
        true = {tuple(cell["at"]): cell["lab"] for cell in truth["cells"] if "width" not in cell}
        total += len(true)
        for cell in found.cells:
            if cell.lab is None:
                missing += 1
            else:
                off.append(float(ciede2000(cell.lab, true[cell.row, cell.column])))
    told = [f"{np.median(off):.1f}", f"{np.percentile(off, 95):.1f}"] if off else ["-", "-"]
    known = [one for one in noise if one is not None]
    told.append(f"{np.median(known):.1f}" if known else "-")
    told.append(f"{doubted} of {len(names)}")
    print(f"| {way.name} | {total} | {missing} | {' | '.join(told)} |", flush=True)


def _line_row(way: Way, catalogue: Any, count: int) -> None:
    off, limits, half, scales, told, total = [], [], [], [], 0, 0
    for number in range(count):
        tile, picture, truth = line_photo(way, number, catalogue)
        found = _measured(tile, picture, truth, way)
        scales.append(found.px_per_mm)
        true = {tuple(cell["at"]): cell for cell in truth["cells"]}
        for line in found.lines:
            total += 1
            if line.limit_mm is not None:
                limits.append(line.limit_mm)
            if line.drag_mm is not None:
                told += 1
                off.append(abs(line.drag_mm - true[line.row, line.column]["drag"]))
                half.append((line.drag_high_mm - line.drag_low_mm) / 2)
    figures = [f"{np.median(some):.2f}" if some else "-" for some in (limits, off, half)]
    print(
        f"| {way.name} | {np.median(scales):.1f} | {total} | {told} | {' | '.join(figures)} |",
        flush=True,
    )


def line_photo(way: Way, number: int, catalogue: Any) -> tuple[Any, Image.Image, dict[str, Any]]:
    import drawing
    from drawing import board
    from drawing import picture as whole
    from drawn_lines import random_tile

    tile, outcomes = random_tile(number, catalogue)
    tile = tile.model_copy(update={"lower_edge": "bottom"})
    size = (tile.columns * (34.0 if tile.columns <= 2 else 22.0), tile.rows * 15.0)
    with (
        mock.patch.object(board, "outcome", lambda _t, cell, *_: outcomes[cell.row, cell.column]),
        mock.patch.object(whole, "grid_size", lambda _tile: size),
    ):
        picture, truth = drawing.draw_tile(
            tile,
            catalogue,
            drawing.seed_of(tile.id),
            0.5,
            size=(round(2000 * way.share), round(1500 * way.share)),
            backdrop=way.backdrop,
            settings=GOOD | way.settings,
        )
    for cell in truth["cells"]:
        cell["line_is"] = outcomes[tuple(cell["at"])].line
    return tile, picture, truth


def _measured(tile: Any, picture: Image.Image, truth: dict[str, Any], way: Way) -> TileMeasurement:
    if way.spoil is not None:
        picture = way.spoil(picture, truth)
    wide, high = truth["grid_mm"]
    asked = Request(
        tile.id,
        "drawn.jpg",
        tile.rows,
        tile.columns,
        tuple(map(tuple, truth["corners"])),
        tuple(
            CellRequest(*c["at"], line="width" in c, line_mm=c.get("width")) for c in truth["cells"]
        ),
        wide,
        high,
        tuple(map(tuple, truth["grey_card"])),
        plain_backdrop=way.backdrop == "plain",
        lower=tile.lower_edge,
    )
    if not way.card:
        asked = replace(asked, grey_card=None)
    memory = io.BytesIO()
    picture.save(memory, "JPEG", quality=90)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "drawn.jpg"
        file.write_bytes(memory.getvalue())
        return measure(open_photo(file), asked)


if __name__ == "__main__":
    main()
