"""Draw the demo studio's photos: `python tests/drawn/draw_demo.py [--only TILE] [--combos DIR]`.

In: the catalogue and `staging.yml` (what a record does not say: how hard each picture is, which
one shows another tile). Out: the photos beside the records, their corners and grey cards written
into the records as a person would click them, and `truth.json`. Same records, same bytes.
"""

from __future__ import annotations

import argparse
import io
import json
import re
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from PIL import Image

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))

from clearover.records.catalogue import Catalogue  # noqa: E402
from clearover.records.loading import load  # noqa: E402
from clearover.records.tile import Photo, Tile  # noqa: E402
from drawing import draw_tile, seed_of  # noqa: E402

TRUTH = HERE / "truth.json"
LARGEST = 150_000
"""Bytes a photo may take: all of them together stay below 14 MB."""


@dataclass(frozen=True, slots=True)
class Shot:
    """One finished photo: its bytes and its truth."""

    tile: str
    file: str
    data: bytes
    truth: dict[str, Any]


@cache
def staging() -> dict[str, Any]:
    """What the records do not say."""
    text = (HERE / "staging.yml").read_text(encoding="utf-8")
    return dict(yaml.safe_load(text))


def shoot(catalogue: Catalogue, tile: Tile, photo: Photo) -> Shot:
    """One photo of one tile."""
    stage = staging()
    key = f"{tile.id}/{photo.file}"
    shown = catalogue.tiles[stage["shows another tile"].get(tile.id, tile.id)]
    seed = seed_of("demo", key)
    difficulty = stage["difficulty"].get(key, round(0.2 + 0.55 * (seed % 1000) / 1000, 2))
    image, truth = draw_tile(
        shown,
        catalogue,
        seed,
        difficulty,
        judged=stage["judged"].get(key, 0),
        quarter_turn=tile.id in stage["quarter turn"],
        backdrop=backdrop_of(photo, seed),
        settings=stage["settings"].get(key),
    )
    if shown is not tile:
        truth["shows"] = shown.id
    if not photo.corners:
        image, truth = close_up(image, truth, seed)
    turned = tile.id in stage["stored sideways"]
    return Shot(tile.id, photo.file, encoded(image, sideways=turned), truth)


def backdrop_of(photo: Photo, seed: int) -> str:
    """As the record says; where it says nothing, one table in three is wood."""
    if photo.backdrop == "plain":
        return "plain"
    return "other" if photo.backdrop == "other" or seed % 3 == 0 else "plain"


def close_up(
    image: Image.Image, truth: dict[str, Any], seed: int
) -> tuple[Image.Image, dict[str, Any]]:
    """A detail without corners: a part of the picture, enlarged."""
    corners = np.asarray(truth["corners"])
    left, top = corners.min(axis=0)
    right, bottom = corners.max(axis=0)
    wide, high = (right - left) * 0.62, (right - left) * 0.465
    x = left + (right - left - wide) * (0.08 if seed % 2 else 0.3)
    y = max(top, bottom - high * 0.98)
    box = (round(x), round(y), round(x + wide), round(y + high))
    part = image.crop(box).resize((1200, 900), Image.Resampling.LANCZOS)
    return part, {"size": [1200, 900], "part_of_drawing": list(box)}


def encoded(image: Image.Image, *, sideways: bool) -> bytes:
    """JPEG bytes under the size limit. Sideways: stored turned, with a note to turn it back."""
    options: dict[str, Any] = {}
    if sideways:
        image = image.transpose(Image.Transpose.ROTATE_90)
        exif = Image.Exif()
        exif[0x0112] = 6
        options["exif"] = exif.tobytes()
    for quality in (88, 84, 80, 76, 71, 66, 60):
        buffer = io.BytesIO()
        image.save(buffer, "JPEG", quality=quality, optimize=True, **options)
        if buffer.tell() <= LARGEST:
            break
    return buffer.getvalue()


def clicked(points: list[list[float]], seed: int) -> str:
    """Four corners as a person clicks them: whole px, at most one off."""
    rng = np.random.default_rng(seed)
    off = rng.choice([-1, 0, 0, 0, 1], size=(4, 2))
    pixels = np.rint(np.asarray(points)).astype(int) + off
    return "[" + ", ".join(f"[{x}, {y}]" for x, y in pixels) + "]"


def write_corners(text: str, shot: Shot) -> str:
    """The record's text with this photo's corners and grey card put right."""
    start = text.index(f"- file: {shot.file}")
    following = text.find("- file:", start + 1)
    end = following if following >= 0 else len(text)
    block = text[start:end]
    for key, truth_key in (("corners", "corners"), ("grey card", "grey_card")):
        if truth_key in shot.truth:
            line = clicked(shot.truth[truth_key], seed_of(shot.tile, shot.file, key))
            block = re.sub(rf"(?m)^(\s+){key}: .*$", rf"\g<1>{key}: {line}", block, count=1)
    return text[:start] + block + text[end:]


@cache
def catalogue_of(root: Path) -> Catalogue:
    """The records as they are written; a photo that is still to be drawn is no fault here."""
    loaded = load(root)
    for problem in loaded.problems:
        print(problem, file=sys.stderr)
    if loaded.studio is None:
        raise SystemExit(f"{root} holds no studio that can be read")
    tables: dict[str, Any] = {
        plural: loaded.records[kind]
        for kind, plural in (
            ("underglaze", "underglazes"),
            ("clear", "clears"),
            ("body", "bodies"),
            ("firing", "firings"),
            ("tile", "tiles"),
        )
    }
    return Catalogue(root=root, studio=loaded.studio, **tables)


def draw_all(root: Path, only: str | None) -> list[Shot]:
    """Every photo of every tile (or of one), two at a time."""
    tiles = [only] if only else sorted(catalogue_of(root).tiles)
    with ProcessPoolExecutor(2) as pool:
        shots = pool.map(_shoot_tile, [(root, name) for name in tiles])
        return [shot for group in shots for shot in group]


def _shoot_tile(job: tuple[Path, str]) -> list[Shot]:
    root, name = job
    catalogue = catalogue_of(root)
    tile = catalogue.tiles[name]
    shots = []
    for photo in tile.photos:
        shot = shoot(catalogue, tile, photo)
        catalogue.photo_path(tile, photo.file).write_bytes(shot.data)
        shots.append(shot)
    record = root.parent / tile.file
    text = record.read_text(encoding="utf-8")
    for shot in shots:
        text = write_corners(text, shot)
    record.write_text(text, encoding="utf-8")
    return shots


def keep_truth(shots: list[Shot], *, add: bool, path: Path = TRUTH) -> None:
    """Write the truth file, one line a photo; `add` keeps what it holds of other photos."""
    known = json.loads(path.read_text(encoding="utf-8"))["photos"] if add else {}
    known.update({f"{shot.tile}/{shot.file}": shot.truth for shot in shots})
    lines = [
        f"{json.dumps(key)}: {json.dumps(known[key], separators=(',', ':'))}"
        for key in sorted(known)
    ]
    note = (
        "drawn by tests/drawn/draw_demo.py; lab: CIE 1976, D65; corners in px; drag and bleed in mm"
    )
    path.write_text(
        '{"note": ' + json.dumps(note) + ',\n"photos": {\n' + ",\n".join(lines) + "\n}}\n",
        encoding="utf-8",
    )


def main() -> None:
    """The command line."""
    parser = argparse.ArgumentParser(description="Draw the demo studio's photos.")
    parser.add_argument("--only", metavar="TILE", help="draw the photos of one tile")
    parser.add_argument("--combos", type=Path, default=HERE.parents[1] / "combos")
    options = parser.parse_args()
    root = options.combos.resolve()
    shots = draw_all(root, options.only)
    keep_truth(shots, add=options.only is not None)
    total = sum(len(shot.data) for shot in shots)
    print(f"{len(shots)} photos, {total / 1e6:.1f} MB, largest {max(len(s.data) for s in shots)}")


if __name__ == "__main__":
    main()
