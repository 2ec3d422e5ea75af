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
    sys.path.insert(0, str(ROOT / "tests" / "drawn"))
    import drawing
    from clearover.measuring.measure import measure
    from clearover.measuring.request import CellRequest, Request
    from clearover.photos.opening import open_photo

    folder = tmp_path_factory.mktemp("drawn")
    found = []
    for name, backdrop in TILES.items():
        tile = catalogue.tiles[name]
        seed = drawing.seed_of("measured", name)
        picture, truth = drawing.draw_tile(tile, catalogue, seed, 1.0, backdrop=backdrop)
        memory = io.BytesIO()
        picture.save(memory, "JPEG", quality=80)
        (folder / f"{name}.jpg").write_bytes(memory.getvalue())
        opened = open_photo(folder / f"{name}.jpg")
        width, height = truth["grid_mm"]
        request = Request(
            tile.id,
            "drawn.jpg",
            tile.rows,
            tile.columns,
            tuple(map(tuple, truth["corners"])),
            tuple(CellRequest(*cell["at"], line="width" in cell) for cell in truth["cells"]),
            width,
            height,
            tuple(map(tuple, truth["grey_card"])),
            plain_backdrop=backdrop == "plain",
        )
        found.append(Drawn(tile, request, measure(opened, request), truth, opened))
    return found
