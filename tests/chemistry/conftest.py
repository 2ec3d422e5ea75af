"""Small makers of records, and the published tables of this folder."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from clearover.chemistry.clear import chemistry_of
from clearover.chemistry.materials import MaterialBook
from clearover.chemistry.results import ClearChemistry
from clearover.records.models import Clear, Material

DATA = Path(__file__).parent / "data"


@pytest.fixture(scope="session")
def table() -> Callable[[str], list[dict[str, str]]]:
    """The rows of a published table, by its file's name."""

    def read(name: str) -> list[dict[str, str]]:
        with (DATA / name).open(encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file))

    return read


@pytest.fixture(scope="session")
def clear_of() -> Callable[..., Clear]:
    """A clear's record from its keys, numbers as a record writes them: as text."""

    def make(**keys: Any) -> Clear:
        return Clear.model_validate(
            {"@id": "a-clear", "@file": "combos/clears/a-clear.yml", "name": "A Clear"}
            | {key.replace("_", " "): _as_written(value) for key, value in keys.items()}
        )

    return make


@pytest.fixture(scope="session")
def material_of() -> Callable[..., Material]:
    """A studio's material from its name and its analysis or formula."""

    def make(
        name: str,
        analysis: dict[str, float] | None,
        also: list[str] | None = None,
        formula: str | None = None,
    ) -> Material:
        keys = {"@id": name.lower().replace(" ", "-"), "@file": "combos/materials/one.yml"}
        said = {"formula": formula} if analysis is None else {"analysis": _as_written(analysis)}
        return Material.model_validate({**keys, "name": name, "also": also or [], **said})

    return make


@pytest.fixture(scope="session")
def melted(clear_of: Callable[..., Clear]) -> Callable[..., ClearChemistry]:
    """The chemistry of a recipe of the trade's materials, or of an analysis."""

    def compute(
        recipe: dict[str, float] | None = None, *materials: Material, **keys: Any
    ) -> ClearChemistry:
        if recipe is not None:
            keys["recipe"] = recipe
        return chemistry_of(clear_of(**keys), MaterialBook.with_studio(materials))

    return compute


def _as_written(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: f"{amount:.9f}" for key, amount in value.items()}
    return value
