"""What a whole kiln load came to: each shelf by its witness, the log beside it, and how they agree.

In: a firing's record, and what its log says. Out: `Load`, plain values for page and terminal. The
witness outranks the log, the log outranks the aim. Reads no file.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from ..firing import telling
from ..firing.compared import differs
from ..firing.cone import Cone
from ..firing.log import TOLD_HOLD_MIN, LogReading
from ..firing.witness import witness_cone, witness_note
from ..records.models import Firing

MIDDLE = "middle"


@dataclass(frozen=True, slots=True)
class Shelf:
    """One shelf: its cones as they stood, the cone reached, a remark, and whether the log lies
    `higher` or `lower` by more than both are unsure of."""

    name: str
    cones: tuple[tuple[Cone, str], ...]
    reached: Cone | None
    note: str
    log_is: str | None


@dataclass(frozen=True, slots=True)
class Load:
    """`by` is witness, log, aim or unknown; `shelf` the one whose witness was taken for the load,
    None where all agree. `reading` is None where there is no log."""

    cone: Cone | None
    by: str
    shelf: str | None
    aimed: Cone | None
    shelves: tuple[Shelf, ...] = ()
    reading: LogReading | None = None
    remarks: tuple[str, ...] = field(default=())


def load_of(firing: Firing | None, reading: LogReading | None, aimed: Cone | None = None) -> Load:
    """The outcome of a load; `firing` is None for a log without a record."""
    aimed = aimed or (firing.aimed if firing else None)
    shelves = tuple(
        Shelf(
            name,
            tuple(sorted(cones.items())),
            witness_cone(cones),
            witness_note(cones),
            differs(reading, cones),
        )
        for name, cones in (firing.witness if firing else {}).items()
    )
    cone, shelf = _of_shelves(shelves)
    by = "witness"
    if cone is None and reading is not None and reading.cone is not None:
        cone, by = reading.cone, "log"
    elif cone is None and not shelves and aimed is not None:
        cone, by = aimed, "aim"
    elif cone is None:
        by = "unknown"
    return Load(cone, by, shelf, aimed, shelves, reading, _remarks(shelves, reading))


def _of_shelves(shelves: tuple[Shelf, ...]) -> tuple[Cone | None, str | None]:
    """The cone of a load whose shelves differ: the middle one's, else the coolest that is known."""
    known = [shelf for shelf in shelves if shelf.reached is not None]
    if not known:
        return None, None
    if len(known) == len(shelves) and len({shelf.reached for shelf in known}) == 1:
        return known[0].reached, known[0].name if len(known) == 1 else None
    middle = [shelf for shelf in known if shelf.name.casefold() == MIDDLE]
    taken = (middle or sorted(known, key=lambda shelf: shelf.reached or Cone(0)))[0]
    return taken.reached, taken.name


def suggestion(reading: LogReading) -> str:
    """What a log suggests: `6 and a fifth of the way to 7 (± half a cone)`, or why nothing."""
    if reading.cone is None:
        return f"no cone: {reading.reason}"
    at = telling.place(reading.between, reading.fraction, reading.cone)
    if reading.uncertainty_cones is None:
        return at
    return f"{at} (± {telling.cones(reading.uncertainty_cones)})"


def hold_sentence(reading: LogReading) -> str | None:
    """`The 18 minutes at the top are worth 0.4 of a cone.`; None without a hold to speak of."""
    if reading.hold_min is None or reading.hold_min < TOLD_HOLD_MIN:
        return None
    told = telling.hold(reading.hold_min, reading.hold_cones)
    return f"{told[0].upper()}{told[1:]}."


def _remarks(shelves: tuple[Shelf, ...], reading: LogReading | None) -> tuple[str, ...]:
    """Where log and witness cannot both be right, and what that may mean."""
    off = [shelf for shelf in shelves if shelf.log_is is not None]
    if not off or reading is None:
        return ()
    checked = [shelf for shelf in shelves if shelf.reached is not None]
    ways = {shelf.log_is for shelf in off}
    if len(ways) == 1 and len(off) == len(checked) > 1:
        return (_everywhere(ways == {"higher"}, reading),)
    return tuple(_one(shelf, reading, len(checked) == 1) for shelf in off)


def _everywhere(higher: bool, reading: LogReading) -> str:
    what = "reads high, or sits nearer the heat than the ware" if higher else "reads low"
    way = "above" if higher else "below"
    return (
        f"The log lies {way} the witness cones on every shelf, by more than both are unsure of: "
        f"the thermocouple may be one that {what}. The cones count."
    )


def _one(shelf: Shelf, reading: LogReading, alone: bool) -> str:
    assert shelf.reached is not None and reading.cone is not None
    higher = shelf.log_is == "higher"
    on = f"On the {shelf.name} shelf the witness says {shelf.reached.shown}"
    says = f"the log {telling.place(reading.between, reading.fraction, reading.cone)}"
    why = f"that shelf was {'cooler' if higher else 'hotter'} than where the thermocouple sits"
    if alone:
        why += f", or the thermocouple reads {'high' if higher else 'low'}"
    differ = "they differ by more than both are unsure of"
    return f"{on}, {says}; {differ}. Perhaps {why}. The cone counts."
