"""Our own melt model: a composition in, its `MeltCurve` with the 90 % band out.

A glass outside it goes to a published model that covers it (`fallback.py`).

`data/glass-viscosity.json` is written by `tests/bench/fit_glass_models.py`. The model has two
parts, in 100 °C: the temperature at a middle viscosity, and what lies between log10 4 and 2 Pa·s.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np

from .domain import half_width, place, too_doubtful
from .fallback import melt_elsewhere
from .fitted import Doubt, Fitted, Floats, load
from .melt_curve import Band, Form, MeltCurve

FILE = "glass-viscosity.json"
MODEL = "our fit to measured melts"
SOURCE = (
    "Gaussian process fitted to 1,300 measured melts of the SciGlass database "
    "(ODbL, © 2019 EPAM Systems), data/glass-viscosity.json"
)
LEAST_SECOND = 0.5
"""100 °C; no measured melt takes less than 150 °C from log10 4 to 2, so this only keeps the curve
falling where someone asks far from them."""


def melt_curve(mol: Mapping[str, float]) -> MeltCurve:
    """The curve of a melt in mol %, made once for each composition."""
    return _melt_curve(tuple(mol.items()))


@lru_cache(maxsize=512)
def _melt_curve(shares: tuple[tuple[str, float], ...]) -> MeltCurve:
    model, mol = load(FILE), dict(shares)
    where = place(model, "viscosity", mol)
    if where.reason is not None:
        return melt_elsewhere(mol) or no_curve(where.reason)
    doubt = model.doubt(where.shares)
    curve = curve_of(model, model.means(where.shares)[0], doubt, where.widened)
    half = half_width(model, doubt)
    if (reason := too_doubtful(model, where.shares, half, doubt)) is not None:
        return melt_elsewhere(mol) or no_curve(reason)
    return curve


def curve_of(model: Fitted, means: Floats, doubt: Doubt, widened: float = 0.0) -> MeltCurve:
    """The curve that the two parts make, whatever the domain."""
    settings = model.settings
    form = Form(settings["curve"]["endless"], settings["curve"]["middle"])
    first, second = 100 * float(means[0]), 100 * max(float(means[1]), LEAST_SECOND)
    slope = second / form.unit
    own = np.diag([part.publication + part.glass for part in model.parts])
    return MeltCurve(
        endless=form.endless,
        slope=slope,
        zero=first - slope / (form.middle - form.endless),
        band=Band(
            form=form,
            middle_c=100 * half_width(model, doubt),
            covariance=1e4 * (doubt.covariance + own),
            misfit=100 * settings["misfit"],
            flat=widened,
        ),
        model=MODEL,
        source=SOURCE,
    )


def no_curve(reason: str) -> MeltCurve:
    """No curve, and why: one clause a potter understands."""
    return MeltCurve(0.0, 0.0, 0.0, reason=f"not computed: {reason}")
