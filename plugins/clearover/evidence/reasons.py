"""Why a clear stands where it stands: one sentence a member understands.

In: tallies, flags and names. Out: text. Decides nothing.
"""

from __future__ import annotations

from collections import Counter

from ..chemistry.results import Flag
from ..firing.cone import Cone, ConeRange
from .cells import Tally
from .results import Seen
from .wishes import Wish


def verdict_counts(cells: tuple[Seen, ...], prop: str) -> dict[str, int]:
    """How often each verdict was given on these cells, commonest first."""
    found = Counter(text for cell in cells for text in cell.verdicts.get(prop, ()))
    return dict(found.most_common())


def of_tests(tally: Tally, wish: Wish, cone: Cone) -> str:
    """`True on 3 of 3 tiles at cone 6.` with the coats where they decide."""
    total = tally.judged_tiles
    tiles = "1 tile" if total == 1 else f"{total} tiles"
    said = listed(verdict_counts(tally.seen, wish.prop))
    coats = split_by_coats(tally.seen, wish)
    if coats:
        return f"{coats} on {tiles} at cone {cone.shown}."
    return f"{said[0].upper()}{said[1:]} on {tiles} at cone {cone.shown}."


def listed(verdicts: dict[str, int]) -> str:
    """`true in 5 cells, shifted brown in 1`; a single verdict stands alone."""
    if len(verdicts) == 1:
        return next(iter(verdicts))
    parts = [f"{text} in {count}" for text, count in list(verdicts.items())[:3]]
    parts[0] += " cells" if next(iter(verdicts.values())) > 1 else " cell"
    more = ", and other verdicts" if len(verdicts) > 3 else ""
    return ", ".join(parts) + more


def split_by_coats(cells: tuple[Seen, ...], wish: Wish) -> str | None:
    """A sentence where coats part good cells from bad ones; None where they do not.

    Coats of the clear are tried first, then coats of the colour.
    """
    for what in ("clear", "colour"):
        good = _coats(cells, wish, what, True)
        bad = _coats(cells, wish, what, False)
        if None in good | bad or not good or not bad or good & bad:
            continue
        one = f"{_commonest(cells, wish, True)} at {coats_text(good, what)}"
        other = f"{_commonest(cells, wish, False)} at {coats_text(bad, what)}"
        return f"{one[0].upper()}{one[1:]}, {other}"
    return None


def _coats(cells: tuple[Seen, ...], wish: Wish, what: str, says: bool) -> set[int | None]:
    return {
        cell.clear_coats if what == "clear" else cell.underglaze_coats
        for cell in cells
        if cell.opinions[wish.id] is says
    }


def _commonest(cells: tuple[Seen, ...], wish: Wish, says: bool) -> str:
    chosen = tuple(cell for cell in cells if cell.opinions[wish.id] is says)
    return next(iter(verdict_counts(chosen, wish.prop)))


def coats_text(coats: set[int | None], what: str) -> str:
    """`1 coat of clear`, `2 and 3 coats of colour`."""
    ordered = [str(count) for count in sorted(count for count in coats if count is not None)]
    text = " and ".join(filter(None, [", ".join(ordered[:-1]), ordered[-1]]))
    return f"{text} {'coat' if ordered == ['1'] else 'coats'} of {what}"


def of_neighbours(tally: Tally, wish: Wish, asked: Cone) -> str:
    """What tiles at the next cone showed: never a test of the cone asked for."""
    cones = sorted({cell.cone for cell in tally.seen if cell.cone is not None})
    where = " and ".join(cone.shown for cone in cones)
    said = listed(verdict_counts(tally.seen, wish.prop))
    tiles = "1 tile" if tally.judged_tiles == 1 else f"{tally.judged_tiles} tiles"
    return f"not tested at cone {asked.shown}, but {said} on {tiles} at cone {where}"


def of_flags(flags: tuple[Flag, ...], wish: Wish, direction: str) -> str | None:
    """The sentence of the strongest flag that points this way, or None."""
    order = {"strong": 0, "some": 1, "slight": 2}
    wanted = {"good": ("help", "none"), "bad": ("harm",), "unknown": ("unknown",)}[direction]
    fitting = [f for f in flags if f.property == wish.prop and f.direction in wanted]
    best = min(fitting, key=lambda flag: order.get(flag.strength, 3), default=None)
    return best.because if best else None


def outside(cone: Cone, cones: ConeRange) -> str:
    """Why a clear outside its cones is doubtful."""
    if cone < cones.low:
        return f"it is made for cone {cones.shown} and may stay dry or milky at {cone.shown}"
    return f"it is made for cone {cones.shown} and may run at {cone.shown}"


def sentence(*parts: str | None) -> str:
    """Join parts into one sentence: a capital first, none after a semicolon, one full stop."""
    said = [part.rstrip(". ") for part in parts if part]
    if not said:
        return ""
    text = "; ".join([said[0], *map(_uncapped, said[1:])])
    return f"{text[0].upper()}{text[1:]}."


def _uncapped(text: str) -> str:
    """Without its capital, unless the word is a formula or a name in capitals (`CaO`, `ZnO`)."""
    word = text.split(" ", 1)[0]
    return text if any(letter.isupper() for letter in word[1:]) else text[0].lower() + text[1:]
