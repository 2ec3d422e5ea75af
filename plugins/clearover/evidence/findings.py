"""Everything computed from a catalogue, made once and asked many times."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import chain
from typing import TYPE_CHECKING

from ..chemistry.flags import flags_for
from ..chemistry.results import ClearChemistry, Flag
from ..firing.cone import Cone
from ..firing.log_reader import KilnLog
from ..glass.crazing import glaze_expansion
from ..glass.results import Estimate
from ..records.catalogue import Catalogue
from ..records.models import Clear, Underglaze
from ..records.tile import Cell, Tile
from . import answers
from .cells import tally
from .movements import Movements
from .results import Answer, Conflict, Question, Reached, Seen
from .wishes import Wish, wishes

if TYPE_CHECKING:
    from ..glass.movement import Movement
    from ..measuring.against import Against
    from ..measuring.clays import Clays
    from ..measuring.looks import Look
    from ..measuring.results import TileMeasurement

IN_USE = "in use"


@dataclass(slots=True)
class Findings:
    """What the records show. Built by `catalogue.compute`; the methods cache what they work out.

    `seen` lists every cell of every tile; `by_pairing` maps (underglaze, clear) to its cells,
    stacks, mixes and set-aside tiles included (look at `alone` and `counts`). `cones` are those
    the studio fires or has tiles of, from cool to hot. `logs` are the kiln logs by firing,
    `measured` what the photos say, by tile, as far as they were developed.
    """

    catalogue: Catalogue
    chemistry: dict[str, ClearChemistry]
    reached: dict[str, Reached]
    seen: tuple[Seen, ...]
    by_pairing: dict[tuple[str, str], list[Seen]]
    conflicts: tuple[Conflict, ...] = ()
    cones: tuple[Cone, ...] = field(default=())
    logs: Mapping[str, KilnLog] = field(default_factory=dict)
    measured: Mapping[str, TileMeasurement] = field(default_factory=dict)
    _flags: dict[object, tuple[Flag, ...]] = field(default_factory=dict)
    _answers: dict[object, Answer] = field(default_factory=dict)
    _expansions: dict[str, Estimate] = field(default_factory=dict)
    _movements: Movements | None = None
    _fired_at: dict[tuple[str, Cone], list[str]] | None = None
    _differences: dict[str, dict[tuple[int, int], Against]] | None = field(init=False, default=None)
    _looks: dict[str, dict[tuple[int, int], Look]] | None = field(init=False, default=None)
    _light_doubts: dict[str, str | None] = field(init=False, default_factory=dict)
    _clays: Clays | None = field(init=False, default=None)

    def flags(
        self,
        underglaze: str,
        clear: str,
        cone: Cone,
        atmosphere: str,
        near: tuple[str, ...] = (),
    ) -> tuple[Flag, ...]:
        """What chemistry says of this underglaze under this clear. Ids must exist.

        `near` names what else stood in the load that can colour its neighbours. Colours of one
        chemistry share their flags, so these name the pigment and not the colour. A clear counts as
        fluid, or as not, only where its computed movement leaves no doubt.
        """
        colour = self.catalogue.underglazes[underglaze]
        key = (chemistry_key(colour), clear, cone, atmosphere, near)
        if key not in self._flags:
            glass = self.catalogue.clears[clear]
            pigments, colorants = colour.makeup
            self._flags[key] = flags_for(
                pigments=pigments,
                colorants=colorants,
                colour=colour.colour,
                chem=self.chemistry[clear],
                clear_surface=glass.surface,
                clear_cones=glass.cones,
                underglaze_cones=colour.cones,
                melts_from=colour.melts_from,
                cone=cone,
                atmosphere=atmosphere,
                near=near,
                fluid=self.movement(clear, cone).fluid,
            )
        return self._flags[key]

    def expansion(self, clear: str) -> Estimate:
        """The linear expansion of one clear, 1e-6/K, worked out once. Its id must exist."""
        if clear not in self._expansions:
            surface = self.catalogue.clears[clear].surface
            self._expansions[clear] = glaze_expansion(surface, self.chemistry[clear])
        return self._expansions[clear]

    def differences(self, tile: str) -> dict[tuple[int, int], Against]:
        """How far each measured cell of a tile lies from its agreed colour. The first call works it
        out for all tiles, for one by one it would take a large catalogue seconds."""
        if self._differences is None:
            from ..measuring.against import against_each

            self._differences = against_each(self.catalogue, self.measured)
        return self._differences.get(tile, {})

    def looks(self, tile: str) -> dict[tuple[int, int], Look]:
        """What each measured cell of a tile looks like; likewise all tiles at the first call."""
        if self._looks is None:
            from ..measuring.looks import looks_of_each

            self._looks = looks_of_each(self.measured)
        return self._looks.get(tile, {})

    def compare_photos(self) -> None:
        """Work out `differences` and `looks` now, so that of two processes not each has to."""
        if self.measured:
            some = next(iter(self.measured))
            self.differences(some)
            self.looks(some)

    def light_doubt(self, tile: str) -> str | None:
        """What speaks against the light on the card of a measured tile's photo: by the photo
        itself, else by how light other photos show the same clay; worked out once."""
        if tile not in self._light_doubts:
            self._light_doubts[tile] = self._doubt_light(tile)
        return self._light_doubts[tile]

    def _doubt_light(self, tile: str) -> str | None:
        measured = self.measured[tile]
        if measured.balance.doubt:
            return measured.balance.doubt
        if self._clays is None:
            from ..measuring.clays import Clays

            self._clays = Clays(self.catalogue, self.measured)
        return self._clays.doubt(self.catalogue.tiles[tile], measured)

    def movement(self, clear: str, cone: Cone, coats: int | None = None) -> Movement:
        """How far a clear moves on an upright wall in a usual firing; coats None: the usual."""
        return self._moving().nominal(clear, cone, coats)

    def movement_on(self, tile: Tile, cell: Cell) -> Movement | None:
        """How far the clear moved on one cell, as it was put on, stood and fired."""
        return self._moving().of(tile, cell)

    def movements_on(self, tile: Tile) -> list[tuple[Movement, list[Cell]]]:
        """The same for a whole tile: each kind of wall on it, and its cells."""
        return self._moving().of_tile(tile)

    def _moving(self) -> Movements:
        if self._movements is None:
            self._movements = Movements(self.catalogue, self.chemistry, self.reached, self.logs)
        return self._movements

    def one(self, underglaze: str, clear: str, cone: Cone, atmosphere: str, wish: Wish) -> Answer:
        """Where one clear stands over one underglaze, for one wish.

        Answers are made once. Where no cell of the pairing exists the chemistry alone speaks, and
        all colours of that chemistry get the same object.
        """
        cells = self.by_pairing.get((underglaze, clear), ())
        whose = underglaze if cells else chemistry_key(self.catalogue.underglazes[underglaze])
        key = (whose, clear, cone, atmosphere, wish.id)
        found = self._answers.get(key)
        if found is None:
            flags = self.flags(underglaze, clear, cone, atmosphere)
            found = self._answers[key] = self._work_out(cells, clear, cone, atmosphere, wish, flags)
        return found

    def _work_out(
        self,
        cells: Sequence[Seen],
        clear: str,
        cone: Cone,
        atmosphere: str,
        wish: Wish,
        flags: tuple[Flag, ...],
    ) -> Answer:
        here, near = answers.split_by_cone(cells, cone, atmosphere)
        tests = tally(here, wish)
        if tests:
            answer = answers.from_tests(clear, tests, wish, cone, flags)
        else:
            answer = answers.expected(clear, tally(near, wish), wish, cone, flags)
        return answers.held_to_cones(answer, cone, self.catalogue.clears[clear].cones)

    def in_question(self, underglaze: str, cone: Cone, *, retired: bool = False) -> list[str]:
        """The clears that come into question over a colour at a cone: those in use that are meant
        for it, and those in use (`retired`: or not) that lie over the colour on a tile there."""
        clears = self.catalogue.clears
        meant = (id_ for id_, clear in clears.items() if is_meant(clear, cone))
        fired = self.fired().get((underglaze, cone), ())
        kept = (id_ for id_ in fired if retired or clears[id_].status == IN_USE)
        return list(dict.fromkeys((*meant, *kept)))

    def fired(self) -> dict[tuple[str, Cone], list[str]]:
        """(colour, cone) -> the clears that lie over it on a tile there, set-aside tiles left out;
        worked out once."""
        if self._fired_at is None:
            found: dict[tuple[str, Cone], list[str]] = {}
            for (underglaze, clear), cells in self.by_pairing.items():
                if clear in self.catalogue.clears:
                    for cone in {one.cone for one in cells if one.counts and one.cone is not None}:
                        found.setdefault((underglaze, cone), []).append(clear)
            self._fired_at = found
        return self._fired_at

    def answer(self, question: Question) -> list[Answer]:
        """All clears that come into question, in order of rank.

        Of several colours and several wishes the one that suffers most decides.
        """
        several = len(question.underglazes) > 1
        clears: Iterable[str] = self.catalogue.clears
        if not question.include_all:
            asked = (self.in_question(one, question.cone) for one in question.underglazes)
            clears = dict.fromkeys(chain.from_iterable(asked))
        found = [
            answers.worst(
                (
                    (
                        colour,
                        self.one(colour, clear, question.cone, question.atmosphere, wishes()[wish]),
                    )
                    for colour in question.underglazes
                    for wish in question.wishes
                ),
                several=several,
            )
            for clear in clears
        ]
        return sorted(found, key=answers.rank)


def is_meant(clear: Clear, cone: Cone) -> bool:
    """Whether a clear comes into question at a cone without any tile: it is in use, and the cone
    is among its own or nobody said which those are."""
    return clear.status == IN_USE and (clear.cones is None or cone in clear.cones)


def chemistry_key(colour: Underglaze) -> tuple[object, ...]:
    """What the rules know of a colour: two that agree in this cannot be told apart by them."""
    return (
        *colour.makeup,
        colour.colour,
        colour.cones,
        colour.melts_from,
    )
