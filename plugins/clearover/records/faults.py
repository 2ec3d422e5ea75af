"""Faults gathered while one record is read, and how they become worded problems with a place.

In: paths of keys and indexes with a fault each. Out: `Problem`s. Positions are looked up in the
record's text only when there is a fault.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails, PydanticCustomError

from ..suggest import hint
from .fields import shape_of
from .problem import Place, Problem, problem
from .yaml_text import Path, Spot, spots, start

_ARTICLES = {"underglaze": "an"}
_OF_KEYS = {"dict_type", "model_type", "model_attributes_type"}


@dataclass(slots=True)
class Faults:
    """Faults of one record, in the order they were found."""

    found: list[tuple[Path, str, dict[str, Any]]] = field(default_factory=list)

    def add(self, path: Path, rule: str, **fields: Any) -> None:
        """Note a fault at a path. `fields` may hold `word`, `allowed` and what the rule needs."""
        self.found.append((path, rule, fields))

    def read(self, path: Path, reader: Callable[[Any], Any], value: Any) -> Any:
        """What `reader` makes of a value, or None with the fault noted."""
        try:
            return reader(value)
        except PydanticCustomError as error:
            self.add(path, error.type, **dict(error.context or {}))
            return None

    def take(self, error: ValidationError, parts: Mapping[str, tuple[str, list[str]]]) -> None:
        """Note everything a model found wrong.

        `parts` tells, for each key that holds a group of keys, what the group is called and which
        keys it may have.
        """
        for each in error.errors(include_url=False):
            self._take_one(each, parts)

    def _take_one(self, each: ErrorDetails, parts: Mapping[str, tuple[str, list[str]]]) -> None:
        path: Path = tuple(each["loc"])
        match each["type"]:
            case "missing":
                self.add(path, "missing-key", word=path[-1])
            case "extra_forbidden":
                kind, keys = parts[str(path[0])]
                self.add(path, "unknown-key", word=path[-1], kind=kind, keys=keys)
            case kind if kind in _OF_KEYS:
                self.add(path, "keys-wanted", shape=shape_of(each["input"]))
            case rule:
                self.add(path, rule, **dict(each.get("ctx") or {}))


def worded(faults: Faults, text: str, file: str) -> list[Problem]:
    """The faults as problems, each at its line and column."""
    if not faults.found:
        return []
    whole = any(path for path, _, _ in faults.found)
    where: dict[Path, Spot] = spots(text, file) if whole else {(): start(text)}
    return [_word(where, file, path, rule, fields) for path, rule, fields in faults.found]


def place_of(where: dict[Path, Spot], file: str, path: Path, *, key: bool = False) -> Place:
    """The place of a value (or its key); of the nearest thing around it where it is not there."""
    if path and path[-1] == "[key]":
        path, key = path[:-1], True
    here: Path = ()
    for part in path:
        if (*here, part) in where:
            here = (*here, part)
        elif part != 0:  # one value may stand for a list of one: then there is no 0 to find
            key = True
            break
    spot = where.get(here, Spot(None, (1, 1)))
    line, column = spot.key if key and spot.key else spot.value
    return Place(file, line, column)


_AT_KEY = {
    "unknown-key",
    "unknown-factor",
    "factor-twice",
    "name-taken",
    "nothing-written",
    "two-spellings",
}


def _word(
    where: dict[Path, Spot], file: str, path: Path, rule: str, fields: dict[str, Any]
) -> Problem:
    if rule == "missing-key":
        path = path[:-1]
    place = place_of(where, file, path, key=rule in _AT_KEY)
    word = fields.pop("word", None)
    found = fields.pop("found", word)
    wanted = fields.pop("wanted", None)
    suggestion = fields.pop("suggestion", "")
    if (allowed := fields.pop("allowed", None)) is not None:
        suggestion = hint(str(found), allowed)
        wanted = ", ".join(allowed)
    if (keys := fields.pop("keys", None)) is not None:
        suggestion = hint(str(found), keys)
        wanted = "remove it, or use one of: " + ", ".join(keys)
    if rule == "number-out-of-range":
        wanted = f"{fields.pop('low'):.9g} to {fields.pop('high'):.9g}"
    for name in ("first", "line"):
        if (other := fields.pop(f"{name}_path", None)) is not None:
            fields[name] = place_of(where, file, other, key=True).line
    kind = fields.pop("kind", "record")
    return problem(
        rule,
        place,
        found=found,
        wanted=wanted,
        suggestion=suggestion,
        kind=kind,
        article=_ARTICLES.get(kind, "a"),
        **fields,
    )
