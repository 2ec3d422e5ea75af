"""What a tile's page says where its firing did not reach the cone it aimed at.

In: a tile, its last firing and the cone it counts as. Out: one sentence, or None. A tile that
states its cone itself claims nothing about a firing, and nothing is said.
"""

from __future__ import annotations

from ..evidence.results import Reached
from ..records.models import Firing
from ..records.tile import Tile
from .lookup import Lookup


def firing_note(known: Lookup, tile: Tile) -> str | None:
    """The sentence for one tile."""
    firing = known.catalogue.firings.get(tile.firings[-1]) if tile.firings else None
    return missed(firing, known.findings.reached.get(tile.id), tile.shelf)


def missed(firing: Firing | None, reached: Reached | None, shelf: str | None) -> str | None:
    """`Aimed at cone 6; this shelf reached 5 by its witness: counted as cone 5.`"""
    if firing is None or firing.aimed is None or reached is None or reached.by in ("aim", "tile"):
        return None
    aimed = f"Aimed at cone {firing.aimed.shown}"
    if reached.cone is None:
        return f"{aimed}; what it reached nobody knows, so the tile counts for no cone."
    if reached.cone == firing.aimed:
        return None
    got = "only reached" if reached.cone < firing.aimed else "went on to"
    counted = f"counted as cone {reached.cone.shown}"
    if reached.by == "witness":
        what = "this shelf" if shelf else "the load"
        return f"{aimed}; {what} {got} {reached.cone.shown} by its witness: {counted}."
    where = f"on the {shelf} shelf " if shelf else ""
    return (
        f"{aimed}; no witness cone {where}told, and the log suggests {reached.cone.shown}: "
        f"{counted}."
    )
