"""Raw materials: a name as a potter writes it in, its analysis out.

The book comes with the materials of the trade (`data/materials.csv`: ideal analyses are computed
from the formula there, typical ones are from memory and marked so). A studio's own materials are
put on top: their names and aliases win. “Calcined” before a known name means that material without
its loss. Knows nothing of recipes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from ..records.models import Material
from ..tables import nearest, plain, rows
from .formula import FormulaFault, read_formula
from .oxides import find_oxide, oxides, percent

LOSS_NAMES = frozenset({"loss", "loi", "l o i", "loss on ignition", "ignition loss"})
CALCINED = ("calcined", "burnt")
"""Words for a material that has already lost what it loses in the fire. Source: common practice."""


@dataclass(frozen=True, slots=True)
class RawMaterial:
    """One material. `oxides` are weight per cent of the raw material, `loss` what leaves in the
    fire (weight per cent), None where nobody said. `analysis`: ideal, typical or studio.
    `strange` lists names in the analysis that are no oxide known here. `formula` is what a mole of
    it means and `molar_mass` what that weighs (g/mol); a rock has neither."""

    name: str
    also: tuple[str, ...]
    oxides: dict[str, float]
    loss: float | None
    analysis: str
    source: str
    note: str = ""
    strange: tuple[str, ...] = ()
    formula: str | None = None
    molar_mass: float | None = None

    def calcined(self) -> RawMaterial | None:
        """The same without its loss, or None where nothing of it stays. A mole of it is the mole
        it was made from."""
        fired = percent(self.oxides)
        if fired is None or self.strange:
            return None
        stays = sum(self.oxides.values()) / 100
        mole = None if self.molar_mass is None else self.molar_mass * stays
        return replace(
            self, name=f"calcined {self.name}", also=(), oxides=fired, loss=0.0, molar_mass=mole
        )


@dataclass(frozen=True, slots=True)
class Analysis:
    """An analysis sorted out: oxides and loss in weight per cent, names that are neither."""

    oxides: dict[str, float]
    loss: float | None
    strange: tuple[str, ...]


def sort_out(analysis: Mapping[str, float]) -> Analysis:
    """An analysis as written -> oxides, loss (H2O, CO2, SO3 and F count as loss) and strangers."""
    found: dict[str, float] = {}
    loss: float | None = None
    strange = []
    for written, amount in analysis.items():
        oxide = find_oxide(written)
        if plain(written) in LOSS_NAMES or (oxide is not None and oxide.role == "loss"):
            loss = (loss or 0.0) + amount
        elif oxide is None:
            strange.append(written)
        else:
            found[oxide.name] = found.get(oxide.name, 0.0) + amount
    return Analysis(found, loss, tuple(strange))


class MaterialBook:
    """Materials by any of their names. Case, hyphens and spacing do not matter."""

    def __init__(self, materials: Iterable[RawMaterial]) -> None:
        """Later materials win over earlier ones; a name always wins over an alias."""
        self.materials = tuple(materials)
        self._names: dict[str, RawMaterial] = {}
        own_names: dict[str, RawMaterial] = {}
        for material in self.materials:
            for alias in material.also:
                self._names[plain(alias)] = material
            # A studio's alias beats the trade's name; inside one book a name beats an alias.
            if material.analysis == "studio":
                for alias in material.also:
                    own_names.pop(plain(alias), None)
            own_names[plain(material.name)] = material
        self._names.update(own_names)

    @classmethod
    def with_studio(cls, materials: Iterable[Material]) -> MaterialBook:
        """The trade's materials with a studio's own on top."""
        own = tuple(_from_record(material) for material in materials)
        return cls((*trade_materials(), *own)) if own else _trade_book()

    def find(self, name: str) -> RawMaterial | None:
        """The material of this name or alias, or of this name calcined; None for a strange one."""
        word = plain(name)
        found = self._names.get(word)
        if found is None and (raw := _before_calcining(word)) and raw in self._names:
            found = self._names[word] = self._names[raw].calcined() or self._names[raw]
        return found

    def suggest(self, name: str) -> str | None:
        """The known name most like an unknown one, or None."""
        written = (alias for m in self.materials for alias in (*m.also, m.name))
        return nearest(name, written)


def _before_calcining(word: str) -> str | None:
    """`kaolin` for `calcined kaolin` and `kaolin calcined`; None where neither is meant."""
    for calcined in CALCINED:
        if word.startswith(f"{calcined} ") or word.endswith(f" {calcined}"):
            return word.removeprefix(f"{calcined} ").removesuffix(f" {calcined}")
    return None


def _from_record(material: Material) -> RawMaterial:
    own: dict[str, Any] = {
        "name": material.name,
        "also": (*material.also, material.id),
        "analysis": "studio",
        "source": material.source or "the studio's own record",
    }
    if material.formula is not None:
        return _from_formula(material.formula, **own)
    sorted_out = sort_out(material.analysis or {})
    return RawMaterial(
        **own,
        oxides=sorted_out.oxides,
        loss=sorted_out.loss,
        strange=sorted_out.strange,
    )


def _from_formula(formula: str, **about: Any) -> RawMaterial:
    """A material that is its formula; one that cannot be read is a stranger in it."""
    try:
        read = read_formula(formula)
    except FormulaFault:
        return RawMaterial(oxides={}, loss=None, strange=(formula,), **about)
    return RawMaterial(
        oxides=read.weight_percent(),
        loss=read.loss_percent(),
        formula=formula,
        molar_mass=read.molar_mass,
        **about,
    )


@cache
def trade_materials() -> tuple[RawMaterial, ...]:
    """The materials of the trade, ideal and typical told apart by `analysis`."""
    return tuple(_from_row(row) for row in rows("materials.csv"))


def _from_row(row: dict[str, str]) -> RawMaterial:
    about: dict[str, Any] = {
        "name": row["material"],
        "also": tuple(alias for alias in row["also"].split(";") if alias),
        "analysis": row["analysis"],
        "source": row["source"],
        "note": row["note"],
    }
    if row["formula"]:
        return _from_formula(row["formula"], **about)
    given = {name: float(row[name]) for name in oxides() if row.get(name)}
    return RawMaterial(oxides=given, loss=float(row["loss"]), **about)


@cache
def _trade_book() -> MaterialBook:
    return MaterialBook(trade_materials())
