"""Draw the pairs of the photo guide: the same tile taken well, and with one rule broken.

`python tests/drawn/draw_guide.py [NAME]` writes `site_src/pictures/photo-NAME.webp`, all of them or
one. What is broken, and by how much, is what `tests/bench/photo_rules.py` measures, so that the
guide's figures belong to its pictures.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image, ImageDraw, ImageFont

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "drawn"))
sys.path.insert(0, str(ROOT / "tests" / "bench"))

PICTURES = ROOT / "site_src" / "pictures"
TILE = "rosehip-jam-raw-coats"
TAKEN = (1000, 750)
SHOWN = (352, 264)
GAP, STRIP = 8, 46
PAPER, INK, SOFT = "#fffdf8", "#25211d", "#62594f"
WELL, WORSE = "so", "not so"

PAIRS = {
    "kinds": "two kinds of light",
    "square": "tilted by 25 degrees",
    "card": "card in a shadow",
    "glare": "lamp mirrored, twice as large",
    "ground": "lamp at one side, wooden table",
    "filter": "vivid filter",
}
"""Each picture and the way of `photo_rules` that its right half shows."""
LINE_PAIRS = {"near": "from four times as far"}


def pair(name: str) -> Image.Image:
    """One picture of the guide: well on the left, worse on the right, both named."""
    import photo_rules
    from clearover.catalogue import read

    catalogue = read(ROOT / "combos")
    if name in LINE_PAIRS:
        ways = {way.name: way for way in photo_rules.LINE_WAYS}
        halves = [_line(ways[one], catalogue) for one in ("good", LINE_PAIRS[name])]
    else:
        ways = {way.name: way for way in photo_rules.WAYS}
        halves = [_taken(ways[one], catalogue) for one in ("good", PAIRS[name])]
    if name == "square":
        halves[1] = _from_afar(halves[1])
    return _beside(*halves)


def _taken(way: Any, catalogue: Any) -> Image.Image:
    import drawing
    import photo_rules

    tile = catalogue.tiles[TILE]
    seed = drawing.seed_of("guide", TILE)
    settings = photo_rules.GOOD | way.settings
    backdrop = way.backdrop
    picture, truth = drawing.draw_tile(
        tile, catalogue, seed, 0.5, size=TAKEN, backdrop=backdrop, settings=settings
    )
    return way.spoil(picture, truth) if way.spoil else picture


def _from_afar(picture: Image.Image) -> Image.Image:
    """The same photo with the tile small in it: the table goes on all round."""
    wide, tall = picture.size
    small = picture.resize((wide // 2, tall // 2), Image.Resampling.LANCZOS)
    left, top = wide // 3, tall // 5
    room = ((top, tall - top - tall // 2), (left, wide - left - wide // 2), (0, 0))
    return Image.fromarray(np.pad(np.asarray(small), room, mode="edge"))


def _line(way: Any, catalogue: Any) -> Image.Image:
    """A dragged line, as many mm of it in each half."""
    import photo_rules

    _, picture, truth = photo_rules.line_photo(way, 1, catalogue)
    cell = next(one for one in truth["cells"] if one["line_is"] == "dragged")
    across, down = truth["grid_mm"]
    left, top = truth["corners"][0]
    scale = (truth["corners"][1][0] - left) / across
    row, column = cell["at"]
    rows, columns = (max(one["at"][k] for one in truth["cells"]) for k in (0, 1))
    x, y = left + (column - 0.5) * across / columns * scale, top + (row - 0.5) * down / rows * scale
    half = (7.0 * scale, 5.25 * scale)
    box = tuple(round(v) for v in (x - half[0], y - half[1], x + half[0], y + half[1]))
    return picture.crop(box)


def _beside(well: Image.Image, worse: Image.Image) -> Image.Image:
    wide, tall = SHOWN
    whole = Image.new("RGB", (2 * wide + GAP, tall + STRIP), PAPER)
    pen = ImageDraw.Draw(whole)
    font = ImageFont.load_default(32)
    for half, x, words in ((well, 0, WELL), (worse, wide + GAP, WORSE)):
        whole.paste(half.resize(SHOWN, Image.Resampling.LANCZOS), (x, 0))
        pen.text((x + 4, tall + 3), words, fill=INK, font=font)
        drawn = pen.textlength("drawn", font=font)
        pen.text((x + wide - drawn - 4, tall + 3), "drawn", fill=SOFT, font=font)
    pen.line((wide, 0, wide, tall), fill=PAPER, width=GAP)
    return whole


def main() -> None:
    """Draw what is named, or all."""
    for name in sys.argv[1:] or (*PAIRS, *LINE_PAIRS):
        file = PICTURES / f"photo-{name}.webp"
        pair(name).save(file, "WEBP", quality=72, method=6)
        print(file.name, file.stat().st_size)


if __name__ == "__main__":
    main()
