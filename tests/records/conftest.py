"""What the tests of records share: a tile record in memory, and the hostile tests' sound studio."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from clearover.records.building import build
from clearover.records.faults import Faults
from clearover.records.tile import Tile
from clearover.records.yaml_text import read

BASE = Path(__file__).parent.parent / "hostile" / "base"


@pytest.fixture
def tile() -> Callable[[str], tuple[Any, list[str]]]:
    """Build a tile from the text of its record: the tile, and the rules it breaks."""

    def make(text: str) -> tuple[Any, list[str]]:
        data, problems = read(text, "tile.yml")
        assert not problems, problems
        faults = Faults()
        built = build(Tile, data, "some-tile", "tile.yml", faults)
        return built, [rule for _, rule, _ in faults.found]

    return make


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """A small sound studio on disk, without its photo."""
    combos = tmp_path / "combos"
    shutil.copytree(BASE, combos)
    path = combos / "tiles/hedge-two-clears/tile.yml"
    text = path.read_text("utf-8")
    path.write_text(text[: text.index("photos:")] + text[text.index("judged:") :], "utf-8")
    return combos
