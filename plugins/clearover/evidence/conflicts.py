"""Tiles that contradict each other: one combination, one cone, opposite verdicts.

In: every cell. Out: pairs of cells of different tiles, the same colour under the same clear with
the same coats, one good and one bad. People who differ over one tile are not a conflict: the tile
shows both.
"""

from __future__ import annotations

from collections.abc import Iterable

from .results import Conflict, Seen
from .wishes import wishes


def conflicts_of(seen: Iterable[Seen]) -> tuple[Conflict, ...]:
    """Every contradiction, once for each pair of tiles and property."""
    groups: dict[tuple[object, ...], list[Seen]] = {}
    for cell in seen:
        if cell.counts and cell.alone:
            key = (
                cell.underglaze,
                cell.clear,
                cell.cone,
                cell.atmosphere,
                cell.clear_coats,
                cell.underglaze_coats,
            )
            groups.setdefault(key, []).append(cell)
    found: dict[tuple[str, str, str], Conflict] = {}
    for cells in groups.values():
        if len(cells) > 1:
            for wish in wishes().values():
                _compare(cells, wish.id, wish.prop, found)
    return tuple(found.values())


def _compare(
    cells: list[Seen], wish: str, prop: str, found: dict[tuple[str, str, str], Conflict]
) -> None:
    good = [cell for cell in cells if cell.opinions.get(wish) is True]
    bad = [cell for cell in cells if cell.opinions.get(wish) is False]
    for one in good:
        for other in bad:
            if one.tile != other.tile:
                found.setdefault(
                    (prop, one.tile, other.tile),
                    Conflict(
                        prop,
                        (one.tile, one.row, one.column),
                        (other.tile, other.row, other.column),
                        (one.verdicts[prop][0], other.verdicts[prop][0]),
                    ),
                )
