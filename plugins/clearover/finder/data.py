"""Everything the finder in the browser needs, as two classic scripts.

In: findings, photos, the guide's pages. Out: plain data, and its bytes. `finder_data` holds
answers and cells, `names_data` the names alone, which any page may load. The page may not use
`fetch` or modules (neither works from a disk), so the data is a script that sets a variable.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from ..evidence.findings import Findings
from ..evidence.results import STANDINGS
from ..evidence.wishes import wishes
from ..photos.results import TilePhotos
from ..records import words
from .answers import answers_of, asked_airs, asked_cones, made_for
from .cells import Columns, columns_of
from .names import Names, names_of
from .swatches import Place, swatches_of
from .symptoms import symptoms

IN_USE = "in use"
_PLAIN = ("brown", "black", "grey", "white")
COLOURS_SHOWN = (*(one for one in words.COLOURS if one not in _PLAIN), *_PLAIN)
"""Colour words in the order of the page: the bright ones first."""


@dataclass(frozen=True, slots=True)
class Swatch:
    """A colour's small picture: a window (x, y, w, h) on a picture of `width` by `height`, px."""

    name: str
    width: int
    height: int
    x: int
    y: int
    w: int
    h: int


Box = tuple[int, int, int, int, int]
"""A window on a picture: the picture's place in the list sent along, x, y, width, height."""


def finder_data(
    findings: Findings,
    photos: Mapping[str, TilePhotos],
    swatches: Mapping[str, Swatch] | None = None,
) -> dict[str, Any]:
    """Answers, cells, colours, clears, wishes and symptoms, for `window.clearoverData`.

    `swatches` gives each colour's small picture where one was made for the purpose. Without it a
    cell of a tile is shown, and without photos the name alone.
    """
    catalogue = findings.catalogue
    names = names_of(catalogue)
    columns = columns_of(findings, names, photos)
    cones = asked_cones(findings)
    usual = catalogue.studio.usual_cone
    return {
        "studio": {
            "name": catalogue.studio.name,
            "usual_cone": (usual if usual in cones else cones[0]).label if cones else None,
            "atmosphere": catalogue.studio.atmosphere,
        },
        **columns.data,
        "asked_cones": [cone.label for cone in cones],
        "asked_atmospheres": asked_airs(findings),
        "standings": STANDINGS,
        "wishes": [{"id": wish.id, "name": wish.name} for wish in wishes().values()],
        "colours": COLOURS_SHOWN,
        "symptoms": [one.row() for one in symptoms()],
        "underglazes": _underglazes(findings, names, columns, photos, swatches or {}),
        "clears": _clears(findings, names),
        "answers": answers_of(findings, names, columns),
        "pictures": columns.pictures.values,
    }


def names_data(findings: Findings, guide: Iterable[tuple[str, str]] = ()) -> dict[str, object]:
    """Names and addresses alone, for `window.clearoverNames`. `guide`: (address, title)."""
    return names_of(findings.catalogue, guide).rows()


def as_script(data: Mapping[str, object], variable: str = "clearoverData") -> bytes:
    """A classic script that sets `window.<variable>`.

    The text is parsed as JSON by the browser, which is faster than a literal of that size. `<` is
    escaped, so that no record can end a script.
    """
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
    quoted = text.replace("\\", "\\\\").replace("'", "\\'")
    return f"window.{variable}=JSON.parse('{quoted}');\n".encode()


def _underglazes(
    findings: Findings,
    names: Names,
    columns: Columns,
    photos: Mapping[str, TilePhotos],
    swatches: Mapping[str, Swatch],
) -> dict[str, object]:
    records = [findings.catalogue.underglazes[id_] for id_ in names.underglaze_at]
    shown = swatches_of(findings, photos)
    return {
        "colour": [COLOURS_SHOWN.index(one.colour) for one in records],
        "in_use": [int(one.status == IN_USE) for one in records],
        "status": ["" if one.status == IN_USE else one.status for one in records],
        "swatch": [
            _made(columns, swatches[one.id])
            if one.id in swatches
            else _cut(columns, photos, shown.get(one.id))
            for one in records
        ],
    }


def _made(columns: Columns, one: Swatch) -> Box:
    picture = columns.pictures((one.name, one.width, one.height, one.w, one.h))
    return (picture, one.x, one.y, one.w, one.h)


def _cut(columns: Columns, photos: Mapping[str, TilePhotos], place: Place | None) -> Box | None:
    sprite = photos[place[0]].sprite if place else None
    if place is None or sprite is None:
        return None
    wide, high = sprite.cell_width, sprite.cell_height
    picture = columns.pictures(
        (sprite.image.name, sprite.image.width, sprite.image.height, wide, high)
    )
    return (picture, (place[2] - 1) * wide, (place[1] - 1) * high, wide, high)


def _clears(findings: Findings, names: Names) -> dict[str, object]:
    records = [findings.catalogue.clears[id_] for id_ in names.clear_at]
    return {
        "in_use": [int(one.status == IN_USE) for one in records],
        "zinc": [findings.chemistry[one.id].zinc.value for one in records],
        "finish": [one.surface or words.UNKNOWN for one in records],
        "made_for": made_for(findings, names),
    }
