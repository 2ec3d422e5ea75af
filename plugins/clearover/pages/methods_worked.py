"""What worked examples are made of: one glass for all of them, numbers as text, sums as tables.

In: the models' own values. Out: an `Example` to show. The glass belongs to no studio. Knows no
method; `methods_examples` gathers them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from ..chemistry.clear import chemistry_of
from ..chemistry.materials import MaterialBook
from ..chemistry.results import ClearChemistry
from ..records.models import Clear

RECIPE = {
    "potash feldspar": 40.0,
    "colemanite": 12.0,
    "calcium carbonate": 8.0,
    "kaolin": 12.0,
    "quartz": 22.0,
    "zinc oxide": 6.0,
}
CONE = "6"


@dataclass(frozen=True, slots=True)
class Example:
    """A worked example as it is shown. `rows` line up with `columns`; `value` is the result, for
    whoever compares it with the model's own."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    lines: tuple[str, ...]
    value: float | None = None


def number(value: float, places: int = 2) -> str:
    """A number with a true minus and no minus before nought."""
    text = f"{value:.{places}f}"
    if float(text) == 0:
        return text.lstrip("-")
    return text.replace("-", "−")


def exact(value: float) -> str:
    """A number as the table has it."""
    return f"{value:.10g}".replace("-", "−")


@cache
def glass() -> ClearChemistry:
    """The example's chemistry, from the trade's own materials."""
    record = {"@id": "example", "@file": "", "name": "Example"}
    recipe = {name: str(parts) for name, parts in RECIPE.items()}
    clear = Clear.model_validate({**record, "recipe": recipe, "surface": "gloss"})
    return chemistry_of(clear, MaterialBook.with_studio([]))


def mol() -> dict[str, float]:
    """Its mol %."""
    return dict(glass().oxides_mol_percent or {})


def summed(
    columns: Sequence[str], terms: Sequence[tuple[str, float, float]], places: int = 2
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...], float]:
    """A table of (name, amount, factor) with the products and their sum."""
    rows = [
        (name, number(amount, places), exact(factor), number(amount * factor, places))
        for name, amount, factor in terms
    ]
    total = sum(amount * factor for _, amount, factor in terms)
    rows.append(("sum", "", "", number(total, places)))
    return tuple(columns), tuple(rows), total
