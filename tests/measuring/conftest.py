"""Drawn photos with known truth, at the full difficulty, measured once a session."""

import io
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
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
    sys.path.insert(0, str(ROOT / "tests" / "drawn"))
    import drawing
    from clearover.measuring.measure import measure
    from clearover.measuring.request import CellRequest, Request
    from clearover.photos.opening import open_photo

    tile = catalogue.tiles[name]
    seed = drawing.seed_of("measured", name)
    picture, truth = drawing.draw_tile(tile, catalogue, seed, 1.0, size=size, backdrop=backdrop)
    memory = io.BytesIO()
    picture.save(memory, "JPEG", quality=80)
    (folder / f"{name}.jpg").write_bytes(memory.getvalue())
    opened = open_photo(folder / f"{name}.jpg")
    width, height = truth["grid_mm"]
    cells = {(cell.row, cell.column): cell for cell in tile.cells}
    request = Request(
        tile.id,
        "drawn.jpg",
        tile.rows,
        tile.columns,
        tuple(map(tuple, truth["corners"])),
        tuple(
            CellRequest(
                *cell["at"],
                line="width" in cell,
                where=tuple(sorted((k, str(v)) for k, v in cells[tuple(cell["at"])].where.items())),
            )
            for cell in truth["cells"]
        ),
        width,
        height,
        tuple(map(tuple, truth["grey_card"])),
        plain_backdrop=backdrop == "plain",
        lower=tile.lower_edge,
        upright=tile.stood != "flat",
    )
    return Drawn(tile, request, measure(opened, request), truth, opened)
