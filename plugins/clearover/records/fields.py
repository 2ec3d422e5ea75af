"""How one piece of text becomes one typed value, and what is said when it does not.

Every reader raises `Fault`, which names a rule of the rule table; the place is added by `loading`.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BeforeValidator
from pydantic_core import PydanticCustomError

from ..day import today
from ..firing.cone import Cone, ConeRange, parse_cone, parse_range
from . import words

_NUMBER = re.compile(r"[+-]?[0-9]{1,9}(\.[0-9]{1,9})?")
_WHOLE = re.compile(r"0|[1-9][0-9]{0,6}")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")

LONGEST_ID = 80
LONGEST_NAME = 120
"""Characters of a name at the most; our own limit, so that a name fits on a page and a label."""

FIRST_YEAR = 1900
FURTHEST_AHEAD = dt.timedelta(days=366)
"""Days outside are slips of the pen; a draft may name a firing some months ahead."""

ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


def fault(rule: str, **found: object) -> PydanticCustomError:
    """A fault that the rule table can word. `found` fills the table's sentence."""
    return PydanticCustomError(rule, rule, dict(found))


def as_text(value: Any) -> str:
    """A single piece of text; lists, maps and nothing at all are faults."""
    if not isinstance(value, str):
        raise fault("text-wanted", shape=shape_of(value))
    if not value.strip():
        raise fault("nothing-written")
    return value.strip()


def as_name(value: Any) -> str:
    """A short piece of text on one line."""
    text = " ".join(as_text(value).split())
    if len(text) > LONGEST_NAME:
        raise fault("text-too-long", word=len(text), wanted=LONGEST_NAME)
    return text


def shape_of(value: Any) -> str:
    """What a value is, in a contributor's words."""
    if isinstance(value, list):
        return "a list"
    return "a set of keys" if isinstance(value, dict) else "text"


def one_of(*allowed: str) -> Callable[[Any], str]:
    """A reader that accepts only these words."""

    def read(value: Any) -> str:
        text = as_text(value)
        if text in allowed:
            return text
        folded = text.lower()
        if folded in allowed:
            return folded
        raise fault("unknown-word", word=text, allowed=list(allowed))

    return read


def number(low: float, high: float, unit: str) -> Callable[[Any], float]:
    """A reader for a decimal number between two limits, both allowed."""

    def read(value: Any) -> float:
        text = as_text(value)
        if not _NUMBER.fullmatch(text):
            raise fault("number-wanted", word=text, unit=unit)
        result = float(text)
        if not low <= result <= high:
            raise fault("number-out-of-range", word=text, low=low, high=high, unit=unit)
        return result

    return read


def whole(low: int, high: int, what: str) -> Callable[[Any], int]:
    """A reader for a whole number written in plain digits (no sign, no leading zero)."""

    def read(value: Any) -> int:
        text = as_text(value)
        if not _WHOLE.fullmatch(text):
            raise fault("whole-number-wanted", word=text, what=what)
        result = int(text)
        if not low <= result <= high:
            raise fault("number-out-of-range", word=text, low=low, high=high, unit=what)
        return result

    return read


def as_date(value: Any) -> dt.date:
    """A day, written year-month-day; it must exist and not lie far ahead."""
    text = as_text(value)
    if not _DAY.fullmatch(text):
        raise fault("date-wanted", word=text)
    try:
        day = dt.date.fromisoformat(text)
    except ValueError:
        raise fault("no-such-day", word=text) from None
    if day.year < FIRST_YEAR or day > today() + FURTHEST_AHEAD:
        raise fault("day-far-off", word=text)
    return day


def as_cone(value: Any) -> Cone:
    """One cone."""
    text = as_text(value)
    try:
        return parse_cone(text)
    except ValueError as error:
        raise fault("not-a-cone", word=text, why=str(error)) from None


def as_cone_range(value: Any) -> ConeRange:
    """A cone or a range of cones."""
    text = as_text(value)
    try:
        return parse_range(text)
    except ValueError as error:
        rule = "cones-backwards" if str(error).startswith("the range ") else "not-a-cone"
        raise fault(rule, word=text, why=str(error)) from None


def as_id(value: Any) -> str:
    """An id as in a file's name: lower case, digits, hyphens."""
    text = as_text(value)
    if not ID.fullmatch(text) or len(text) > LONGEST_ID:
        raise fault("not-an-id", word=text, wanted=id_like(text) or "hedge-bottom")
    return text


def id_like(text: str) -> str:
    """The id nearest to some words: `Hedge Bottom` gives `hedge-bottom`. May be empty."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:LONGEST_ID].strip("-")


def as_list(value: Any) -> list[Any]:
    """A single value counts as a list of one."""
    if value == "":
        raise fault("nothing-written")
    if isinstance(value, dict):
        raise fault("list-wanted", shape=shape_of(value))
    return value if isinstance(value, list) else [value]


def list_of(count: int, example: str) -> Callable[[Any], list[Any]]:
    """A reader for a list of exactly so many values."""

    def read(value: Any) -> list[Any]:
        if not isinstance(value, list):
            raise fault("list-wanted", shape=shape_of(value))
        if len(value) != count:
            raise fault("wrong-length", word=len(value), wanted=count, example=example)
        return value

    return read


def as_map(value: Any) -> dict[str, Any]:
    """A set of keys; none twice in two spellings (` kaolin`, `kaolin`)."""
    if value == "":
        raise fault("nothing-written")
    if not isinstance(value, dict):
        raise fault("keys-wanted", shape=shape_of(value))
    for key in value:
        if key != key.strip() and key.strip() in value:
            raise fault("two-spellings", word=key.strip())
    return value


def as_filled_map(value: Any) -> dict[str, Any]:
    """A set of keys with something in it."""
    if value == {}:
        raise fault("nothing-written")
    return as_map(value)


def as_cones_map(value: Any) -> dict[str, Any]:
    """A set of keys that are cones; none twice in two spellings (`5½`, `5.5`)."""
    written: dict[Cone, str] = {}
    for key in as_filled_map(value):
        try:
            cone = parse_cone(key)
        except ValueError:
            continue  # told by the key's own reader
        if written.setdefault(cone, key) != key:
            raise fault("two-spellings", word=key)
    return as_map(value)


Text = Annotated[str, BeforeValidator(as_text)]
Name = Annotated[str, BeforeValidator(as_name)]
Id = Annotated[str, BeforeValidator(as_id)]
Day = Annotated[dt.date, BeforeValidator(as_date)]
ConeText = Annotated[Cone, BeforeValidator(as_cone)]
ConesText = Annotated[ConeRange, BeforeValidator(as_cone_range)]
Status = Annotated[str, BeforeValidator(one_of(*words.STATUSES))]
KnownFrom = Annotated[str, BeforeValidator(one_of(*words.KNOWN_FROM))]
Colour = Annotated[str, BeforeValidator(one_of(*words.COLOURS))]
Atmosphere = Annotated[str, BeforeValidator(one_of(*words.ATMOSPHERES))]
Amount = Annotated[float, BeforeValidator(number(0, 1e6, "parts"))]
Percent = Annotated[float, BeforeValidator(number(0, 100, "percent"))]
