"""Fit the glass models and write the files that the running code reads.

`python tests/bench/fit_glass_models.py` reads the measured glasses and the settings chosen for
each model (`data/glass-settings.json`) and writes `plugins/clearover/data/glass-expansion.json`
and `glass-viscosity.json`. Needs numpy only, about a minute.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from glass_data import (
    DATA,
    Curve,
    expansion_data,
    melt_data,
    with_expansion,
    with_melt,
)
from glass_document import document
from glass_process import Fit, Measured, PartSettings, Settings, scale_of

OUT = Path(__file__).resolve().parents[2] / "plugins" / "clearover" / "data"


@cache
def chosen() -> dict[str, Any]:
    """What was chosen before the fits, by name of the model."""
    found: dict[str, Any] = json.loads((DATA / "glass-settings.json").read_text(encoding="utf-8"))
    return found


def settings(what: str) -> Settings:
    """The settings of one model."""
    given = chosen()[what]
    parts = tuple(
        PartSettings(**(part | {"lengths": np.array(part["lengths"])})) for part in given["parts"]
    )
    return Settings(parts=parts, root=given["root"], tails=given["tails"])


def curve() -> Curve:
    """The form of the melt curve."""
    return Curve(**chosen()["viscosity"]["curve"])


def measured(what: str) -> Measured:
    """The observations of one model."""
    given = chosen()[what]
    if what == "expansion":
        return expansion_data(with_expansion(), given["mean"])
    return melt_data(with_melt(), curve(), given["near"], given["far"])


def running_settings(what: str) -> dict[str, Any]:
    """What the running code reads beside the process itself."""
    given = chosen()[what]
    own = {
        "publication": [part["publication"] for part in given["parts"]],
        "glass": [part["glass"] for part in given["parts"]],
        "domain": given["domain"],
        "band": given["band"],
    }
    if what == "viscosity":
        own["curve"] = given["curve"]
        own["near"] = given["near"]
    return own


def means(what: str) -> list[float]:
    """The constants taken off the observations, a part each."""
    given = chosen()[what]
    return [given["mean"]] if what == "expansion" else [curve().first, curve().second]


def main() -> None:
    """Fit both and write them."""
    for what in ("expansion", "viscosity"):
        data = measured(what)
        fit = Fit(data, settings(what), scale_of(data.shares))
        found = document(fit, means(what), running_settings(what))
        text = json.dumps(found, separators=(",", ":"), allow_nan=False)
        (OUT / f"glass-{what}.json").write_text(text + "\n", encoding="utf-8")
        print(f"{what}: {len(data.shares)} glasses, {len(text) // 1000} kB")


if __name__ == "__main__":
    main()
