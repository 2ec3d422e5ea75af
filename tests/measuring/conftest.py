"""Drawn photos with known truth, at the full difficulty, measured once a session."""

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "drawn"))
TILES = {
    "inkwell-night-four-clears": "plain",
    "hedge-bottom-slope": "plain",
    "warm-colours-at-cone-five": "wood",
    "rosehip-jam-raw-coats": "plain",
    "gorse-path-three-clears": "plain",
    "stoneware-clears-at-05": "wood",
}

SMALL = (1280, 960)
"""Px: enough for cells, and drawing takes as long as there are pixels. Lines need more."""


@dataclass(frozen=True)
class Drawn:
    """A drawn photo, what is true of it, and what was measured."""

    tile: Any
    request: Any
    measured: Any
    truth: dict[str, Any]
    opened: Any


@pytest.fixture(scope="session")
def catalogue():
    from clearover.catalogue import read

    return read(ROOT / "combos")


@pytest.fixture(scope="session")
def drawn(catalogue, tmp_path_factory):
    """Each tile drawn at difficulty 1 (tilt, light 2 : 1, glare, noise, cast), saved as JPEG 80."""
    folder = tmp_path_factory.mktemp("drawn")
    return [_drawn(catalogue, folder, *one, SMALL) for one in TILES.items()]


@pytest.fixture(scope="session")
def drawn_lines(catalogue, tmp_path_factory):
    """A tile of lines, some dragged, some bled, some softened."""
    folder = tmp_path_factory.mktemp("lines")
    return _drawn(catalogue, folder, "four-lines-mill-race-upright", "plain")


@pytest.fixture(scope="session")
def drawn_grounds(catalogue, tmp_path_factory):
    """A tile of colours over light and dark slip, one to three coats."""
    folder = tmp_path_factory.mktemp("grounds")
    return _drawn(catalogue, folder, "yellows-over-light-and-dark", "plain", SMALL)


def _drawn(catalogue, folder, name, backdrop, size=(1600, 1200)):
    from clearover.measuring.measure import measure
    from drawing import seed_of
    from taking import take

    tile = catalogue.tiles[name]
    seed = seed_of("measured", name)
    one = take(tile, catalogue, seed, folder, size=size, backdrop=backdrop)
    return Drawn(tile, one.request, measure(one.opened, one.request), one.truth, one.opened)
