"""Every answer at one cone in one atmosphere, made once and read from either side.

In: findings and a place. Out: a `Board`. Each answer is the one `Findings.answer` gives for the
wish of true colour, and the same clears come into question.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from ..evidence.answers import rank
from ..evidence.findings import IN_USE, Findings
from ..evidence.results import Answer
from ..evidence.wishes import wishes
from ..firing.cone import Cone

Place = tuple[Cone, str]
"""A cone in an atmosphere."""
WISH = "true_colour"


@dataclass(slots=True)
class Board:
    """Answers of each colour in order of rank, and of each clear with the colour's id."""

    cone: Cone
    atmosphere: str
    by_underglaze: dict[str, list[Answer]] = field(default_factory=dict)
    by_clear: dict[str, list[tuple[str, Answer]]] = field(default_factory=dict)


def board_at(findings: Findings, place: Place) -> Board:
    """All pairings in question here, and those that a tile tested here with a clear no longer in
    use."""
    cone, atmosphere = place
    board = Board(cone, atmosphere)
    wish = wishes()[WISH]
    kept = findings.catalogue
    for id_ in kept.underglazes:
        clears = findings.in_question(id_, cone, retired=True)
        found = (findings.one(id_, clear, cone, atmosphere, wish) for clear in clears)
        answers = [one for one in found if one.judged or kept.clears[one.clear].status == IN_USE]
        answers.sort(key=rank)
        board.by_underglaze[id_] = answers
        for answer in answers:
            board.by_clear.setdefault(answer.clear, []).append((id_, answer))
    for rows in board.by_clear.values():
        rows.sort(key=lambda row: (rank(row[1]), kept.underglazes[row[0]].name))
    return board


def places(findings: Findings) -> Iterator[Place]:
    """Every place that has a board: the studio's usual cone first, then its others, then more.

    The studio's own atmosphere at each of its cones and at each a tile reached; others where tiles
    were fired in them.
    """
    studio = findings.catalogue.studio
    own = studio.atmosphere
    found = {(seen.cone, seen.atmosphere) for seen in findings.seen if seen.counts}
    found |= {(reached.cone, own) for reached in findings.reached.values()}
    found |= {(cone, own) for cone in studio.cones}
    known = [(cone, air) for cone, air in found if cone is not None]
    yield from sorted(
        known,
        key=lambda place: (
            place[0] != studio.usual_cone,
            place[0] not in studio.cones,
            place[0],
            place[1] != own,
            place[1],
        ),
    )
