"""Raw materials: a name as a potter writes it in, its analysis out.

The book comes with the materials of the trade (`data/materials.csv`: ideal analyses follow from
the formula, typical ones are from memory and marked so). A studio's own materials are put on top:
their names and aliases win. Knows nothing of recipes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from ..records.models import Material
from ..tables import nearest, plain, rows
from .oxides import find_oxide, oxides

LOSS_NAMES = frozenset({"loss", "loi", "loss on ignition", "ignition loss"})


@dataclass(frozen=True, slots=True)
class RawMaterial:
    """One material. `oxides` are weight per cent of the raw material, `loss` what leaves in the
    fire (weight per cent), None where nobody said. `analysis`: ideal, typical or studio.
    `strange` lists names in the analysis that are no oxide known here."""

    name: str
    also: tuple[str, ...]
    oxides: dict[str, float]
    loss: float | None
    analysis: str
    source: str
    note: str = ""
    strange: tuple[str, ...] = ()


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
        """The material of this name or alias, or None."""
        return self._names.get(plain(name))

    def suggest(self, name: str) -> str | None:
        """The known name most like an unknown one, or None."""
        written = (alias for m in self.materials for alias in (*m.also, m.name))
        return nearest(name, written)


def _from_record(material: Material) -> RawMaterial:
    sorted_out = sort_out(material.analysis)
    return RawMaterial(
        name=material.name,
        also=(*material.also, material.id),
        oxides=sorted_out.oxides,
        loss=sorted_out.loss,
        analysis="studio",
        source=material.source or "the studio's own record",
        strange=sorted_out.strange,
    )


@cache
def trade_materials() -> tuple[RawMaterial, ...]:
    """The materials of the trade, ideal and typical told apart by `analysis`."""
    names = tuple(oxides())
    return tuple(
        RawMaterial(
            name=row["material"],
            also=tuple(alias for alias in row["also"].split(";") if alias),
            oxides={name: float(row[name]) for name in names if row.get(name)},
            loss=float(row["loss"]),
            analysis=row["analysis"],
            source=row["source"],
            note=row["note"],
        )
        for row in rows("materials.csv")
    )


@cache
def _trade_book() -> MaterialBook:
    return MaterialBook(trade_materials())
