"""A mineral's formula as the trade writes it: text in, its oxides and what leaves in the fire out.

`Al2Si2O5(OH)4`, `K2O·Al2O3·6SiO2` and `2CaO.3B2O3.5H2O` are read alike. Each element is counted as
the oxide that stays in a fired glaze; water, carbon dioxide, sulphur trioxide, fluorine and spare
oxygen leave. Knows nothing of materials or recipes.

Atomic weights and what each element is counted as: `data/atomic-weights.csv` (IUPAC 2021).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache

from ..tables import rows
from .formula_text import FormulaFault, readings
from .oxides import in_order, oxides

__all__ = ["Element", "Formula", "FormulaFault", "atoms_of", "elements", "read_formula"]

_LEAST = 1e-6
"""Moles of oxygen below which a formula counts as balanced: rounding, not chemistry."""

_HALOGENS = ("F", "Cl")


@dataclass(frozen=True, slots=True)
class Element:
    """One element. `weight` in g/mol; `oxide` it is counted as in a fired glaze, `lower` the one
    with less oxygen where the formula has too little for the first; `spare_oxygen` whether its
    compounds may bring more oxygen than the oxide keeps (MnO2, Co3O4, Pb3O4)."""

    symbol: str
    weight: float
    oxide: str | None
    lower: str | None
    spare_oxygen: bool


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula, read. `atoms` of one formula unit; `molar_mass` in g/mol; `oxides` in moles of
    each oxide that stays, `lost` in moles of what leaves (of fluorine and chlorine atoms, whose
    place oxygen takes)."""

    text: str
    atoms: dict[str, float]
    molar_mass: float
    oxides: dict[str, float]
    lost: dict[str, float]

    def weight_percent(self) -> dict[str, float]:
        """Each oxide that stays, weight per cent of the raw material."""
        return _shares(self.oxides, self.molar_mass)

    def loss_percent(self) -> float:
        """Loss on ignition, weight per cent of the raw material."""
        left = 100 - sum(self.weight_percent().values())
        return left if abs(left) > 1e-9 else 0.0

    def fired_percent(self) -> dict[str, float]:
        """Each oxide, weight per cent of the calcined material."""
        table = oxides()
        stays = sum(moles * table[name].molar_mass for name, moles in self.oxides.items())
        return _shares(self.oxides, stays)


def _shares(moles: Mapping[str, float], whole: float) -> dict[str, float]:
    table = oxides()
    return {name: 100 * n * table[name].molar_mass / whole for name, n in moles.items()}


@cache
def elements() -> dict[str, Element]:
    """Every element by its symbol."""
    return {
        row["element"]: Element(
            row["element"],
            float(row["atomic_weight"]),
            row["counted_as"] or None,
            row["lower_oxide"] or None,
            row["spare_oxygen"] == "yes",
        )
        for row in rows("atomic-weights.csv")
    }


@lru_cache(maxsize=512)
def read_formula(text: str) -> Formula:
    """A formula, read. Raises `FormulaFault` with one clause for a potter where it cannot be.

    A full stop may part two compounds (`Na2B4O7.10H2O`) or stand in a number (`Na1.5K0.5…`): the
    reading whose oxygen fits its oxides is taken, a parting one first.
    """
    faults: list[FormulaFault] = []
    found: list[tuple[float, Formula]] = []
    for atoms in readings(text, frozenset(elements())):
        try:
            found.append(_counted(text.strip(), atoms))
        except FormulaFault as fault:
            faults.append(fault)
    if not found:
        raise faults[0]
    # `min` keeps the first of equals: the reading the trade means where both would do.
    return min(found, key=lambda each: round(each[0], 6))[1]


def atoms_of(oxide: str) -> dict[str, float]:
    """The atoms of a plain formula such as an oxide's name."""
    return next(iter(readings(oxide, frozenset(elements()))))


@cache
def _oxygen_per_atom(oxide: str, symbol: str) -> float:
    """How many atoms of oxygen an oxide holds for each atom of its element."""
    atoms = atoms_of(oxide)
    return atoms["O"] / atoms[symbol]


@cache
def _atoms_in(oxide: str, symbol: str) -> float:
    return atoms_of(oxide)[symbol]


def _counted(text: str, atoms: dict[str, float]) -> tuple[float, Formula]:
    """The formula and its spare oxygen, the measure of how well a reading fits."""
    kept = {symbol: n for symbol, n in atoms.items() if symbol != "O" and n > 0}
    for symbol in kept:
        if symbol not in _HALOGENS and elements()[symbol].oxide is None:
            raise FormulaFault(f"{symbol} is not counted in any glaze oxide")
    need = sum(n * _needs(symbol) for symbol, n in kept.items())
    spare = atoms.get("O", 0.0) - need
    lowered: dict[str, float] = {}
    if spare < -_LEAST:
        spare = _lower(kept, spare, lowered)
    if spare < -_LEAST:
        raise FormulaFault(_too_little(text))
    if spare > _LEAST and not any(elements()[symbol].spare_oxygen for symbol in kept):
        raise FormulaFault("it holds more oxygen than its oxides have: is a number wrong?")
    stays, lost = _sorted(kept, lowered)
    if spare > _LEAST:
        lost["O2"] = spare / 2
    if not stays:
        raise FormulaFault("nothing of it stays in the fire")
    mass = sum(elements()[symbol].weight * n for symbol, n in atoms.items())
    return max(spare, 0.0), Formula(text, atoms, mass, in_order(stays), lost)


def _needs(symbol: str) -> float:
    """Oxygen atoms an atom needs to be an oxide; a halogen gives half of one room."""
    if symbol in _HALOGENS:
        return -0.5
    oxide = elements()[symbol].oxide
    return _oxygen_per_atom(oxide, symbol) if oxide else 0.0


def _lower(kept: Mapping[str, float], spare: float, lowered: dict[str, float]) -> float:
    """Count atoms as their lower oxide until the oxygen suffices; what is still lacking."""
    for symbol, count in kept.items():
        element = elements()[symbol]
        if element.lower is None or element.oxide is None or spare >= -_LEAST:
            continue
        saved = _oxygen_per_atom(element.oxide, symbol) - _oxygen_per_atom(element.lower, symbol)
        lowered[symbol] = min(count, -spare / saved)
        spare += lowered[symbol] * saved
    return spare


def _sorted(
    kept: Mapping[str, float], lowered: Mapping[str, float]
) -> tuple[dict[str, float], dict[str, float]]:
    """Moles of the oxides that stay, and of what leaves."""
    stays: dict[str, float] = {}
    lost: dict[str, float] = {}
    for symbol, count in kept.items():
        element = elements()[symbol]
        if symbol in _HALOGENS:
            lost[symbol] = count
            continue
        low = lowered.get(symbol, 0.0)
        for oxide, atoms in ((element.oxide, count - low), (element.lower, low)):
            if oxide is not None and atoms > _LEAST:
                to = lost if oxides()[oxide].role == "loss" else stays
                to[oxide] = to.get(oxide, 0.0) + atoms / _atoms_in(oxide, symbol)
    return stays, lost


def _too_little(text: str) -> str:
    if "O" not in text and "0" in text:
        return "it has no oxygen: is a zero written for the letter O?"
    return "it holds too little oxygen to be made of oxides, carbonates, hydrates or fluorides"
