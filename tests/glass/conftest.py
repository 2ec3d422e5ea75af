"""The measured glasses for the tests of our own models: compositions by id, tables as rows."""

from __future__ import annotations

import csv
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

BENCH_DATA = Path(__file__).resolve().parent.parent / "bench" / "data"
OXIDES = ("SiO2", "Al2O3", "B2O3", "CaO", "MgO", "ZnO", "BaO", "SrO", "Na2O", "K2O", "Li2O")

Table = Callable[[str], tuple[dict[str, str], ...]]


@cache
def _table(name: str) -> tuple[dict[str, str], ...]:
    with (BENCH_DATA / name).open(encoding="utf-8", newline="") as lines:
        return tuple(csv.DictReader(lines))


@pytest.fixture(scope="session")
def bench_table() -> Table:
    """The rows of a table beside the measured glasses, by its file name."""
    return _table


@pytest.fixture(scope="session")
def compositions() -> dict[str, dict[str, float]]:
    """mol % of every measured glass by id."""
    rows = _table("measured_glasses.csv")
    return {row["id"]: {oxide: float(row[oxide]) for oxide in OXIDES} for row in rows}
