"""What is wrong with a record, where, and what would be right.

In: a rule's id, a place, and what was found. Out: a `Problem` worded by the rule table
(`data/record-rules.yml`), which the rules page of the site is made from as well.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

import yaml

from ..tables import read_text


@dataclass(frozen=True, slots=True)
class Place:
    """A spot in a file. Line and column count from 1; both None for a file that is missing."""

    file: str
    line: int | None = None
    column: int | None = None

    def __str__(self) -> str:
        return ":".join(str(part) for part in (self.file, self.line, self.column) if part)


@dataclass(frozen=True, slots=True)
class Rule:
    """One thing a record must or should do. `says` and `fix` hold {fields} a problem fills in."""

    id: str
    severity: str
    says: str
    fix: str
    why: str


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault of one record. `message` is the whole sentence, `remedy` the text after `fix:`."""

    rule: str
    severity: str
    place: Place
    message: str
    found: str | None
    wanted: str | None
    remedy: str

    @property
    def is_error(self) -> bool:
        """Whether it stops a build."""
        return self.severity == "error"

    def __str__(self) -> str:
        return f"{self.place}: {self.rule} {self.message}\n    fix: {self.remedy}"


@cache
def _table() -> dict[str, Any]:
    text = read_text("record-rules.yml")
    table: dict[str, Any] = yaml.load(text, getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    return table


@cache
def rules() -> dict[str, Rule]:
    """Every rule by id, in the table's order."""
    return {name: Rule(id=name, **row) for name, row in _table()["rules"].items()}


@cache
def parser_phrases() -> dict[str, str]:
    """What the YAML parser says, in plain words."""
    return dict(_table()["parser phrases"])


LONGEST_QUOTE = 160
"""Characters of a record's own text quoted in a message; more is cut."""


def _quoted(value: Any) -> Any:
    """A record's text fit to stand in one line of a message."""
    if not isinstance(value, str):
        return value
    line = " ".join(value.split())
    return line if len(line) <= LONGEST_QUOTE else f"{line[: LONGEST_QUOTE - 1]}…"


def problem(
    rule: str, place: Place, *, found: Any = None, wanted: Any = None, **fields: Any
) -> Problem:
    """A problem in the table's words. `fields` (with `found` and `wanted`) fill its sentences."""
    row = rules()[rule]
    others = {name: _quoted(value) for name, value in fields.items()}
    filled = {"suggestion": "", "found": _quoted(found), "wanted": wanted, **others}
    return Problem(
        rule=rule,
        severity=row.severity,
        place=place,
        message=row.says.format_map(filled),
        found=None if found is None else str(found),
        wanted=None if wanted is None else str(wanted),
        remedy=row.fix.format_map(filled),
    )


def errors_of(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Those that stop a build, in the order given."""
    return tuple(each for each in problems if each.is_error)


def warnings_of(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Those that are only told, in the order given."""
    return tuple(each for each in problems if not each.is_error)


def in_order(problems: list[Problem]) -> list[Problem]:
    """Sorted by file, line and column; the same problem at the same place only once."""
    key = {(p.place, p.rule, p.message): p for p in problems}
    return sorted(
        key.values(),
        key=lambda p: (p.place.file, p.place.line or 0, p.place.column or 0, p.rule, p.message),
    )
