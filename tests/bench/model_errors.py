"""How far the glass models lie from measurements, printed: every property, every model.

`python tests/bench/model_errors.py` fits our models anew without the publications of each fold and
predicts those; the published models are measured on the same glasses inside their own ranges. The
band and the domain of a fold are set by the other folds. Ends with 1 if a promised figure is
missed. `--seed N` deals the publications out otherwise, `--by author` by first author; `--nested`
also chooses the settings of each fold's process without its publications (needs scipy; long).
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from clearover.glass.published import expansion_models, viscosity_models
from glass_checks import Check, by_property, ours, trimmed_mean
from glass_data import FOLDS, OXIDES, Glass, with_expansion, with_melt
from glass_unseen import as_in_file, unseen
from search_glass_settings import anew

PROMISED = {
    "expansion": (0.21, 0.29),
    "viscosity at 1200 °C": (0.10, 0.15),
    "viscosity at 1000 °C": (0.17, None),
    "temperature at log10 3": (20.0, None),
}
"""Largest median and trimmed mean of the absolute error inside the domain."""

INSIDE, HELD = 0.80, (0.85, 0.95)


class Line(NamedTuple):
    """One line of the table."""

    property: str
    model: str
    inside: int
    share: float
    median: float
    trimmed: float
    ninetieth: float
    held: float | None
    bias: float


def line(name: str, model: str, found: list[Check], banded: bool = True) -> Line:
    """The figures of one property and model."""
    within = [check for check in found if check.inside]
    errors = np.array([check.error for check in within])
    signed = np.array([check.predicted - check.measured for check in within])
    held = float(np.mean([check.held for check in within])) if banded else None
    return Line(
        name,
        model,
        len(within),
        len(within) / len(found),
        float(np.median(errors)),
        trimmed_mean(errors),
        float(np.quantile(errors, 0.9)),
        held,
        float(np.median(signed)),
    )


def published(what: str) -> Iterable[tuple[str, list[Check]]]:
    """What the published models say, inside where they say anything."""
    if what == "expansion":
        for name, at in expansion_models().items():
            yield (
                name,
                [_check("expansion", g, g.expansion or 0, at(_mol(g))) for g in with_expansion()],
            )
        return
    for name, model in viscosity_models().items():
        found = []
        for glass in with_melt():
            for celsius, level in glass.at_celsius.items():
                value = model(_mol(glass), celsius)
                found.append(_check(f"viscosity at {celsius:g} °C", glass, level, value))
        yield name, found


def _mol(glass: Glass) -> dict[str, float]:
    return dict(zip(OXIDES, glass.shares, strict=True))


def _check(name: str, glass: Glass, real: float, value: float | None) -> Check:
    return Check(name, glass.id, 0, real, value or 0.0, 0.0, value is not None)


def told(row: Line) -> str:
    """A line as it is printed."""
    digits = 1 if row.property.startswith("temperature") else 3
    figures = [row.median, row.trimmed, row.ninetieth, row.bias]
    numbers = " ".join(f"{value:8.{digits}f}" for value in figures)
    held = f"{row.held:6.3f}" if row.held is not None else "     -"
    return f"{row.property:24} {row.model:16} {row.inside:5} {row.share:6.3f} {numbers} {held}"


def missed_promises(row: Line) -> list[str]:
    """What a line of ours promises and does not keep."""
    if row.property not in PROMISED:
        return []
    median, trimmed = PROMISED[row.property]
    faults = []
    if row.median > median:
        faults.append(f"median {row.median:.3f} > {median}")
    if trimmed is not None and row.trimmed > trimmed:
        faults.append(f"trimmed mean {row.trimmed:.3f} > {trimmed}")
    if row.share < INSIDE:
        faults.append(f"only {row.share:.2f} inside the domain")
    if row.held is None or not HELD[0] <= row.held <= HELD[1]:
        faults.append(f"the band holds {row.held}")
    return [f"{row.property}: {fault}" for fault in faults]


HEAD = (
    f"{'property':24} {'model':16} {'n':>5} {'inside':>6} "
    + " ".join(f"{name:>8}" for name in ("median", "trimmed", "90th", "bias"))
    + f" {'band':>6}"
)


def main() -> int:
    """Print the tables; 1 if a promise is not kept."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--by", choices=("publication", "author"), default="publication")
    parser.add_argument("--folds", action="store_true", help="each fold by itself too")
    parser.add_argument("--nested", action="store_true", help="search each fold's settings anew")
    parser.add_argument("--only", choices=("expansion", "viscosity"), help="one model alone")
    asked = parser.parse_args()
    choose = anew if asked.nested else as_in_file
    faults: list[str] = []
    print(HEAD)
    for what in [asked.only] if asked.only else ["expansion", "viscosity"]:
        seen_not = unseen(what, asked.seed, asked.by, choose)
        for name, found in by_property(ours(what, seen_not)).items():
            row = line(name, "ours, unseen", found)
            faults += missed_promises(row)
            print(told(row), flush=True)
            for fold in range(FOLDS if asked.folds else 0):
                own = [check for check in found if check.fold == fold]
                print(told(line(name, f"  fold {fold + 1}", own)))
        for model, found in published(what):
            for name, every in by_property(found).items():
                if any(check.inside for check in every):
                    print(told(line(name, model, every, banded=False)), flush=True)
    print("\n".join(faults) or "every promise kept")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
