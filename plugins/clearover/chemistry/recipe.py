"""A recipe melted: parts and materials in, oxides by weight out.

Pure arithmetic. Nothing is guessed: a material that is not in the book, or whose analysis names
something unknown, is listed in `unknown` and brings nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .materials import MaterialBook, RawMaterial


@dataclass(frozen=True, slots=True)
class Melt:
    """What a recipe brings. `oxides` in the recipe's own parts (weight); `raw` the sum of all
    parts; `unknown_raw` the parts of unknown materials; `lost` the parts that leave in the fire,
    None where an analysis does not say. `brought` is oxide -> material as written -> parts."""

    oxides: dict[str, float]
    raw: float
    unknown_raw: float
    lost: float | None
    unknown: tuple[str, ...]
    brought: dict[str, dict[str, float]]

    def at_least(self, oxide: str) -> float:
        """The least weight per cent the fired glass can hold of an oxide, whatever the unknown is.

        The unknown materials are counted as if they lost nothing and brought none of it.
        """
        whole = sum(self.oxides.values()) + self.unknown_raw
        return 100 * self.oxides.get(oxide, 0.0) / whole if whole > 0 else 0.0


def melt(recipe: Mapping[str, float], book: MaterialBook) -> Melt:
    """Sum a recipe (parts by weight, materials as written). Parts of nothing are passed over."""
    brought: dict[str, dict[str, float]] = {}
    lost: float | None = 0.0
    raw = unknown_raw = 0.0
    unknown = []
    for written, parts in recipe.items():
        if not parts > 0:
            continue
        raw += parts
        material = book.find(written)
        if material is None or material.strange or not usable(material):
            unknown.append(written)
            unknown_raw += parts
            continue
        for oxide, share in material.oxides.items():
            brought.setdefault(oxide, {})[written] = parts * share / 100
        lost = None if lost is None or (loss := loss_of(material)) is None else lost + parts * loss
    return Melt(
        oxides={oxide: sum(by.values()) for oxide, by in brought.items()},
        raw=raw,
        unknown_raw=unknown_raw,
        lost=None if lost is None else lost / 100,
        unknown=tuple(unknown),
        brought=brought,
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
