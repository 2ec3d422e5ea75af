"""Fit the glass models and write the files that the running code reads.

`python tests/bench/fit_glass_models.py` reads the measured glasses and the settings
(`data/glass-settings.json`), predicts every glass without its publication to set the bands and the
domain, fits once more to all glasses, and writes into `plugins/clearover/data/`:
`glass-expansion.json`, `glass-viscosity.json`, `glass-fallback-errors.csv` (how far the published
models lie from the measurements inside their own range) and `glass-checks.csv` (what the models
said of glasses they had not seen, thinned for plots) and `glass-errors.csv` (how far off they were
of all of them). For the tests it writes beside the glasses
`data/unseen-glasses.csv` (all of that, for the promised figures) and `data/exact-predictions.csv`.
Needs numpy only; a few minutes.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import numpy as np
from clearover.glass.published import expansion_models, viscosity_models
from glass_checks import ours, plotted, recorded, summed_up
from glass_data import DATA, OXIDES, Glass, with_expansion, with_melt
from glass_unseen import (
    band_of,
    constants,
    domain_of,
    everything,
    fitted,
    measured,
    misses,
    process,
    unseen,
)

OUT = Path(__file__).resolve().parents[2] / "plugins" / "clearover" / "data"
FALLBACKS = {"expansion": ("Appen",), "viscosity": tuple(viscosity_models())}
PROMISED = (
    "expansion",
    "viscosity at 1000 °C",
    "viscosity at 1200 °C",
    "temperature at log10 3",
)
EVERY = 40
"""Of so many glasses one is kept with what the fit says of it."""
FEWEST = 20
"""A published model serves where its error was measured on so many glasses at least."""

SOURCE = (
    "{model}; its error measured here on {count} glasses of the SciGlass database "
    "(ODbL, © 2019 EPAM Systems) inside the model's range"
)


def fallback_rows() -> list[dict[str, Any]]:
    """How far measured glasses lie from each published model that serves where ours does not."""
    found = []
    for quantity, names in FALLBACKS.items():
        for name in names:
            errors, glasses = _errors(quantity, name)
            if glasses < FEWEST:
                continue
            shift = float(np.median(errors))
            half = float(np.quantile(np.abs(errors - shift), 0.9))
            source = SOURCE.format(model=name, count=glasses)
            row = {"property": quantity, "model": name, "shift": f"{shift:.3f}"}
            found.append(row | {"half_90": f"{half:.3f}", "glasses": glasses, "source": source})
    return found


def _errors(quantity: str, name: str) -> tuple[np.ndarray, int]:
    """Measured less computed, and how many glasses that is from."""
    errors, glasses = [], 0
    for glass in with_expansion() if quantity == "expansion" else with_melt():
        own = list(_glass_errors(quantity, name, glass))
        errors += own
        glasses += bool(own)
    return np.array(errors), glasses


def _glass_errors(quantity: str, name: str, glass: Glass) -> list[float]:
    mol = dict(zip(OXIDES, glass.shares, strict=True))
    if quantity == "expansion":
        value = expansion_models()[name](mol)
        return [] if value is None or glass.expansion is None else [glass.expansion - value]
    model = viscosity_models()[name]
    told = [(level, model(mol, celsius)) for celsius, level in glass.at_celsius.items()]
    return [level - value for level, value in told if value is not None]


def write_rows(path: Path, rows: list[dict[str, Any]]) -> None:
    """A table."""
    with path.open("w", encoding="utf-8", newline="") as lines:
        table = csv.DictWriter(lines, list(rows[0]), lineterminator="\n")
        table.writeheader()
        table.writerows(rows)


def exact_rows() -> list[dict[str, Any]]:
    """What the fits to all glasses say of some of them, straight from the fit, unrounded."""
    rows = []
    for what in ("expansion", "viscosity"):
        found, data, _ = measured(what)
        fit = process(what, np.ones(len(found), dtype=bool))
        for k in range(0, len(found), EVERY):
            row = {"property": what, "glass": found[k].id}
            means = fit.means(data.shares[k : k + 1])[0] + constants(what)
            rows.append(row | {"first": f"{means[0]:.5f}", "second": f"{means[-1]:.5f}"})
    return rows


def main() -> None:
    """Fit both and write everything."""
    plots, unseen_rows = [], []
    for what in ("expansion", "viscosity"):
        told = unseen(what)
        band = band_of(misses(what, told), told)
        domain = domain_of(what, told, band)
        text = json.dumps(fitted(what, everything(what), band, domain), separators=(",", ":"))
        (OUT / f"glass-{what}.json").write_text(text + "\n", encoding="utf-8")
        found = ours(what, told)
        plots += plotted(found)
        unseen_rows += recorded(found, PROMISED)
        print(f"{what}: {len(told)} glasses, {len(text) // 1000} kB, {band}, {domain}")
    write_rows(OUT / "glass-fallback-errors.csv", fallback_rows())
    write_rows(OUT / "glass-checks.csv", plots)
    write_rows(OUT / "glass-errors.csv", summed_up(unseen_rows))
    write_rows(DATA / "unseen-glasses.csv", unseen_rows)
    write_rows(DATA / "exact-predictions.csv", exact_rows())


if __name__ == "__main__":
    main()
