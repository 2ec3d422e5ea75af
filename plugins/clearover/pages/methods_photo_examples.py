"""Worked examples of what is read from a photo: straightening, balance, contrast, drag.

In: made-up corners, a made-up card, camera and line. Out: `Example`s. Every step is reckoned here
once more, by the formulas of the page and without the program's own code for it (a test holds the
two together). See `methods_examples`; colours alone are in `methods_colour_examples`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache

import numpy as np
from numpy.typing import NDArray

from ..colour import ciede2000
from ..colour.srgb import lab_to_light, light_to_lab
from ..measuring.chart import GREY, published
from ..measuring.limits import limit
from ..tables import rows
from .methods_worked import Example, exact, number

Floats = NDArray[np.float64]
CORNERS = ((102.0, 88.0), (1904.0, 96.0), (1911.0, 1498.0), (95.0, 1490.0))
GRID_MM = (84.0, 66.0)
POINT = (1000.0, 800.0)
"""Made-up corners of a grid in a photo, px, its size, and a point of the photo."""
CARD, REFLECTANCE, CELL = (124, 118, 103), 0.18, (152, 121, 84)
"""A card and a cell as a phone may show them, sRGB codes."""
LIGHT_CELL, DARK_CELL = (82.0, 0.0, 0.010), (79.0, 0.15, 0.012)
"""L*, share left out as glare, unevenness of its parts: a colour over light and over dark slip."""
COATS = {1: 0.62, 2: 0.86, 3: 0.95}
UPPER_PX, LOWER_PX, BLUR_PX, PX_PER_MM = 4.0, 21.0, 1.8, 10.0
"""The 10 to 90 % ways of a line's two edges as seen, and the camera's own."""
NINETY = 1.645


def _straighten() -> Example:
    target = ((0.0, 0.0), (GRID_MM[0], 0.0), GRID_MM, (0.0, GRID_MM[1]))
    system, wanted = [], []
    for (x, y), (u, v) in zip(CORNERS, target, strict=True):
        system += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        wanted += [u, v]
    h = [float(value) for value in np.linalg.solve(np.array(system), np.array(wanted))]
    x, y = POINT
    across, down, depth = (
        h[0] * x + h[1] * y + h[2],
        h[3] * x + h[4] * y + h[5],
        h[6] * x + h[7] * y + 1,
    )
    table = [
        (f"{exact(px)}, {exact(py)}", f"{exact(u)}, {exact(v)}")
        for (px, py), (u, v) in zip(CORNERS, target, strict=True)
    ]
    lines = (
        f"Eight equations give the eight figures of the map: x {number(h[0], 6)}, {number(h[1], 6)}"
        f", {number(h[2], 4)}; y {number(h[3], 6)}, {number(h[4], 6)}, {number(h[5], 4)}; depth "
        f"{1e6 * h[6]:.3f} × 10⁻⁶, {1e6 * h[7]:.3f} × 10⁻⁶, 1.".replace("-", "−"),
        f"The point {exact(x)}, {exact(y)}: {number(across, 3)} ÷ {number(depth, 5)} = "
        f"{number(across / depth)} mm from the left, {number(down, 3)} ÷ {number(depth, 5)} = "
        f"{number(down / depth)} mm from the top.",
    )
    return Example(
        ("corner in the photo, px", "on the tile, mm"), tuple(table), lines, across / depth
    )


def _linear(code: int) -> float:
    share = code / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def _card() -> Example:
    table, gains, balanced = [], [], []
    for name, card, cell in zip(("red", "green", "blue"), CARD, CELL, strict=True):
        gain = REFLECTANCE / _linear(card)
        gains.append(gain)
        balanced.append(gain * _linear(cell))
        table.append(
            (
                name,
                str(card),
                number(_linear(card), 4),
                number(gain, 3),
                str(cell),
                number(_linear(cell), 4),
                number(balanced[-1], 4),
            )
        )
    light, a, b = (number(float(part), 1) for part in light_to_lab(balanced))
    columns = ("channel", "card", "linear", "factor", "cell", "linear", "balanced")
    lines = (
        f"Factor: {exact(REFLECTANCE)} ÷ the card's linear light. A code c is linear light "
        "((c ÷ 255 + 0.055) ÷ 1.055)^2.4.",
        f"The balanced cell has L* {light}, a* {a}, b* {b}.",
    )
    return Example(columns, tuple(table), lines, gains[2])


@cache
def camera() -> Floats:
    """What a made-up camera sees of the chart: its channels mixed, and each patch 3 % off by a
    fixed rule, linear."""
    mixed = lab_to_light(published()) @ np.array(
        [[0.72, 0.10, 0.02], [0.24, 0.80, 0.16], [0.02, 0.09, 0.66]]
    )
    wobble = 1 + 0.03 * np.cos(np.arange(72.0).reshape(24, 3) ** 1.5)
    return np.asarray(np.maximum(mixed, 1e-4) * wobble)


def _chart() -> Example:
    seen, wanted = camera(), published()
    target = lab_to_light(wanted)
    luminance = [max(float(t @ np.array([0.2126, 0.7152, 0.0722])), 1e-3) for t in target]
    weight = np.diag([y ** (-4 / 3) for y in luminance])  # w², for the normal equations
    grey = seen * (target[GREY] / seen[GREY])
    names = [row["name"] for row in rows("colour-chart.csv")]
    errors, table = [], []
    for left_out in range(len(seen)):
        kept = [k for k in range(len(seen)) if k != left_out]
        s, t, w = seen[kept], target[kept], weight[np.ix_(kept, kept)]
        matrix = np.linalg.solve(s.T @ w @ s, s.T @ w @ t)
        lab = light_to_lab(seen[left_out] @ matrix)
        errors.append(float(ciede2000(lab, wanted[left_out])))
        if left_out % 6 == 2:
            told = [", ".join(number(float(v), 1) for v in one) for one in (wanted[left_out], lab)]
            table.append((names[left_out], *told, number(errors[-1], 1)))
    value = float(np.median(errors))
    by_grey = float(np.median(ciede2000(light_to_lab(grey), wanted)))
    lines = (
        "A made-up camera mixes its channels. Each patch is foretold by the 23 others; four are "
        "shown.",
        f"Median over all 24: ΔE {number(value)}. Balanced by one grey patch alone the median is "
        f"{number(by_grey)}, so the {'chart' if value < by_grey else 'grey patch'} is used.",
    )
    columns = ("patch left out", "published L*, a*, b*", "foretold", "ΔE")
    return Example(columns, tuple(table), lines, value)


def _contrast() -> Example:
    field, veil, glare = limit("cover_field"), limit("cover_veil"), limit("cover_veil_glare")
    table, shades = [], []
    for name, (light, left_out, uneven) in (("light", LIGHT_CELL), ("dark", DARK_CELL)):
        y = ((light + 16) / 116) ** 3
        share = (veil + glare * left_out) / y
        unsure = math.sqrt(field**2 + share**2 + uneven**2)
        shades.append((y, unsure))
        figures = (number(y, 4), f"{100 * left_out:.0f} %", number(share, 4), exact(uneven))
        table.append((f"over {name} ground", exact(light), *figures, number(unsure, 4)))
    (over_light, one), (over_dark, other) = shades
    ratio, unsure = over_dark / over_light, math.hypot(one, other)
    factor = math.exp(NINETY * unsure)
    lines = [
        f"C = {number(over_dark, 4)} ÷ {number(over_light, 4)} = {number(ratio, 3)}; unsure by "
        f"√({number(one, 4)}² + {number(other, 4)}²) = {number(unsure, 4)}, so nine of ten lie "
        f"between {number(ratio / factor, 3)} and {number(ratio * factor, 3)}.",
        f"Each is unsure by √({exact(field)}² + veil² + uneven²); the veil is ({exact(veil)} + "
        f"{exact(glare)} × left out) ÷ Y.",
    ]
    coats, logs = list(COATS), [math.log(1 - c) for c in COATS.values()]
    mean_n, mean_l = sum(coats) / len(coats), sum(logs) / len(logs)
    above = sum((n - mean_n) * (value - mean_l) for n, value in zip(coats, logs, strict=True))
    q = -above / sum((n - mean_n) ** 2 for n in coats)
    p, hides = mean_l + q * mean_n, limit("cover_hides")
    needed = (p - math.log(1 - hides)) / q
    lines.append(
        "Ratios of " + ", ".join(f"{exact(c)} at {n}" for n, c in COATS.items()) + " coats give "
        f"p = {number(p, 3)}, q = {number(q, 3)}; 1 − {exact(hides)} is reached at "
        f"{number(needed)}, that is {math.ceil(needed)} coats."
    )
    columns = ("cell", "L*", "Y", "left out", "veil", "uneven", "unsure")
    return Example(columns, tuple(table), tuple(lines), ratio * factor)


def _drag() -> Example:
    table, clean = [], []
    for name, seen in (("upper", UPPER_PX), ("lower", LOWER_PX)):
        clean.append(math.sqrt(seen**2 - BLUR_PX**2) / PX_PER_MM)
        table.append((f"{name} edge", exact(seen), exact(BLUR_PX), number(clean[-1], 3)))
    lines = (
        f"Drag = {number(clean[1], 3)} − {number(clean[0], 3)} = {number(clean[1] - clean[0], 2)} "
        f"mm, at {exact(PX_PER_MM)} px to the mm.",
    )
    columns = ("edge", "10 to 90 % as seen, px", "the camera's, px", "spread, mm")
    return Example(columns, tuple(table), lines, clean[1] - clean[0])


EXAMPLES: dict[str, Callable[[], Example]] = {
    "straighten": _straighten,
    "card-balance": _card,
    "chart-fit": _chart,
    "contrast-ratio": _contrast,
    "drag-measured": _drag,
}
