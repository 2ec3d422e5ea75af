"""A recipe melted: parts and materials in, oxides by weight out.

Pure arithmetic. Nothing is guessed: a material that is not in the book, or whose analysis names
something unknown, is listed in `unknown` and brings nothing. Parts may be by weight or in moles,
and additions come on top of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from .materials import MaterialBook, RawMaterial


@dataclass(frozen=True, slots=True)
class Melt:
    """What a recipe brings. `oxides` in the recipe's own parts (weight); `raw` the sum of all
    parts; `unknown_raw` the parts of unknown materials; `lost` the parts that leave in the fire,
    None where an analysis does not say. `brought` is oxide -> material as written -> parts.
    `no_mole` lists materials counted in moles that have no formula; they bring nothing."""

    oxides: dict[str, float]
    raw: float
    unknown_raw: float
    lost: float | None
    unknown: tuple[str, ...]
    brought: dict[str, dict[str, float]]
    no_mole: tuple[str, ...] = ()

    def at_least(self, oxide: str) -> float:
        """The least weight per cent the fired glass can hold of an oxide, whatever the unknown is.

        The unknown materials are counted as if they lost nothing and brought none of it.
        """
        if self.no_mole:
            return 0.0
        whole = sum(self.oxides.values()) + self.unknown_raw
        return 100 * self.oxides.get(oxide, 0.0) / whole if whole > 0 else 0.0


@dataclass(frozen=True, slots=True)
class Part:
    """One line of a recipe: a material as written, its parts by weight, whether it is added on
    top."""

    written: str
    parts: float
    added: bool


def melt(
    recipe: Mapping[str, float],
    book: MaterialBook,
    additions: Mapping[str, float] | None = None,
    *,
    in_moles: bool = False,
) -> Melt:
    """Sum a recipe (materials as written). Parts of nothing are passed over.

    Additions are in the same parts as the recipe. With `in_moles` the recipe's parts are moles
    and the additions per cent of the recipe's weight.
    """
    parts, no_mole = weighed(recipe, book, additions or {}, in_moles)
    return _melted(parts, book, no_mole)


def weighed(
    recipe: Mapping[str, float],
    book: MaterialBook,
    additions: Mapping[str, float],
    in_moles: bool = False,
) -> tuple[list[Part], tuple[str, ...]]:
    """Every line by weight, and the materials whose moles nobody can weigh (they have no formula).

    An unknown material is kept, with its moles as parts: it stays unknown in any unit.
    """
    lines: list[Part] = []
    no_mole: list[str] = []
    for written, amount in recipe.items():
        if not amount > 0:
            continue
        material = book.find(written) if in_moles else None
        mole = material.molar_mass if material is not None else None
        if in_moles and mole is None:
            no_mole.append(written)
        if not in_moles or mole is not None or material is None:
            lines.append(Part(written, amount * (mole or 1.0), False))
    base = sum(line.parts for line in lines) / 100 if in_moles else 1.0
    lines += [Part(name, amount * base, True) for name, amount in additions.items() if amount > 0]
    return lines, tuple(no_mole)


def _melted(lines: Iterable[Part], book: MaterialBook, no_mole: tuple[str, ...]) -> Melt:
    brought: dict[str, dict[str, float]] = {}
    lost: float | None = 0.0
    raw = unknown_raw = 0.0
    unknown: dict[str, None] = {}
    for line in lines:
        raw += line.parts
        material = book.find(line.written)
        if material is None or material.strange or not usable(material):
            unknown[line.written] = None
            unknown_raw += line.parts
            continue
        for oxide, share in material.oxides.items():
            by = brought.setdefault(oxide, {})
            by[line.written] = by.get(line.written, 0.0) + line.parts * share / 100
        loss = loss_of(material)
        lost = None if lost is None or loss is None else lost + line.parts * loss
    return Melt(
        oxides={oxide: sum(by.values()) for oxide, by in brought.items()},
        raw=raw,
        unknown_raw=unknown_raw,
        lost=None if lost is None else lost / 100,
        unknown=tuple(unknown),
        brought=brought,
        no_mole=no_mole,
    )


def usable(material: RawMaterial) -> bool:
    """Whether an analysis can be true: it names something and does not exceed the whole."""
    total = sum(material.oxides.values()) + (material.loss or 0.0)
    return 0 < total <= 110


def loss_of(material: RawMaterial) -> float | None:
    """Loss on ignition, weight per cent; none where the stated oxides already make up the whole."""
    if material.loss is not None:
        return material.loss
    return 0.0 if sum(material.oxides.values()) >= 98 else None
