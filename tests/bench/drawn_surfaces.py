"""Draw small tiles from near, some pinholed or bubbled, to judge what is seen of a surface.

In: a number. Out: the photo as JPEG bytes, its request and, for each cell, how many pinholes or
bubbles were drawn a cm². Same number, same photo.
"""

from __future__ import annotations

import dataclasses
import io
import pickle
import sys
from pathlib import Path
from typing import Any
from unittest import mock

import numpy as np
from clearover.measuring.request import CellRequest, Request
from clearover.records.catalogue import Catalogue

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "drawn"))

WORDS = ("clean", "clean", "pinholed", "bubbled", "hazy")
SIZE = (2100, 1575)
CELL_MM = (20.0, 18.0)


def draw(
    number: int,
    catalogue: Catalogue,
    difficulty: float = 1.0,
    rows: int = 2,
    size: tuple[int, int] = SIZE,
) -> dict[str, Any]:
    """A tile of two columns, by two rows at about 18 px a mm."""
    import drawing
    from drawing import board, cell, picture, surface
    from drawing.happens import Outcome

    rng = np.random.default_rng((7, number))
    base = catalogue.tiles["inkwell-night-four-clears"]
    colours = sorted(catalogue.underglazes)
    body = str(rng.choice(["white-stoneware", "porcelain", "speckled-stoneware"]))
    cells, outcomes, seen = [], {}, []
    for row in range(1, rows + 1):
        for column in (1, 2):
            where = {**base.cells[0].where, "underglaze": str(rng.choice(colours))}
            where |= {"clear": "ferry-glass", "clear coats": 2, "body": body}
            cells.append(dataclasses.replace(base.cells[0], row=row, column=column, where=where))
            outcomes[row, column] = Outcome(surface=(str(rng.choice(WORDS)),))
    change = {"id": f"surface-{number}", "cells": tuple(cells), "photos": ()}
    tile = base.model_copy(update={**change, "rows": rows, "columns": 2})

    def spoil(skin: Any, words: Any, scale: float, generator: Any) -> None:
        found: list[Any] = []
        real = surface.discs

        def discs(*given: Any) -> Any:
            found.extend(real(*given))
            return found

        with mock.patch.object(surface, "discs", discs):
            surface.spoil(skin, words, scale, generator)
        cm2 = skin.height.size / scale**2 / 100
        seen.append((words[0], len(found) / cm2, [d[3] / scale for d in found]))

    with (
        mock.patch.object(board, "outcome", lambda _t, c, *_: outcomes[c.row, c.column]),
        mock.patch.object(cell, "spoil", spoil),
        mock.patch.object(
            picture, "grid_size", lambda t: (t.columns * CELL_MM[0], t.rows * CELL_MM[1])
        ),
    ):
        image, truth = drawing.draw_tile(
            tile, catalogue, drawing.seed_of(tile.id), difficulty, size=size
        )
    memory = io.BytesIO()
    image.save(memory, "JPEG", quality=80)
    wide, high = truth["grid_mm"]
    request = Request(
        tile.id,
        "drawn.jpg",
        rows,
        2,
        tuple(map(tuple, truth["corners"])),
        tuple(
            CellRequest(one.row, one.column, where=tuple((k, str(v)) for k, v in one.where.items()))
            for one in cells
        ),
        wide,
        high,
        tuple(map(tuple, truth["grey_card"])),
        plain_backdrop=True,
    )
    for one, (word, density, radii) in zip(truth["cells"], seen, strict=True):
        one.update(surface=word, per_cm2=density, radii_mm=radii)
    return {"jpeg": memory.getvalue(), "request": request, "cells": truth["cells"]}


def kept(number: int, catalogue: Catalogue, folder: Path | None) -> dict[str, Any]:
    """The same, drawn once and kept in a folder where one is given."""
    if folder is None:
        return draw(number, catalogue)
    file = folder / f"surface-{number}.pickle"
    if not file.exists():
        folder.mkdir(parents=True, exist_ok=True)
        file.write_bytes(pickle.dumps(draw(number, catalogue)))
    return pickle.loads(file.read_bytes())
