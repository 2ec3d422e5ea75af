"""The drawing program and its truth, for the tests of this folder."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from clearover.records.catalogue import Catalogue

HERE = Path(__file__).resolve().parent
COMBOS = HERE.parents[1] / "combos"

sys.path.insert(0, str(HERE))

import draw_demo  # noqa: E402


@pytest.fixture(scope="session")
def demo() -> ModuleType:
    """The program `draw_demo`."""
    return draw_demo


@pytest.fixture(scope="session")
def studio() -> Catalogue:
    """The demo studio as it is written."""
    return draw_demo.catalogue_of(COMBOS)


@pytest.fixture(scope="session")
def truth() -> dict[str, dict[str, Any]]:
    """Photo → what is true of it."""
    photos: dict[str, dict[str, Any]] = json.loads(draw_demo.TRUTH.read_text(encoding="utf-8"))[
        "photos"
    ]
    return photos
