"""The measured glasses for the tests of our own models: compositions by id, tables as rows."""

from __future__ import annotations

import csv
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from clearover.glass.checks import Unseen

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


@cache
def _shown(name: str) -> Unseen:
    """Worked out anew from the predictions themselves."""
    rows = [row for row in _table("unseen-glasses.csv") if row["property"] == name]
    inside = [row for row in rows if row["inside"] == "yes"]
    errors = np.array([abs(float(row["measured"]) - float(row["predicted"])) for row in inside])
    held = errors <= np.array([float(row["half"]) for row in inside])
    kept = np.sort(errors)[: int(np.ceil(0.95 * len(errors)))]
    told = (np.median(errors), kept.mean(), np.quantile(errors, 0.9), held.mean())
    return Unseen(len(rows), len(inside), *(float(one) for one in told))


@pytest.fixture(scope="session")
def shown() -> Callable[[str], Unseen]:
    """The errors of one property, by its name."""
    return _shown
