"""The tile record: one fired test piece, its layout, its photos and what people saw on it.

In: text-only data. Out: a frozen `Tile` whose `cells` are worked out from `across`, `down` and
`all`, and whose `judged` blocks hold one verdict a cell. Links to other records are not followed
here.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import Annotated, ClassVar

from pydantic import BeforeValidator, Field, SkipValidation

from . import words
from .factors import Value
from .fields import (
    Amount,
    Atmosphere,
    ConeText,
    Day,
    Id,
    Name,
    Text,
    as_filled_map,
    as_list,
    as_map,
    list_of,
    number,
    one_of,
    whole,
)
from .models import Ids, Part, Record

Pixel = Annotated[float, BeforeValidator(number(-20000, 40000, "px"))]
Corner = Annotated[tuple[Pixel, Pixel], BeforeValidator(list_of(2, "[102, 88]"))]
Corners = Annotated[
    tuple[Corner, Corner, Corner, Corner],
    BeforeValidator(list_of(4, "[[102, 88], [1904, 96], [1911, 1498], [95, 1490]]")),
]
Millimetres = Annotated[float, BeforeValidator(number(1, 2000, "mm"))]
Parts = Annotated[dict[Id, Amount], BeforeValidator(as_filled_map)]
Position = Annotated[int, BeforeValidator(whole(1, 400, "row or column"))]
Spot = Annotated[tuple[Position, Position], BeforeValidator(list_of(2, "[2, 3]"))]


class Photo(Part):
    """One photo of the tile. Corners are of the grid, clockwise from the tile's own top left."""

    file: Text
    corners: Corners | None = None
    grey_card: Corners | None = None
    grey_card_reflectance: Annotated[float, BeforeValidator(number(0.01, 1, "reflectance"))] = 0.18
    colour_chart: Corners | None = None
    width_mm: Millimetres | None = None
    height_mm: Millimetres | None = None
    backdrop: Annotated[str, BeforeValidator(one_of("plain", "other"))] | None = None
    drawn: Annotated[str, BeforeValidator(one_of("yes", "no"))] = "no"
    caption: Text | None = None


@dataclass(frozen=True, slots=True)
class Verdict:
    """What one person saw of one property of one cell.

    `words` holds one word, or two where two were seen (`hazy and bubbled`); `toward` is set for
    `shifted` only.
    """

    words: tuple[str, ...]
    toward: str | None = None

    @property
    def text(self) -> str:
        """As a person would write it: `shifted brown`, `hazy and bubbled`."""
        return f"{self.words[0]} {self.toward}" if self.toward else " and ".join(self.words)


Verdicts = dict[tuple[int, int], Verdict]


@dataclass(frozen=True, slots=True)
class Judged:
    """One person's verdicts on one day. Each property maps (row, column), from 1, to a verdict."""

    by: str | None = None
    on: dt.date | None = None
    notes: str | None = None
    colour: Verdicts = field(default_factory=dict)
    line: Verdicts = field(default_factory=dict)
    cover: Verdicts = field(default_factory=dict)
    surface: Verdicts = field(default_factory=dict)

    def verdict(self, prop: str, row: int, column: int) -> Verdict | None:
        """The verdict on one property of one cell, or None where nothing was judged."""
        verdicts: Verdicts = getattr(self, prop)
        return verdicts.get((row, column))


@dataclass(frozen=True, slots=True)
class Cell:
    """One exact combination: its place in the grid and every factor the tile states for it.

    `where` is keyed by the record's factor names (`clear coats`); rows and columns count from 1.
    """

    row: int
    column: int
    where: dict[str, Value]

    @property
    def underglaze(self) -> str:
        """Id of the underglaze, of one of the tile's own stacks or mixes, or `none`."""
        return str(self.where.get("underglaze", words.UNKNOWN))

    @property
    def clear(self) -> str:
        """Id of the clear, or `none`."""
        return str(self.where.get("clear", words.UNKNOWN))

    @property
    def clear_coats(self) -> int | None:
        """Coats of the clear where stated and where there is one."""
        coats = self.where.get("clear coats")
        return coats if isinstance(coats, int) else None

    @property
    def underglaze_coats(self) -> int | None:
        """Coats of the underglaze where stated."""
        coats = self.where.get("underglaze coats")
        return coats if isinstance(coats, int) else None


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of a stack: an underglaze and how many coats of it, where stated."""

    underglaze: str
    coats: int | None = None


class Tile(Record):
    """One fired test piece. `cells` come row by row; missing cells are left out."""

    kind: ClassVar[str] = "tile"

    made: Day | None = None
    mark: Name | None = None
    firings: Ids = []
    cone: ConeText | None = None
    atmosphere: Atmosphere | None = None
    shelf: Name | None = None
    stood: Annotated[str, BeforeValidator(one_of(*words.STANDINGS_OF_TILE))] | None = None
    lower_edge: Annotated[str, BeforeValidator(one_of(*words.EDGES))] | None = None
    across: SkipValidation[dict[str, tuple[Value, ...]]] = {}
    down: SkipValidation[dict[str, tuple[Value, ...]]] = {}
    all_: SkipValidation[dict[str, Value]] = {}
    stacks: SkipValidation[dict[str, tuple[Layer, ...]]] = {}
    mixes: Annotated[dict[Id, Parts], BeforeValidator(as_map)] = {}
    missing_cells: Annotated[list[Spot], BeforeValidator(as_list)] = []
    shape: Annotated[str, BeforeValidator(one_of(*words.SHAPES))] | None = None
    set_aside: Text | None = None
    photos: Annotated[list[Photo], BeforeValidator(as_list)] = []
    judged: SkipValidation[tuple[Judged, ...]] = ()
    cells: SkipValidation[tuple[Cell, ...]] = Field(default=(), alias="@cells")
    rows: int = Field(default=1, alias="@rows")
    columns: int = Field(default=1, alias="@columns")

    @property
    def measured_photo(self) -> Photo | None:
        """The photo that is straightened: the first that has corners."""
        return next((photo for photo in self.photos if photo.corners), None)
