"""How far each clear moves: at a cone in a usual firing, and on each tile in its own firing.

In: the catalogue, its chemistry, the cone each tile reached, the kiln logs. Out: `Movement`s, each
made once. What a tile's record says of coats, dip, tilt and line is read here; the physics is
`glass.movement`'s. Knows no page.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING

from ..chemistry.results import ClearChemistry
from ..firing.cone import Cone
from ..firing.log_reader import KilnLog
from ..firing.profile import Profile
from ..firing.temperatures import cone_temperature
from ..records.catalogue import Catalogue
from ..records.models import Firing
from ..records.tile import Cell, Tile
from .results import Reached

if TYPE_CHECKING:
    from ..glass.flow import Flow
    from ..glass.movement import Movement
    from ..glass.results import Estimate

_HOLD = re.compile(r"(\d+(?:\.\d+)?)\s*(min|m|minutes|h|hours?)\b")
WALL = ("clear coats", "clear by", "specific gravity", "line", "underglaze coats")
"""Factors on which the movement of a cell depends, beside its clear, its fire and its tilt."""
UPRIGHT = "how it stood is not written down; upright is taken"
SHAPED = "a plain wall is taken, though the piece is curved or textured"
NO_LOG = "no log of the firing"
MOVED = "the log is moved by {by:+.0f} °C, to cone {cone}, which the witness on its shelf shows"


@dataclass(frozen=True, slots=True)
class Fire:
    """A firing as one tile had it: temperatures over time, their doubt in °C, and what was taken
    for granted. `profile` is None where nobody knows, with `reason`."""

    profile: Profile | None
    spread_c: float = 0.0
    notes: tuple[str, ...] = ()
    reason: str = ""


@dataclass(slots=True)
class Movements:
    """Asked by clear and cone, or by tile and cell; every answer is made once and kept."""

    catalogue: Catalogue
    chemistry: Mapping[str, ClearChemistry]
    reached: Mapping[str, Reached]
    logs: Mapping[str, KilnLog] = field(default_factory=dict)
    _nominal: dict[object, Movement] = field(default_factory=dict)
    _fires: dict[object, Fire] = field(default_factory=dict)
    _flows: dict[object, tuple[Flow, Estimate]] = field(default_factory=dict)
    _cells: dict[object, Movement] = field(default_factory=dict)

    def nominal(self, clear: str, cone: Cone, coats: int | None = None) -> Movement:
        """On an upright wall in a usual firing to a cone; coats None: the usual three, brushed."""
        key = clear, cone, coats
        found = self._nominal.get(key)
        if found is None:
            from ..glass.movement import nominal

            found = self._nominal[key] = nominal(
                self.catalogue.clears[clear],
                self.chemistry[clear],
                cone,
                coats=coats,
                by=None if coats is None else "brush",
            )
        return found

    def of(self, tile: Tile, cell: Cell) -> Movement | None:
        """On one cell of a tile, as it was put on, stood and fired; None where no clear lies."""
        return next((found for found, cells in self.of_tile(tile) if cell in cells), None)

    def of_tile(self, tile: Tile) -> list[tuple[Movement, list[Cell]]]:
        """Each kind of wall on a tile and its cells, in the tile's order."""
        fire = self._fire_key(tile)
        groups: dict[object, tuple[Movement, list[Cell]]] = {}
        for cell in tile.cells:
            if cell.clear not in self.catalogue.clears:
                continue
            key = (cell.clear, fire, tile.stood, tile.shape, *map(cell.where.get, WALL))
            group = groups.get(key)
            if group is None:
                found = self._cells.get(key)
                if found is None:
                    found = self._cells[key] = self._work_out(tile, cell)
                group = groups[key] = found, []
            group[1].append(cell)
        return list(groups.values())

    def _work_out(self, tile: Tile, cell: Cell) -> Movement:
        from ..glass import movement as model

        why = model.why_none(self.catalogue.clears[cell.clear], self.chemistry[cell.clear])
        fire = self.fire(tile)
        if why is not None or fire.profile is None:
            return model.nothing(why or fire.reason, fire.notes)
        melt = model.melt_of(self.chemistry[cell.clear].oxides_mol_percent or {})
        why = melt.reason or model.too_hot(fire.profile.peak_c)
        if melt.table is None or why is not None:
            return model.nothing(why or "", fire.notes)
        key = cell.clear, self._fire_key(tile)
        known = self._flows.get(key)
        if known is None:
            flow = model.flow_in(melt.table, fire.profile, fire.spread_c)
            known = self._flows[key] = flow, model.density_of(melt, fire.profile.peak_c)
        where = cell.where
        by, gravity, line = (where.get(n) for n in ("clear by", "specific gravity", "line"))
        wall = model.wall(
            coats=cell.clear_coats,
            by=str(by) if by else None,
            specific_gravity=float(gravity) if gravity else None,
            line=str(line) if line else None,
            line_coats=cell.underglaze_coats,
            tilt=tile.stood or "upright",
        )
        notes = (
            *fire.notes,
            *model.taken_for_granted(self.catalogue.clears[cell.clear]),
            *(() if tile.stood else (UPRIGHT,)),
            *((SHAPED,) if tile.shape in ("curved", "textured") else ()),
        )
        return model.moved(*known, wall, fire.profile.peak_c, notes)

    def _fire_key(self, tile: Tile) -> object:
        """What a tile's fire depends on: without a log the load itself does not matter."""
        reached = self.reached.get(tile.id)
        last = tile.firings[-1] if tile.firings else None
        firing = self.catalogue.firings.get(last) if last else None
        load = last if last in self.logs else None
        asked = (firing.hold, firing.cooling) if firing else None
        return load, asked, (reached.cone, reached.by) if reached else None

    def fire(self, tile: Tile) -> Fire:
        """The firing that counts for a tile, as its own shelf had it."""
        key = self._fire_key(tile)
        if key not in self._fires:
            last = tile.firings[-1] if tile.firings else None
            firing = self.catalogue.firings.get(last) if last else None
            log = self.logs.get(last) if last else None
            self._fires[key] = fire_of(self.reached.get(tile.id), firing, log)
        return self._fires[key]


def fire_of(reached: Reached | None, firing: Firing | None, log: KilnLog | None) -> Fire:
    """A firing as one shelf had it.

    The log, moved as a whole so that it gives the cone the witness shows where the two differ; a
    usual firing to the cone reached where there is no log.
    """
    from ..firing.schedule import NoSchedule, schedule
    from ..glass.movement_data import number

    if reached is None or reached.cone is None:
        return Fire(None, reason="nobody knows what cone it reached")
    profile = _profile(log)
    spread = number("spread", reached.by if reached.by != "unknown" else "tile")
    if profile is not None:
        by = shift_c(profile, reached.cone) if reached.by == "witness" else 0.0
        if not by:
            return Fire(profile, spread, profile.notes)
        moved = tuple(celsius + by for celsius in profile.celsius)
        note = MOVED.format(by=by, cone=reached.cone.shown)
        there = Profile(profile.hours, moved, profile.known_from, (*profile.notes, note))
        return Fire(there, spread, there.notes)
    hold = hold_minutes(firing.hold if firing else None)
    try:
        usual = schedule(
            reached.cone, hold_min=hold, cooling=(firing.cooling if firing else None) or "natural"
        )
    except NoSchedule as fault:
        return Fire(None, reason=str(fault))
    return Fire(usual, spread, (NO_LOG, *usual.notes))


def _profile(log: KilnLog | None) -> Profile | None:
    if log is None:
        return None
    from ..firing.log import profile_of

    return profile_of(log)


def hold_minutes(hold: str | None) -> float:
    """`15 min`, `1 h`: the minutes a record gives; 0 where it gives none that can be read."""
    found = _HOLD.search(hold or "")
    if found is None:
        return 0.0
    return float(found[1]) * (60 if found[2].startswith("h") else 1)


def shift_c(profile: Profile, cone: Cone) -> float:
    """By how many °C a log must be moved to give the cone a witness shows; 0 where they agree.

    A witness shows the last cone down, so they agree where the log says up to half a cone less or
    a whole cone more. Both are compared at 60 °C/h.
    """
    from ..firing.heat_work import reached

    found = reached(profile)
    if found.step is None or -0.5 <= found.step - cone.step <= 1:
        return 0.0
    here, there = _temperature(found.step), _temperature(cone.step)
    return 0.0 if here is None or there is None else there - here


@cache
def _ladder() -> tuple[tuple[float, float], ...]:
    halves = (Cone(number / 2) for number in range(-44, 28))
    return tuple(
        (cone.step, celsius) for cone in halves if (celsius := cone_temperature(cone)) is not None
    )


def _temperature(step: float) -> float | None:
    """°C of a place on the ladder of cones at 60 °C/h, straight between two cones."""
    ladder = _ladder()
    for (low, cooler), (high, hotter) in pairwise(ladder):
        if low <= step <= high:
            return cooler + (step - low) / (high - low) * (hotter - cooler)
    return None
