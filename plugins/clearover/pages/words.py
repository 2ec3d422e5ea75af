"""What the pages say, in potters' words: dates, counts, factors, standings, how a thing is known.

In: values of records and findings. Out: plain text, never HTML. Knows no template and no address.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from ..chemistry.results import Class, Flag
from ..evidence.results import Answer, Reached
from ..firing.cone import Cone
from ..records.factors import Value
from ..records.words import NONE, UNKNOWN

MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
SMALL = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")

HOW_REACHED = {
    "witness": "witness cone on its shelf",
    "log": "the log suggests it",
    "aim": "as aimed, nothing in the kiln confirmed it",
    "tile": "as the record says, no firing recorded",
    "unknown": "nobody knows",
}
LABELS = {
    "underglaze": "colour",
    "underglaze coats": "coats of colour",
    "underglaze by": "colour put on by",
    "underglaze fired": "colour fired on",
    "clear coats": "coats of clear",
    "clear by": "clear put on by",
    "clear brushed": "clear brushed",
    "body was": "body was",
    "specific gravity": "specific gravity of the clear",
    "clear batch": "batch of clear",
    "line width mm": "line width",
}
EDGE = {
    "tested": "tested",
    "mixed": "tested",
    "avoid": "tested",
    "expected": "expected",
    "doubtful": "expected",
    "unknown": "unknown",
}
"""How sure a standing is, drawn as the edge round it: solid, dashed, dotted."""


def day(date: dt.date | None) -> str | None:
    """`10 March 2026`."""
    return None if date is None else f"{date.day} {MONTHS[date.month - 1]} {date.year}"


def count(number: int, one: str, many: str | None = None) -> str:
    """`1 tile`, `12 tiles`."""
    return f"{number} {one}" if number == 1 else f"{number} {many or one + 's'}"


def few(number: int, one: str, many: str | None = None) -> str:
    """`four clears`, as one writes it in a sentence; figures above ten."""
    written = SMALL[number] if number < len(SMALL) else str(number)
    return f"{written} {one}" if number == 1 else f"{written} {many or one + 's'}"


def joined(parts: Sequence[str], last: str = "and") -> str:
    """`a`, `a and b`, `a, b and c`."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {last} {parts[-1]}"


def first_upper(text: str) -> str:
    """The text with its first letter large, the rest as it was."""
    return text[:1].upper() + text[1:]


def cone(value: Cone | None) -> str:
    """`cone 5½`, or that nobody knows."""
    return "cone unknown" if value is None else f"cone {value.shown}"


def reached(found: Reached | None) -> str:
    """How the cone of a tile is known: `witness cone on its shelf`."""
    if found is None:
        return HOW_REACHED["unknown"]
    how = HOW_REACHED.get(found.by, found.by)
    return f"{how}; {found.note}" if found.note else how


def label(factor: str) -> str:
    """A factor's name for people."""
    return LABELS.get(factor, factor)


def coats(number: Value, of: str = "") -> str:
    """`1 coat`, `3 coats of clear`, `no coat`."""
    text = "no coat" if number == 0 else f"{number} coat" + ("" if number == 1 else "s")
    return f"{text} of {of}" if of else text


def value(factor: str, given: Value) -> str:
    """One value of one factor that is no link, as a heading of a row or column."""
    text = str(given)
    match factor:
        case "underglaze coats":
            return coats(given, "colour")
        case "clear coats":
            return coats(given, "clear")
        case "underglaze by" | "clear by":
            what = "colour" if factor.startswith("u") else "clear"
            return f"{what} by {text}"
        case "underglaze fired":
            return _fired_on(text)
        case "body was":
            return f"on {text}" if text.startswith("bisque") else f"on {text} clay"
        case "line":
            return f"{text} line"
        case "line width mm":
            return f"{number(given)} mm line"
        case "specific gravity":
            return f"specific gravity {number(given)}"
        case "clear batch":
            return f"batch {text}"
        case "clear brushed":
            return f"clear brushed {text}"
        case "clear" if text == NONE:
            return "no clear"
        case "underglaze" if text == NONE:
            return "no colour"
    return text


def plain(factor: str, given: Value) -> str:
    """One value beside its factor's label: `3`, `brush`, `cone 04`."""
    text = str(given)
    if factor == "underglaze fired" and text not in ("no", UNKNOWN):
        return f"cone {text.replace('.5', '½')}"
    if factor == "line width mm":
        return f"{number(given)} mm"
    return number(given)


def _fired_on(text: str) -> str:
    if text == "no":
        return "colour not fired on"
    if text == UNKNOWN:
        return "unknown whether fired on"
    return f"colour fired on at cone {text.replace('.5', '½')}"


def number(given: Value) -> str:
    """A number without needless noughts."""
    return f"{given:g}" if isinstance(given, float) else str(given)


def tally(verdicts: Iterable[str]) -> str:
    """`true`; where cells differ, how many: `true 2, faded 1`, the commonest first."""
    counted = Counter(verdicts).most_common()
    if len(counted) < 2:
        return "".join(text for text, _ in counted)
    told = [f"{text} {number}" for text, number in counted[:2]]
    rest = sum(number for _, number in counted[2:])
    return ", ".join([*told, f"other {rest}"] if rest else told)


def numbered(verdicts: Mapping[str, int]) -> str:
    """`true`; of several `true 2, faded 1`, in the order given."""
    if len(verdicts) < 2:
        return "".join(verdicts)
    return ", ".join(f"{text} {number}" for text, number in verdicts.items())


def rests_on(answer: Answer) -> str:
    """What an answer rests on: `2 tiles, 9 cells`."""
    cells = answer.cells.good + answer.cells.bad + answer.cells.unclear
    if not cells:
        return ""
    return f"{count(len(answer.tiles), 'tile')}, {count(cells, 'cell')}"


def expectation(flag: Flag) -> str:
    """What one flag leads to, short: `toward brown`, `unknown: test it`."""
    return "unknown: test it" if flag.direction == "unknown" else flag.effect


def short_expectation(answer: Answer) -> str:
    """What to expect of an untested pairing, short: `expect true`, `expect: toward brown`."""
    if answer.standing == "expected":
        thin = [flag.effect for flag in answer.flags if flag.effect.startswith("usually")]
        return thin[0] if thin else "expect true"
    if answer.standing == "doubtful":
        harm = [flag for flag in answer.flags if flag.direction == "harm"]
        harm.sort(key=lambda flag: flag.property != "colour")
        return f"expect: {harm[0].effect}" if harm else "doubtful"
    return ""


def _class_words(oxide: str, value: str) -> str:
    return {
        "bearing": f"{oxide}-bearing",
        "free": f"{oxide}-free",
        "high": f"high {oxide}",
        "low": f"low {oxide}",
        "between": f"neither high nor low {oxide}",
    }.get(value, "unknown: test it")


def known_class(oxide: str, found: Class) -> tuple[str, str]:
    """A clear's class in words and how it is known: (`zinc-free`, `from the recipe, 0.0 %`)."""
    words = _class_words(oxide, found.value)
    if found.guessed:
        return words, f"only guessed: {_class_words(oxide, found.guessed)}"
    if found.value == UNKNOWN:
        return words, "nobody declared it and no recipe tells"
    share = "" if found.weight_percent is None else f", {found.weight_percent:.1f} % by weight"
    how = {"recipe": "from the recipe", "analysis": "from the analysis"}
    return words, how.get(found.known_from, found.known_from) + share
