"""The invented facts behind the pictures, read once from the tables beside this package.

In: `colours.csv`, `bodies.csv`, `clears.csv`, `happens.csv`. Out: rows with typed values.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from clearover.firing.cone import Cone, parse_cone

HERE = Path(__file__).resolve().parent.parent


@dataclass(frozen=True, slots=True)
class Paint:
    """A colour three coats thick under a good clear (Lab D65), its cover and its wish to spread."""

    lab: tuple[float, float, float]
    opacity: float
    spread: float


@dataclass(frozen=True, slots=True)
class Glass:
    """A clear. `run` is the drag of a thick line under two coats, in mm, at its own cone."""

    zinc: bool
    magnesia: bool
    home: Cone
    run: float
    gloss: float


@dataclass(frozen=True, slots=True)
class Clay:
    """A fired body under a clear (Lab D65), dark specks per mm², and how grainy it is."""

    lab: tuple[float, float, float]
    specks: float
    grain: float


@dataclass(frozen=True, slots=True)
class Change:
    """What a clear of one class does to one pigment between two cones."""

    pigment: str
    clear: str
    coolest: Cone
    hottest: Cone
    atmosphere: str
    colour: str
    amount: float


def _rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


@cache
def paints() -> dict[str, Paint]:
    """Every paint by underglaze id, and one for each colour word for the colours of others."""
    return {
        row["underglaze"]: Paint(
            (float(row["L"]), float(row["a"]), float(row["b"])),
            float(row["opacity"]),
            float(row["spread"]),
        )
        for row in _rows("colours.csv")
    }


@cache
def glasses() -> dict[str, Glass]:
    """Every clear by id, and one for each surface for the clears of others."""
    return {
        row["clear"]: Glass(
            row["zinc"] == "yes",
            row["magnesia"] == "yes",
            parse_cone(row["home"]),
            float(row["run"]),
            float(row["gloss"]),
        )
        for row in _rows("clears.csv")
    }


@cache
def changes() -> tuple[Change, ...]:
    """What happens to which pigment, the first fitting row counts."""
    return tuple(
        Change(
            row["pigment"],
            row["clear"],
            parse_cone(row["coolest"]),
            parse_cone(row["hottest"]),
            row["atmosphere"],
            row["colour"],
            float(row["amount"]),
        )
        for row in _rows("happens.csv")
    )


@cache
def clays() -> dict[str, Clay]:
    """Every body by id, and one for each colour word for the bodies of others."""
    return {
        row["body"]: Clay(
            (float(row["L"]), float(row["a"]), float(row["b"])),
            float(row["specks"]),
            float(row["grain"]),
        )
        for row in _rows("bodies.csv")
    }
