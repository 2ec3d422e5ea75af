"""A formula as somebody types it, `K2O 0.3, CaO 0.7, Al2O3 0.5, SiO2 4.0`: text in, amounts out.

Amount or oxide first, commas, semicolons or nothing between: what books and people write. Every
fault is told at once. Knows nothing of materials.
"""

from __future__ import annotations

import math
import re

from ..suggest import hint
from .oxides import find_oxide, oxides

MOST = 1e6
"""The largest amount of one oxide; our own limit, as for the parts of a recipe."""

_TOKEN = re.compile(
    r"(?P<number>[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)"
    r"|(?P<word>[^\W\d_][\w₀-₉]*)|(?P<other>\S)"
)


class AmountsFault(ValueError):
    """A formula that cannot be used. `faults` says everything that is wrong, a clause each."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__("; ".join(faults))
        self.faults = faults


def read_amounts(text: str) -> dict[str, float]:
    """Oxide -> amount, in the order written. Raises `AmountsFault` with all that is wrong."""
    pairs, faults = _pairs(text)
    found: dict[str, float] = {}
    for name, number in pairs:
        oxide = find_oxide(name)
        amount = float(number)
        if oxide is None:
            faults.append(_unknown(name))
        elif oxide.role == "loss":
            faults.append(f"{oxide.name} leaves in the fire: leave it out")
        elif not math.isfinite(amount) or amount > MOST:
            faults.append(f"{number} {oxide.name} is more than anybody can weigh")
        elif amount < 0:
            faults.append(f"{oxide.name} is negative: {number}")
        elif oxide.name in found:
            faults.append(f"{oxide.name} is there twice")
        else:
            found[oxide.name] = amount
    if not faults and not any(found.values()):
        faults.append("it names no oxide with an amount; write it like K2O 0.3, CaO 0.7, SiO2 4")
    if faults:
        raise AmountsFault(faults)
    return {name: amount for name, amount in found.items() if amount > 0}


def _unknown(name: str) -> str:
    if name.casefold() in ("knao", "nako", "r2o", "ro", "r2o3", "ro2"):
        return f"“{name}” stands for several oxides: write each, like K2O and Na2O"
    return f"“{name}” is no oxide known here{hint(name, oxides())}"


def _pairs(text: str) -> tuple[list[tuple[str, str]], list[str]]:
    """(oxide, number) as written, and what does not pair."""
    # A comma between two digits marks decimals; any other parts two oxides.
    plain = re.sub(r"(?<=\d),(?=\d)", ".", text.strip())
    tokens = [
        (str(match.lastgroup), match[0])
        for match in _TOKEN.finditer(re.sub(r"[,;:=·|\n]", " ", plain))
    ]
    faults = [f"“{part}” does not belong in a formula" for kind, part in tokens if kind == "other"]
    kept = [token for token in tokens if token[0] != "other"]
    pairs = []
    while kept:
        first, second = kept[0], kept[1] if len(kept) > 1 else ("end", "")
        if {first[0], second[0]} == {"number", "word"}:
            pair = {first[0]: first[1], second[0]: second[1]}
            pairs.append((pair["word"], pair["number"]))
            kept = kept[2:]
        else:
            lacks = "no oxide" if first[0] == "number" else "no amount"
            faults.append(f"“{first[1]}” has {lacks} beside it")
            kept = kept[1:]
    return pairs, faults
