"""What the guide tells people to type is sound: its records pass the check, its words are ours."""

from __future__ import annotations

import re
import shutil
import textwrap
from pathlib import Path

import pytest
import yaml
from clearover.catalogue import read
from clearover.glass.crazing import CANNOT_TELL, LIKELY, UNLIKELY
from clearover.photos.check import check_corners
from clearover.records import words
from clearover.records.tile import Photo
from clearover.tables import rows
from PIL import Image

ROOT = Path(__file__).parents[2]
TEXTS = {path.name: path.read_text(encoding="utf-8") for path in (ROOT / "site_src").glob("*.md")}
BLOCK = re.compile(r"^( *)```yaml\n(.*?)^ *```$", re.M | re.S)


def _blocks(name: str) -> list[str]:
    return [textwrap.dedent(match[2]) for match in BLOCK.finditer(TEXTS[name])]


def _put(combos: Path, name: str, text: str) -> None:
    path = combos / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


@pytest.fixture
def combos(tmp_path: Path) -> Path:
    """A catalogue made of the guide's own records, with the demo's materials."""
    folder = tmp_path / "combos"
    shutil.copytree(ROOT / "combos/materials", folder / "materials")
    (studio,) = [block for block in _blocks("first-day.md") if "usual cone" in block]
    _put(folder, "studio.yml", studio)
    found = {
        "underglazes/hedge-bottom.yml": "colour: green",
        "clears/ferry-glass.yml": "recipe:",
        "firings/march-glaze-2.yml": "witness:",
    }
    for name, sign in found.items():
        (record,) = [block for block in _blocks("contribute.md") if sign in block]
        _put(folder, name, record)
    body = "name: White Stoneware\ncolour: white\ncones: 5..6\n"
    _put(folder, "bodies/white-stoneware.yml", body)
    return folder


def test_the_first_tile_of_the_guide_passes_the_check(combos: Path) -> None:
    tile = _blocks("contribute.md")[0]
    _put(combos, "tiles/2026/hedge-bottom-ferry-glass/tile.yml", tile)
    catalogue = read(combos)
    assert [str(problem) for problem in catalogue.errors] == []
    (made,) = catalogue.tiles.values()
    assert made.id == "hedge-bottom-ferry-glass"
    assert [verdict.text for verdict in made.judged[0].colour.values()] == [
        "true",
        "true",
        "shifted paler",
    ]


def test_the_larger_layout_of_the_guide_passes_the_check(combos: Path) -> None:
    blocks = _blocks("contribute.md")
    (layout,) = [block for block in blocks if block.startswith("across: {clear: [lantern")]
    (judged,) = [block for block in blocks if block.startswith("judged:")]
    _put(combos, "clears/lantern-pane.yml", "name: Lantern Pane\nzinc: bearing\n")
    _put(combos, "clears/tallow-skin.yml", "name: Tallow Skin\nzinc: free\n")
    head = "made: 2026-03-10\nfirings: [march-glaze-2]\nshelf: top\n"
    _put(combos, "tiles/large/tile.yml", head + layout + judged)
    catalogue = read(combos)
    assert [str(problem) for problem in catalogue.errors] == []
    tile = catalogue.tiles["large"]
    assert (tile.columns, tile.rows) == (4, 3)
    third = tile.judged[0].surface[3, 1]
    assert third.text == "hazy and bubbled"
    assert tile.judged[0].surface[1, 1].text == "clean"


def test_the_guide_explains_every_verdict_word() -> None:
    text = TEXTS["guide.md"]
    for word in (
        *words.COLOUR_VERDICTS,
        *words.LINE_VERDICTS,
        *words.COVER_VERDICTS,
        *words.SURFACE_VERDICTS,
    ):
        assert re.search(rf"\b{word}\b", text), word


def test_the_page_for_contributors_names_every_factor() -> None:
    for factor in words.FACTORS:
        assert f"`{factor}`" in TEXTS["contribute.md"], factor


def test_the_food_sentence_stands_in_safety_word_for_word() -> None:
    sentence = (ROOT / "plugins/clearover/data/food-sentence.txt").read_text(encoding="utf-8")
    assert " ".join(sentence.split()) in " ".join(TEXTS["safety.md"].split())


def test_the_guide_explains_every_word_of_movement_and_of_seeing() -> None:
    for row in rows("movement-words.csv"):
        assert f"| {row['word']} |" in TEXTS["guide.md"], row["word"]
    for row in rows("seeing-limits.csv"):
        line = f"| {row['word']} | {row['from_delta_e00']} |"
        assert line in TEXTS["photo-guide.md"], line


def test_the_guide_explains_what_the_pages_say_of_crazing_and_of_cones() -> None:
    for word in (LIKELY, UNLIKELY, CANNOT_TELL, "the log suggests", "heat work", "not computed"):
        assert word in TEXTS["guide.md"], word
    for key in ("additions:", "recipe in: moles", "analysis in: mol %", "formula:"):
        assert key in TEXTS["contribute.md"], key


def test_the_photo_of_the_photo_guide_passes_the_check() -> None:
    (block,) = [block for block in _blocks("photo-guide.md") if "corners:" in block]
    (photo,) = yaml.load(block, Loader=yaml.BaseLoader)["photos"]
    read_as = Photo.model_validate(photo)
    assert read_as.corners and read_as.grey_card
    assert check_corners(read_as.corners, 2000, 1800) is None
    assert check_corners(read_as.grey_card, 2000, 1800) is None


PICTURE = re.compile(
    r"!\[([^]]*)\]\(pictures/([\w.-]+)\)\{ width=(\d+) height=(\d+) loading=lazy \}"
)


def test_the_pictures_are_ours_small_and_named() -> None:
    shown = PICTURE.findall(TEXTS["photo-guide.md"])
    assert len(shown) == TEXTS["photo-guide.md"].count("![") >= 8
    files = {path.name: path for path in (ROOT / "site_src/pictures").glob("photo-*")}
    assert {name for _, name, _, _ in shown} == set(files)
    for words_for_it, name, width, height in shown:
        assert words_for_it.startswith("Drawn"), name
        assert files[name].stat().st_size <= 30_000, name
        if name.endswith(".webp"):
            with Image.open(files[name]) as picture:
                assert picture.size == (int(width), int(height)), name
        else:
            drawing = files[name].read_text(encoding="utf-8")
            box = re.search(r'viewBox="0 0 (\d+) (\d+)"', drawing)
            assert box and int(box[1]) * int(height) == int(box[2]) * int(width), name
            assert not re.search(r"<script|<image|href|url\(|\sstyle=|\son\w+=", drawing), name
    everything = (ROOT / "site_src/pictures").iterdir()
    assert sum(path.stat().st_size for path in everything) <= 250_000


def test_the_photo_guide_quotes_what_was_measured() -> None:
    measured = (ROOT / "tests/bench/README.md").read_text(encoding="utf-8")
    part = TEXTS["photo-guide.md"].split("## So, and not so")[1].split("## Before you share it")[0]
    quoted = re.findall(r"\*\*(\d+\.\d)\*\* and \*\*(\d+\.\d)\*\*", part)
    assert len(quoted) >= 6
    for median, most in quoted:
        assert f"| {median} | {most} |" in measured, (median, most)
    lines = re.findall(r"^\| [a-z ]+ \| ([\d.]+) \| ([\d.]+) mm \| (\d+) of (\d+) \|$", part, re.M)
    assert len(lines) == 4
    for scale, least, told, total in lines:
        assert f"| {scale} | {total} | {told} | {least} |" in measured, scale
