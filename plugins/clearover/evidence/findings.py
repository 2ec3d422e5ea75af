"""Everything computed from a catalogue, made once and asked many times."""

from __future__ import annotations

from dataclasses import dataclass, field

from ..chemistry.results import ClearChemistry, Flag
from ..firing.cone import Cone
from ..records.catalogue import Catalogue
from .results import Answer, Conflict, Question, Reached, Seen


@dataclass(slots=True)
class Findings:
    """What the records show. Built by `findings_of`; the methods cache what they work out.

    `seen` lists every cell of every tile; `by_pairing` maps (underglaze, clear) to its cells,
    stacks, mixes and set-aside tiles included (look at `alone` and `counts`).
    """

    catalogue: Catalogue
    chemistry: dict[str, ClearChemistry]
    reached: dict[str, Reached]
    seen: tuple[Seen, ...]
    by_pairing: dict[tuple[str, str], list[Seen]]
    conflicts: tuple[Conflict, ...] = ()
    cones: tuple[Cone, ...] = field(default=())

    def flags(self, underglaze: str, clear: str, cone: Cone, atmosphere: str) -> tuple[Flag, ...]:
        """What chemistry says of this underglaze under this clear."""
        raise NotImplementedError

    def answer(self, question: Question) -> list[Answer]:
        """All clears that come into question, in order of rank."""
        raise NotImplementedError
