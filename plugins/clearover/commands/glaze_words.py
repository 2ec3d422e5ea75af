"""What the numbers of a clear mean, in a potter's words: a report in, sentences out.

Whether it runs, whether the heat suffices, how it fits a body. Limits stand in
`data/smooth-melts.csv` and `data/crazing-limits.csv` with their sources.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from ..glass.crystals import CRYSTALLINE
from ..tables import rows


def band(found: dict[str, Any], digits: int) -> str:
    """`5.4 (4.8 to 6.1)`."""
    return f"{found['value']:.{digits}f} ({found['low']:.{digits}f} to {found['high']:.{digits}f})"


def runs(report: dict[str, Any]) -> str:
    """Whether and how far it runs."""
    run, drag = report["surface_run_mm"], report["line_drag_mm"]
    if run["value"] is None or drag["value"] is None:
        return str(report["movement_reason"] or run["reason"] or drag["reason"])
    word, likely = report["movement_word"], report["movement_likely"]
    sure = f", most likely {likely}" if likely and likely != word else ""
    return (
        f"{word}{sure}: the surface runs {_mm(run)}, a line under it is dragged {_mm(drag)}, on "
        "an upright piece with the usual coats"
    )


def _mm(found: dict[str, Any]) -> str:
    low, high = (_length(found[key]) for key in ("low", "high"))
    return f"{_length(found['value'])} mm ({low} to {high})"


def _length(mm: float) -> str:
    """Two figures, never an exponent."""
    return f"{mm:.0f}" if mm >= 10 else f"{mm:.1f}" if mm >= 1 else f"{mm:.2f}"


@cache
def smooth() -> tuple[float, float]:
    """log10 Pa·s at its peak between which a glossy glaze smooths out and stays on the piece."""
    found = {row["limit"]: float(row["log10_pa_s"]) for row in rows("smooth-melts.csv")}
    return found["runs below"], found["rough above"]


def melts(report: dict[str, Any]) -> str:
    """Whether the melt is thin enough at this heat to smooth out."""
    stiff, at = report["viscosity_log10_pa_s"], report["temperature_c"]
    if stiff["value"] is None:
        return str(stiff["reason"])
    told = f"at {at:.0f} °C the viscosity is log10 {band(stiff, 1)} Pa·s"
    if report["surface"] in CRYSTALLINE:
        return f"{told}, before crystals grow in it"
    low, high = smooth()
    if stiff["low"] > high:
        word = "no, too stiff to smooth out"
    elif stiff["high"] < low:
        word = "more than hot enough, thin enough to run off"
    elif low <= stiff["low"] and stiff["high"] <= high:
        word = "yes, it smooths out and stays on the piece"
    elif low <= stiff["value"] <= high:
        word = "most likely"
    else:
        word = "doubtful" if stiff["value"] > high else "yes, perhaps too hot"
    return f"{word}: {told}"


def expands(report: dict[str, Any]) -> str:
    """The expansion, and what the difference to a body's means."""
    found = report["expansion_1e6_per_k"]
    if found["value"] is None:
        return str(found["reason"])
    margin = next(row for row in rows("crazing-limits.csv") if row["name"] == "crazing")
    return (
        f"{band(found, 1)} × 10⁻⁶/K. It should lie {float(margin['low']):g} to "
        f"{float(margin['high']):g} below the body's: nearer or above it crazes, far below it "
        "shivers"
    )


def fits(report: dict[str, Any]) -> str:
    """How it fits each body here: bodies of one word together."""
    alike: dict[str, list[str]] = {}
    for risk in report["craze_risk"]:
        alike.setdefault(risk["word"], []).append(risk["name"])
    said = {"unlikely": "neither crazing nor shivering likely", "cannot tell": "cannot tell"}
    return "; ".join(f"{said.get(word, word)}: {', '.join(of)}" for word, of in alike.items())
