"""Draw line tiles at random, with their truth, to judge how lines are measured.

In: a number and a difficulty. Out: the photo as JPEG bytes and what is true of it. The outcome of
each line is drawn here at random (no rule of thumb), so that every drag from 0 to 5 mm turns up.
Same number, same photo.
"""

from __future__ import annotations

import io
import pickle
import sys
from pathlib import Path
from typing import Any
from unittest import mock

import numpy as np
from clearover.measuring.request import CellRequest, Request
from clearover.records.catalogue import Catalogue
from clearover.records.tile import Tile

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "drawn"))

LAYOUTS = ("four-lines-lantern-pane", "four-lines-ferry-glass", "low-fire-lines")
BODIES = ("white-stoneware",) * 4 + ("porcelain", "red-earthenware", "speckled-stoneware")
KINDS = ("crisp", "softened", "bled", "smudged", "dragged")
ODDS = (0.25, 0.15, 0.12, 0.08, 0.40)


def random_tile(number: int, catalogue: Catalogue) -> tuple[Tile, dict[tuple[int, int], Any]]:
    """A line tile with colours, clay, lower edge and outcomes by chance."""
    import dataclasses

    from drawing.happens import Outcome

    rng = np.random.default_rng((5, number))
    base = catalogue.tiles[LAYOUTS[number % len(LAYOUTS)]]
    colours, clears = sorted(catalogue.underglazes), sorted(catalogue.clears)
    body, clear = str(rng.choice(BODIES)), str(rng.choice(clears))
    cells, outcomes = [], {}
    for cell in base.cells:
        kind = str(rng.choice(KINDS, p=ODDS))
        thick = cell.where.get("line") == "thick"
        drag = float(np.exp(rng.uniform(np.log(0.25), np.log(5.0 if thick else 2.5))))
        bleed = float(rng.uniform(0.5, 1.8)) if kind == "bled" else 0.0
        outcomes[cell.row, cell.column] = Outcome(
            line=kind, drag_mm=drag if kind == "dragged" else 0.0, bleed_mm=bleed
        )
        where = {"underglaze": str(rng.choice(colours)), "clear": clear, "body": body}
        cells.append(dataclasses.replace(cell, where={**cell.where, **where}))
    lower = str(rng.choice(["bottom", "bottom", "right", "left", "top"]))
    change = {"id": f"lines-{number}", "lower_edge": lower, "stood": "upright", "photos": ()}
    return base.model_copy(update={**change, "cells": tuple(cells)}), outcomes


def draw(number: int, catalogue: Catalogue, difficulty: float = 1.0) -> dict[str, Any]:
    """The photo (`jpeg`), its `request` and the `cells`' truth, each with its `line` word."""
    import drawing
    from drawing import board
    from drawing import picture as whole

    tile, outcomes = random_tile(number, catalogue)
    backdrop = "wood" if number % 3 == 0 else "plain"
    chosen = lambda _tile, cell, *_: outcomes[cell.row, cell.column]  # noqa: E731
    along = 34.0 if tile.columns <= 2 else 22.0
    wide, high = (15.0, along) if tile.lower_edge in ("left", "right") else (along, 15.0)
    size = (tile.columns * wide, tile.rows * high)
    with (
        mock.patch.object(board, "outcome", chosen),
        mock.patch.object(whole, "grid_size", lambda _tile: size),
    ):
        picture, truth = drawing.draw_tile(
            tile, catalogue, drawing.seed_of(tile.id), difficulty, backdrop=backdrop
        )
    memory = io.BytesIO()
    picture.save(memory, "JPEG", quality=80)
    for cell in truth["cells"]:  # type: ignore[attr-defined]
        cell["line"] = outcomes[tuple(cell["at"])].line
    return {
        "jpeg": memory.getvalue(),
        "request": request_of(tile, truth, backdrop),
        "cells": truth["cells"],
        "settings": truth["settings"],
    }


def request_of(tile: Tile, truth: dict[str, Any], backdrop: str) -> Request:
    """What would be asked of the drawn photo."""
    wide, high = truth["grid_mm"]
    return Request(
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
        plain_backdrop=backdrop == "plain",
        lower=tile.lower_edge,
        upright=tile.stood != "flat",
    )


def kept(number: int, catalogue: Catalogue, folder: Path | None) -> dict[str, Any]:
    """The same, drawn once and kept in a folder where one is given."""
    if folder is None:
        return draw(number, catalogue)
    file = folder / f"lines-{number}.pickle"
    if not file.exists():
        folder.mkdir(parents=True, exist_ok=True)
        file.write_bytes(pickle.dumps(draw(number, catalogue)))
    return pickle.loads(file.read_bytes())
