"""Worked examples of colours and eyes: a difference, its word, wetting.

In: a published pair, made-up colours. Out: `Example`s, reckoned here once more by the formulas of
the page. See `methods_examples`.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from ..colour import ciede2000
from ..colour.srgb import lab_to_light, light_to_lab
from ..measuring.wetting import INDEX_MOST, VEIL_MOST
from ..tables import rows
from .methods_worked import Example, exact, number

Lab = tuple[float, float, float]
PAIR: tuple[Lab, Lab] = ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485))
"""The first pair of Sharma, Wu and Dalal 2005, table 1; published as 2.0425."""
PUBLISHED = 2.0425
DIFFERENCES, NOISE = (0.5, 1.2, 2.4, 7.0), 1.3
BARE: Lab = (62.0, -18.0, 16.0)
GLAZED: Lab = (49.0, -22.0, 20.0)
"""A bare green, and the same under a clear (made up)."""
INDICES, VEILS = 26, 9


def _difference() -> Example:
    (l1, a1, b1), (l2, a2, b2) = PAIR
    mean7 = ((math.hypot(a1, b1) + math.hypot(a2, b2)) / 2) ** 7
    g = 0.5 * (1 - math.sqrt(mean7 / (mean7 + 25**7)))
    a1, a2 = a1 * (1 + g), a2 * (1 + g)
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = (math.degrees(math.atan2(b, a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    dl, dc = l2 - l1, c2 - c1
    dh = 2 * math.sqrt(c1 * c2) * math.sin(math.radians((h2 - h1) / 2))
    light, chroma, hue = (l1 + l2) / 2, (c1 + c2) / 2, (h1 + h2) / 2
    t = 1 - sum(
        share * math.cos(math.radians(times * hue + turn))
        for share, times, turn in ((0.17, 1, -30), (-0.24, 2, 0), (-0.32, 3, 6), (0.20, 4, -63))
    )
    sl = 1 + 0.015 * (light - 50) ** 2 / math.sqrt(20 + (light - 50) ** 2)
    sc, sh = 1 + 0.045 * chroma, 1 + 0.015 * chroma * t
    turned = 60 * math.exp(-(((hue - 275) / 25) ** 2))
    rt = -2 * math.sqrt(chroma**7 / (chroma**7 + 25**7)) * math.sin(math.radians(turned))
    value = math.sqrt((dl / sl) ** 2 + (dc / sc) ** 2 + (dh / sh) ** 2 + rt * (dc / sc) * (dh / sh))
    table = [
        (name, *(number(part, 4) for part in (*lab, c, h)))
        for name, lab, c, h in (("first", PAIR[0], c1, h1), ("second", PAIR[1], c2, h2))
    ]
    lines = (
        f"Greys are stretched by G = {number(g, 5)}: a' = (1 + G) a.",
        f"ΔL = {number(dl, 4)}, ΔC = {number(dc, 4)}, ΔH = {number(dh, 4)}; S_L = "
        f"{number(sl, 4)}, S_C = {number(sc, 4)}, S_H = {number(sh, 4)}, R_T = {number(rt, 4)}.",
        f"ΔE₀₀ = {number(value, 4)}; published {exact(PUBLISHED)}.",
    )
    return Example(("colour", "L*", "a*", "b*", "C'", "h', °"), tuple(table), lines, value)


def _seen() -> Example:
    limits = sorted((float(r["from_delta_e00"]), r["word"]) for r in rows("seeing-limits.csv"))

    def word(delta: float) -> str:
        return [said for start, said in limits if delta >= start][-1]

    table = [
        (exact(delta), word(delta), limits[0][1] if delta <= NOISE else word(delta))
        for delta in DIFFERENCES
    ]
    starts = ", ".join(f"{said} from {exact(start)}" for start, said in limits[1:])
    lines = (
        f"By the table: {starts}.",
        f"A photo whose noise is {exact(NOISE)} cannot show less than that.",
    )
    columns = ("ΔE", "two fields side by side", f"in a photo with noise {exact(NOISE)}")
    return Example(columns, tuple(table), lines)


def _wetting() -> Example:
    bare = lab_to_light(BARE)
    nearest, least, table = (1.0, 0.0), math.inf, []
    for at in range(VEILS):
        veil = VEIL_MOST * at / (VEILS - 1)
        share = (bare - veil) / (1 - veil)
        for step in range(INDICES):
            n = 1 + (INDEX_MOST - 1) * step / (INDICES - 1)
            lab = light_to_lab(share / (n**2 * (1 - share) + share))
            delta = float(ciede2000(lab, GLAZED))
            if delta < least:
                nearest, least = (n, veil), delta
            if at % 4 == 0 and step % 5 == 0:
                told = (number(float(v), 1) for v in lab)
                table.append((number(veil, 2), number(n, 2), *told, number(delta)))
    red, green, blue = (number(float(v), 4) for v in bare)
    seen = ", ".join(number(v, 0) for v in GLAZED)
    lines = (
        f"The bare colour reflects {red} of red, {green} of green, {blue} of blue; under the clear "
        f"it was seen as {seen}.",
        f"Of all, v {number(nearest[1], 3)} and n {number(nearest[0], 2)} come nearest: "
        f"ΔE {number(least)} is left, against "
        f"{number(float(np.asarray(ciede2000(BARE, GLAZED))))} without wetting.",
    )
    return Example(("v", "n", "L*", "a*", "b*", "ΔE to what was seen"), tuple(table), lines, least)


EXAMPLES: dict[str, Callable[[], Example]] = {
    "ciede2000": _difference,
    "seeing-limits": _seen,
    "wetting": _wetting,
}
