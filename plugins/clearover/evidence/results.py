"""What the tiles say: plain values for pages, finder, commands and exports."""

from __future__ import annotations

from dataclasses import dataclass, field

from ..chemistry.results import Flag
from ..firing.cone import Cone

WISHES = ("true_colour", "crisp_line", "clean_surface", "opaque")
STANDINGS = ("tested", "mixed", "expected", "unknown", "doubtful", "avoid")
"""In order of rank. `tested` is tested and good, `avoid` tested and bad."""


@dataclass(frozen=True, slots=True)
class Reached:
    """The cone a tile reached. `by`: witness | log | aim | tile | unknown; `note` says more."""

    cone: Cone | None
    by: str
    atmosphere: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Seen:
    """One cell as evidence.

    `verdicts` maps a property to the distinct verdict texts given, newest first; `opinions` maps a
    wish to True (good), False (bad) or None (judged, but neither way clear).
    `alone` is True where this underglaze lies alone (no stack, no mix); `counts` is False for a
    tile that is set aside or whose cone nobody knows.
    """

    tile: str
    row: int
    column: int
    underglaze: str
    clear: str
    underglaze_coats: int | None
    clear_coats: int | None
    body: str | None
    cone: Cone | None
    atmosphere: str
    alone: bool
    counts: bool
    verdicts: dict[str, tuple[str, ...]]
    opinions: dict[str, bool | None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Counts:
    """Cells by what they say of the wish."""

    good: int = 0
    bad: int = 0
    unclear: int = 0


@dataclass(frozen=True, slots=True)
class Answer:
    """One clear's place in the answer to a question.

    `crops` are the (tile, row, column) whose pictures show it, coats side by side. `caution` is the
    lower 90 % bound of the share of good tiles, by which answers of one standing are ordered.
    """

    clear: str
    standing: str
    reason: str
    cells: Counts
    tiles: tuple[str, ...]
    verdicts: dict[str, int]
    flags: tuple[Flag, ...]
    worst_underglaze: str | None
    crops: tuple[tuple[str, int, int], ...] = ()
    caution: float = 0.0
    probability: float | None = None
    low: float | None = None
    high: float | None = None

    @property
    def judged(self) -> bool:
        """Whether it rests on tiles of the very pairing, cone and atmosphere."""
        return self.cells.good + self.cells.bad + self.cells.unclear > 0


@dataclass(frozen=True, slots=True)
class Question:
    """Which clear over these underglazes, at this cone, wishing for what."""

    underglazes: tuple[str, ...]
    cone: Cone
    wishes: tuple[str, ...] = ("true_colour",)
    atmosphere: str = "oxidation"
    include_all: bool = False


@dataclass(frozen=True, slots=True)
class Conflict:
    """Two verdicts on one property that cannot both be right of one combination."""

    prop: str
    one: tuple[str, int, int]
    other: tuple[str, int, int]
    words: tuple[str, str] = field(default=("", ""))
