"""How much of an oxide a rule asks for, and whether a clear has it.

In: conditions as the rule file writes them (`unity ZnO: 0.05..0.2`, `weight CaO: 8..`) and a
clear's composition. Out: which of them it meets. Knows nothing of pigments or cones.

`unity` is moles for one mole of flux (the Seger formula), `weight` is weight per cent of the fired
glass. A span holds its lower end and not its upper, so that two that meet leave no gap.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from ..tables import nearest
from .oxides import find_oxide, oxides
from .results import ClearChemistry

MEASURES = ("unity", "weight")
ALKALI = ("Li2O", "Na2O", "K2O")
NAMES = {
    "ZnO": "zinc", "CaO": "lime", "MgO": "magnesia", "B2O3": "boron", "Al2O3": "alumina",
    "SiO2": "silica", "Na2O": "soda", "K2O": "potash", "Li2O": "lithia", "BaO": "barium",
    "SrO": "strontium", "PbO": "lead", "SnO2": "tin", "ZrO2": "zirconia", "TiO2": "titania",
}  # fmt: skip
"""Oxides as potters call them."""
INFINITE = float("inf")


class Amount(NamedTuple):
    """What is counted: `unity` or `weight`, of one oxide or several together."""

    measure: str
    oxides: tuple[str, ...]

    @property
    def called(self) -> str:
        """What it is in potters' words: `zinc`, `alkali`, `lime and magnesia`."""
        if self.oxides == ALKALI:
            return "alkali"
        return " and ".join(NAMES.get(oxide, oxide) for oxide in self.oxides)


class Span(NamedTuple):
    """From `low` on, under `high`."""

    low: float
    high: float

    def holds(self, amount: float) -> bool:
        """Whether an amount lies in it."""
        return self.low <= amount < self.high


class Asked(NamedTuple):
    """One condition on an amount."""

    amount: Amount
    span: Span


class Met(NamedTuple):
    """Which conditions of a rule book one clear meets, by weight and by unity formula.

    None where the composition, or the formula, was not computed.
    """

    by_weight: frozenset[Asked] | None
    by_unity: frozenset[Asked] | None

    def says(self, asked: Asked) -> bool | None:
        """Whether the clear meets it; None where nothing was computed."""
        found = self.by_unity if asked.amount.measure == "unity" else self.by_weight
        return None if found is None else asked in found


NOTHING_COMPUTED = Met(None, None)


def is_amount(key: str) -> bool:
    """Whether a condition's name speaks of an amount."""
    return key.split(" ", 1)[0] in MEASURES


def parse_amount(key: str) -> Amount:
    """`unity ZnO`, `weight Na2O + K2O`, `unity alkali`. Raises ValueError saying what is right."""
    measure, _, listed = key.partition(" ")
    if listed.strip() == "alkali":
        return Amount(measure, ALKALI)
    named = []
    for written in listed.split("+"):
        found = find_oxide(written.strip())
        if found is None:
            meant = nearest(written, oxides())
            hint = f"did you mean “{meant}”?" if meant else "write a formula like ZnO, or alkali"
            raise ValueError(f"“{written.strip()}” is no oxide of oxides.csv; {hint}")
        named.append(found.name)
    return Amount(measure, tuple(named))


def parse_span(text: object) -> Span:
    """`0.05..0.2`, `8..`, `..0.3`. Raises ValueError saying what is right."""
    low, dots, high = str(text).partition("..")
    try:
        if not dots or not (low.strip() or high.strip()):
            raise ValueError
        span = Span(float(low or 0), float(high) if high.strip() else INFINITE)
    except ValueError:
        raise ValueError("write an amount as a span, like 0.05..0.2, 8.. or ..0.3") from None
    if not 0 <= span.low < span.high:
        raise ValueError("the span must rise, and begin at nought or above")
    return span


def how_much(amount: Amount, chem: ClearChemistry) -> float | None:
    """Moles for one of flux, or weight per cent; None where it was not computed."""
    held = chem.unity if amount.measure == "unity" else chem.oxides_weight_percent
    return None if held is None else sum(held.get(oxide, 0.0) for oxide in amount.oxides)


def met_by(chem: ClearChemistry | None, asked: tuple[Asked, ...]) -> Met:
    """Which of these conditions a clear meets. Worked out once for each clear."""
    if chem is None or (chem.oxides_weight_percent is None and chem.unity is None):
        return NOTHING_COMPUTED
    return _met_by(_Same(chem), asked)


@lru_cache(maxsize=2048)
def _met_by(same: _Same, asked: tuple[Asked, ...]) -> Met:
    return Met(*(_met(same.chem, asked, measure) for measure in ("weight", "unity")))


def _met(chem: ClearChemistry, asked: Iterable[Asked], measure: str) -> frozenset[Asked] | None:
    held = chem.unity if measure == "unity" else chem.oxides_weight_percent
    if held is None:
        return None
    return frozenset(
        one
        for one in asked
        if one.amount.measure == measure
        and one.span.holds(sum(held.get(oxide, 0.0) for oxide in one.amount.oxides))
    )


class _Same:
    """A clear's chemistry as a key: it holds dictionaries, so it is known by being the same one."""

    __slots__ = ("chem",)

    def __init__(self, chem: ClearChemistry) -> None:
        self.chem = chem

    def __hash__(self) -> int:
        return id(self.chem)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.chem is self.chem


def in_words(asked: Asked) -> str:
    """`zinc 1 weight % or more`, `alkali under 0.4 of the flux`, `lime 6 to 8 weight %`."""
    (amount, span) = asked
    unit = " to one of flux" if amount.measure == "unity" else " weight %"
    if amount.measure == "unity" and set(amount.oxides) <= _fluxes():
        unit = " of the flux"
    if span.high == INFINITE:
        return f"{amount.called} {span.low:g}{unit} or more"
    if span.low == 0:
        return f"{amount.called} under {span.high:g}{unit}"
    return f"{amount.called} {span.low:g} to {span.high:g}{unit}"


@lru_cache(maxsize=1)
def _fluxes() -> frozenset[str]:
    return frozenset(name for name, oxide in oxides().items() if oxide.role == "flux")
