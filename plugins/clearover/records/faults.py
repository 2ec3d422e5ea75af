"""Faults gathered while one record is read, and how they become worded problems with a place.

In: paths of keys and indexes with a fault each. Out: `Problem`s. Positions are looked up in the
record's text only when there is a fault.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails, PydanticCustomError

from .problem import Place, Problem, problem
from .suggest import hint
from .yaml_text import Path, Spot, spots

_ARTICLES = {"underglaze": "an"}


@dataclass(slots=True)
class Faults:
    """Faults of one record, in the order they were found."""

    found: list[tuple[Path, str, dict[str, Any]]] = field(default_factory=list)

    def add(self, path: Path, rule: str, **fields: Any) -> None:
        """Note a fault at a path. `fields` may hold `word`, `allowed` and what the rule needs."""
        self.found.append((path, rule, fields))

    @contextmanager
    def at(self, *path: str | int) -> Iterator[None]:
        """Turn a fault raised inside into one noted at this path."""
        try:
            yield
        except PydanticCustomError as error:
            self.add(path, error.type, **dict(error.context or {}))

    def read(self, path: Path, reader: Callable[[Any], Any], value: Any) -> Any:
        """What `reader` makes of a value, or None with the fault noted."""
        with self.at(*path):
            return reader(value)
        return None

    def take(self, error: ValidationError, kind: str, keys: list[str]) -> None:
        """Note everything a model found wrong."""
        for each in error.errors(include_url=False, include_input=False):
            self._take_one(each, kind, keys)

    def _take_one(self, each: ErrorDetails, kind: str, keys: list[str]) -> None:
        path: Path = tuple(part for part in each["loc"])
        fields = dict(each.get("ctx") or {})
        match each["type"]:
            case "missing":
                self.add(path, "missing-key", word=path[-1])
            case "extra_forbidden":
                self.add(path, "unknown-key", word=path[-1], kind=kind, keys=keys)
            case "too_short" | "too_long":
                wanted = fields.get("min_length", fields.get("max_length"))
                self.add(path, "wrong-length", word=fields.get("actual_length"), count=wanted)
            case "tuple_type" | "list_type":
                self.add(path, "list-wanted", shape="text")
            case "dict_type" | "model_type" | "model_attributes_type":
                self.add(path, "keys-wanted", shape="text")
            case rule:
                self.add(path, rule, **fields)


def worded(faults: Faults, text: str, file: str) -> list[Problem]:
    """The faults as problems, each at its line and column."""
    if not faults.found:
        return []
    where = spots(text, file)
    return [_word(where, file, path, rule, fields) for path, rule, fields in faults.found]


def place_of(where: dict[Path, Spot], file: str, path: Path, *, key: bool = False) -> Place:
    """The place of a value (or its key); of the nearest thing around it where it is not there."""
    if path and path[-1] == "[key]":
        path, key = path[:-1], True
    exact = path in where
    while path not in where and path:
        path = path[:-1]
    spot = where.get(path, Spot(None, (1, 1)))
    line, column = spot.key if (key or not exact) and spot.key else spot.value
    return Place(file, line, column)


_AT_KEY = {"unknown-key", "unknown-factor", "factor-twice", "name-taken", "nothing-written"}


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
        wanted = f"{fields.pop('low'):g} to {fields.pop('high'):g}"
    if rule == "wrong-length":
        wanted = fields.pop("count")
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
