"""What the guide tells people to type is sound: its records pass the check, its words are ours."""

from __future__ import annotations

import re
import shutil
import textwrap
from pathlib import Path

import pytest
from clearover.catalogue import read
from clearover.records import words

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
