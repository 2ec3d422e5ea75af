"""The points of the Methods page's plot of surface tension are what the models say today.

`data/surface-tension-checks.csv` holds each measured melt with the value of the model that would
have been chosen without its publication. `python tests/glass/test_surface_tension_points.py`
writes it anew.
"""

from __future__ import annotations

import csv
import importlib.util
import io
from pathlib import Path
from typing import Any

import pytest
from clearover.tables import rows

FILE = "surface-tension-checks.csv"
HERE = Path(__file__).parent


def _checks() -> Any:
    spec = importlib.util.spec_from_file_location("_st", HERE / "test_surface_tension.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    import sys

    sys.modules["_st"] = module
    spec.loader.exec_module(module)
    return module


def points() -> list[dict[str, str]]:
    checks = _checks()
    sources = {
        row["id"]: row["source"]
        for row in csv.DictReader(checks.CHECK.read_text(encoding="utf-8").splitlines())
    }
    found = []
    for melt in checks.INSIDE:
        miss = checks._left_out_misses()[melt.id]
        found.append(
            {
                "glass": melt.id,
                "temperature_c": f"{melt.celsius:g}",
                "measured": f"{melt.sigma:g}",
                "predicted": f"{melt.sigma / (1 - miss / 100):.1f}",
                "known": "computed",
                "source": f"measured: {sources[melt.id]}",
            }
        )
    return found


def test_the_points_are_what_the_models_say() -> None:
    now = {point["glass"]: point for point in points()}
    kept = {row["glass"]: row for row in rows(FILE)}
    assert set(now) == set(kept)
    for name, row in kept.items():
        assert row["measured"] == now[name]["measured"]
        assert row["source"] == now[name]["source"]
        assert float(row["predicted"]) == pytest.approx(float(now[name]["predicted"]), abs=0.11)


if __name__ == "__main__":
    made = points()
    text = io.StringIO()
    writer = csv.DictWriter(text, list(made[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(made)
    Path("plugins/clearover/data", FILE).write_text(text.getvalue(), encoding="utf-8")
