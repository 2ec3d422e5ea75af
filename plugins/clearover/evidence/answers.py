"""Where one clear stands over one underglaze: tests first, then the next cone and the rules.

In: the cells of the pairing, what chemistry says, and the wish. Out: an `Answer`. Only tests at
the very cone and atmosphere asked for make an answer tested; all else is expected at best.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from ..chemistry.flags import expectation
from ..chemistry.results import Flag
from ..firing.cone import Cone, ConeRange, same_side
from . import reasons
from .cells import Tally, wilson_lower
from .results import STANDINGS, Answer, Counts, Seen
from .wishes import Wish

MOST_CROPS = 6
NOBODY = "no tile and no rule bears on it: test it"


def split_by_cone(
    cells: Iterable[Seen], cone: Cone, atmosphere: str
) -> tuple[list[Seen], list[Seen]]:
    """The cells that test this cone, and those up to one whole cone away on the same side."""
    here: list[Seen] = []
    near: list[Seen] = []
    for cell in cells:
        if not cell.counts or not cell.alone or cell.cone is None or cell.atmosphere != atmosphere:
            continue
        if cell.cone == cone:
            here.append(cell)
        elif same_side(cell.cone, cone) and abs(cell.cone.step - cone.step) <= 1:
            near.append(cell)
    return here, near


def from_tests(clear: str, tests: Tally, wish: Wish, cone: Cone, flags: tuple[Flag, ...]) -> Answer:
    """The answer where the very pairing was tested at this cone."""
    return Answer(
        clear=clear,
        standing=tests.standing(),
        reason=reasons.of_tests(tests, wish, cone),
        cells=tests.cells,
        tiles=tuple(dict.fromkeys(cell.tile for cell in tests.seen)),
        verdicts=reasons.verdict_counts(tests.seen, wish.prop),
        flags=flags,
        worst_underglaze=None,
        crops=crops_of(tests.seen),
        caution=wilson_lower(tests.tiles.good, tests.judged_tiles),
    )


def expected(
    clear: str, near: Tally | None, wish: Wish, cone: Cone, flags: tuple[Flag, ...]
) -> Answer:
    """The answer where it was not: the next cone and the rules, and `unknown` where they differ."""
    by_rule = expectation(flags, wish.prop)
    by_tiles = "unknown"
    neighbours: str | None = None
    if near:
        by_tiles = {"tested": "good", "avoid": "bad", "mixed": "unknown"}[near.standing()]
        neighbours = reasons.of_neighbours(near, wish, cone)
    said = {by_rule, by_tiles} - {"unknown"}
    says = said.pop() if len(said) == 1 else "unknown"
    standing = {"good": "expected", "bad": "doubtful", "unknown": "unknown"}[says]
    rule = reasons.of_flags(flags, wish, by_rule)
    urge: str | None = None
    if standing == "unknown":
        neighbours = neighbours or (None if rule else NOBODY)
        urge = None if "test it" in f"{neighbours} {rule}" else "test it"
    return Answer(
        clear=clear,
        standing=standing,
        reason=reasons.sentence(neighbours, rule, urge),
        cells=Counts(),
        tiles=tuple(dict.fromkeys(cell.tile for cell in near.seen)) if near else (),
        verdicts={},
        flags=flags,
        worst_underglaze=None,
    )


def held_to_cones(answer: Answer, cone: Cone, cones: ConeRange | None) -> Answer:
    """At best doubtful where the clear is not made for this cone."""
    if cones is None or cone in cones:
        return answer
    reason = reasons.sentence(answer.reason if answer.tiles else None, reasons.outside(cone, cones))
    worse = max(answer.standing, "doubtful", key=STANDINGS.index)
    return replace(answer, standing=worse, reason=reason)


def crops_of(cells: Iterable[Seen]) -> tuple[tuple[str, int, int], ...]:
    """Which cells to show: coats of the clear side by side, all else alike, from one tile.

    Of several such rows the one with most coats of the clear, then with most coats of colour: a
    sheer first coat shows the clay, not the colour.
    """
    rows: dict[tuple[str, int], dict[int, Seen]] = {}
    for cell in cells:
        row = rows.setdefault((cell.tile, cell.underglaze_coats or 0), {})
        row.setdefault(cell.clear_coats or 0, cell)
    if not rows:
        return ()
    best = max(rows, key=lambda key: (len(rows[key]), key[1]))
    chosen = [rows[best][coats] for coats in sorted(rows[best])]
    return tuple((cell.tile, cell.row, cell.column) for cell in chosen[:MOST_CROPS])


def rank(answer: Answer) -> tuple[int, float, float, str]:
    """Sort key: the standing, then the cautious share of good tiles, then of good cells."""
    cells = answer.cells
    share = wilson_lower(cells.good, cells.good + cells.bad + cells.unclear)
    return STANDINGS.index(answer.standing), -answer.caution, -share, answer.clear


def worst(answers: Iterable[tuple[str, Answer]], *, several: bool) -> Answer:
    """The answer of the colour (and wish) that suffers most; says whose where there are several."""
    whose, answer = max(answers, key=lambda pair: rank(pair[1])[:3])
    flags = tuple(replace(flag, underglaze=whose) for flag in answer.flags)
    return replace(answer, flags=flags, worst_underglaze=whose if several else None)
