"""A table of analyses, computed: rows as read in, one plain dictionary a row out.

The keys are those of `report.glaze_report`, as far as a row of oxides can have them. A row with a
fault keeps its keys, all without a value, and carries the `reason`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..firing.cone import Cone
from ..records.models import Clear
from .cautions import cautions_for_glass
from .clear import chemistry_of_glass, nothing_known
from .estimates import as_keys, estimates, movement
from .report import glass_keys, temperature_keys
from .results import ClearChemistry
from .table import TableRow

_EVERYWHERE = "silicon"
"""The one caution that holds for every glaze; a table of thousands need not repeat it."""


def table_report(
    rows: Sequence[TableRow],
    basis: str,
    *,
    cone: Cone | None = None,
    rate_c_per_h: float = 60,
    temperature_c: float | None = None,
) -> list[dict[str, Any]]:
    """Every row, computed at a cone's temperature or at the one given (°C)."""
    heat = temperature_keys(cone, rate_c_per_h, temperature_c)
    why = str(heat.get("temperature_reason") or "no temperature given")
    return [_row(row, basis, heat, why, cone, rate_c_per_h) for row in rows]


def _row(
    row: TableRow, basis: str, heat: dict[str, Any], why: str, cone: Cone | None, rate: float
) -> dict[str, Any]:
    chem = _chemistry(row, basis)
    found = estimates(chem, None, heat["temperature_c"], why)
    lengths, moves = movement(_clear(row), chem, cone, rate)
    known = {key: value for key, value in glass_keys(chem).items() if key != "unknown_materials"}
    return {
        "id": row.id,
        "line": row.line,
        **known,
        "cautions": [
            {"says": each.says, "source": each.source}
            for each in cautions_for_glass(chem.oxides_weight_percent or {})
            if each.element != _EVERYWHERE
        ],
        **heat,
        **as_keys(found),
        **as_keys(lengths),
        "movement_word": moves.word,
        "movement_likely": moves.likely,
    }


def _chemistry(row: TableRow, basis: str) -> ClearChemistry:
    if row.weights is None:
        return nothing_known(row.id, row.reason)
    loss = 100 * row.loss / row.total if basis == "weight" else None
    return chemistry_of_glass(row.id, row.weights, loss)


def _clear(row: TableRow) -> Clear:
    """The row as the movement model wants it: a clear of which nobody said what surface it has."""
    return Clear.model_construct(id=row.id, file="", name=row.id, surface=None)
