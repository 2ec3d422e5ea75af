"""From a formula back to a batch: oxides and raw materials in, parts by weight out.

Never a negative amount. What the materials cannot bring is reported as left over, and an oxide that
none of them brings is named. Knows no record.

The usual order is a potter's: feldspar for the alkali, clay for the alumina, quartz for the rest
(`data/batch-materials.csv`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from ..tables import rows
from .materials import MaterialBook, RawMaterial
from .oxides import in_order, is_flux, oxides, to_moles
from .recipe import loss_of

if TYPE_CHECKING:
    from ..least_squares import Array

CLOSE = 0.005
"""A batch gives a formula where no oxide is further off than this share of it (or of 0.1 mole):
our own limit, half of the 1 per cent to which textbooks round."""

LEAST_MOLES = 0.1
"""Amounts under this, for one part of flux, count as if they were as large, so that a trace does
not decide over the whole batch; our own choice."""

TOGETHER = ("Na2O", "K2O")
"""Where the materials cannot keep soda and potash apart, their sum matters more than either:
common practice, which writes both as one."""

APART = 0.1
"""How much either of the two counts then, beside their sum; our own choice."""

_SHOWN = 5e-4
"""Leftovers smaller than this, in a formula of one part flux, are rounding."""


@dataclass(frozen=True, slots=True)
class BatchLine:
    """One material. `parts` by weight for the formula as wanted, `percent` of the whole batch."""

    material: str
    parts: float
    percent: float
    note: str


@dataclass(frozen=True, slots=True)
class Batch:
    """A batch. `wanted` and `given` in moles as asked; `leftover` is wanted minus given, where it
    matters; `not_brought` the oxides that no material brings; `close` whether it gives the
    formula. `loss_percent` of the raw batch, None where an analysis does not say."""

    lines: tuple[BatchLine, ...]
    wanted: dict[str, float]
    given: dict[str, float]
    leftover: dict[str, float]
    not_brought: tuple[str, ...]
    close: bool
    loss_percent: float | None


@cache
def _table() -> tuple[dict[str, str], ...]:
    return rows("batch-materials.csv")


def usual_materials(wanted: Mapping[str, float], book: MaterialBook) -> list[RawMaterial]:
    """The pure materials a potter would reach for, in order; none that brings what is not wanted.

    Materials that dissolve or cost more come last, so that they only fill what others leave.
    """
    found = []
    for row in _table():
        material = book.find(row["material"])
        if material is None or row["brings"] not in wanted:
            continue
        if all(wanted.get(oxide, 0.0) > 0 for oxide in material.oxides):
            found.append(material)
    return found


def note_on(material: str) -> str:
    """What to know of a usual material before weighing it; empty for the harmless."""
    return next((row["note"] for row in _table() if row["material"] == material), "")


def batch_for(wanted: Mapping[str, float], materials: Sequence[RawMaterial]) -> Batch:
    """The batch that comes nearest to a formula in moles.

    Oxides weigh by their relative error. Where several batches do, each material is used in turn
    as far as it goes, in the order given. Materials without a usable analysis bring nothing.
    """
    import numpy as np

    from ..least_squares import amounts_in_order

    brings = [to_moles(material.oxides) for material in materials]
    names = [name for name in oxides() if name in wanted or any(name in each for each in brings)]
    size = scale_of(wanted)
    # Moles in 100 parts by weight, for one part of flux.
    matrix = np.array([[each.get(n, 0.0) for each in brings] for n in names]).reshape(
        len(names), len(materials)
    )
    wish = np.array([wanted.get(name, 0.0) / size for name in names])
    rows_, counts = _rows(names, wish)
    amounts = amounts_in_order(counts[:, None] * (rows_ @ matrix), counts * (rows_ @ wish)) * size
    reached = matrix @ amounts
    given = {name: float(n) for name, n in zip(names, reached, strict=True) if n > 0}
    return _told(wanted, given, materials, [100 * float(x) for x in amounts], brings)


def scale_of(moles: Mapping[str, float]) -> float:
    """The flux of a formula, by which it becomes a unity formula; a fifth of one without flux."""
    flux = sum(amount for name, amount in moles.items() if is_flux(name))
    return flux or sum(moles.values()) / 5 or 1.0


def _rows(names: list[str], wish: Array) -> tuple[Array, Array]:
    """What must fit: each oxide and, once more, soda with potash; and how much each counts."""
    import numpy as np

    both = np.array([[float(name in TOGETHER) for name in names]])
    rows_ = np.vstack([np.eye(len(names)), both])
    counts = 1 / np.maximum(rows_ @ wish, LEAST_MOLES)
    counts[:-1] *= np.where(both[0] > 0, APART, 1.0)
    return rows_, counts


def _told(
    wanted: Mapping[str, float],
    given: dict[str, float],
    materials: Sequence[RawMaterial],
    parts: list[float],
    brings: list[dict[str, float]],
) -> Batch:
    whole = sum(parts)
    floor = 1e-9 * whole
    kept = [(m, p) for m, p in zip(materials, parts, strict=True) if p > floor]
    losses = [loss_of(material) for material, _ in kept]
    known = [loss for loss in losses if loss is not None]
    lost = sum(p * loss for (_, p), loss in zip(kept, known, strict=False))
    scale = scale_of(wanted)
    off = {name: wanted.get(name, 0.0) - given.get(name, 0.0) for name in {*wanted, *given}}
    return Batch(
        lines=tuple(
            BatchLine(material.name, p, 100 * p / whole, note_on(material.name))
            for material, p in kept
        ),
        wanted=in_order(wanted),
        given=in_order(given),
        leftover={n: off[n] for n in oxides() if abs(off.get(n, 0.0)) > _SHOWN * scale},
        not_brought=tuple(n for n in in_order(wanted) if not any(n in each for each in brings)),
        close=all(
            abs(miss) <= CLOSE * max(wanted.get(name, 0.0), LEAST_MOLES * scale)
            for name, miss in off.items()
        ),
        loss_percent=lost / whole if kept and len(known) == len(losses) else None,
    )
