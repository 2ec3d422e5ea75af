"""The cone a tile reached, and how that is known.

In: a tile, its last firing and what the kiln's log suggests. Out: `Reached`. A witness cone on the
tile's own shelf outranks the log, the log outranks what was aimed at.
"""

from __future__ import annotations

from ..firing.cone import Cone
from ..firing.witness import witness_cone, witness_note
from ..records.models import Firing
from ..records.tile import Tile
from .results import Reached

LogCone = tuple[Cone | None, str]
"""What a log suggests, and a sentence about it."""


def reached_by(tile: Tile, firing: Firing | None, log: LogCone | None = None) -> Reached:
    """The cone of one tile. `firing` is its last one, None where none was recorded."""
    if firing is None:
        by = "tile" if tile.cone else "unknown"
        return Reached(tile.cone, by, tile.atmosphere or "unknown")
    shelf = _shelf(tile, firing)
    cones = firing.witness.get(shelf) if shelf else None
    if cones and (cone := witness_cone(cones)):
        return Reached(cone, "witness", firing.atmosphere, _said(witness_note(cones), cone, firing))
    short = f"every witness cone on shelf {shelf} stood" if cones else ""
    if log and log[0]:
        note = "; ".join(part for part in (log[1], short) if part)
        return Reached(log[0], "log", firing.atmosphere, note)
    if cones:
        # The cones that stood say it fell short; what it did reach nobody knows.
        return Reached(None, "unknown", firing.atmosphere, short)
    if firing.aimed:
        return Reached(firing.aimed, "aim", firing.atmosphere)
    return Reached(None, "unknown", firing.atmosphere)


def _shelf(tile: Tile, firing: Firing) -> str | None:
    """The tile's shelf; where it names none, any shelf if all reached the same cone."""
    if tile.shelf in firing.witness:
        return tile.shelf
    reached = {witness_cone(cones) for cones in firing.witness.values()}
    return next(iter(firing.witness)) if tile.shelf is None and len(reached) == 1 else None


def _said(note: str, cone: Cone, firing: Firing) -> str:
    if firing.aimed is None or firing.aimed == cone:
        return note
    missed = f"aimed at {firing.aimed.shown}, reached {cone.shown}"
    return f"{missed}; {note}" if note else missed
