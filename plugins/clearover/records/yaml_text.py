"""YAML read as text: no value is ever typed by YAML, and every value knows its line and column.

In: the bytes of one record. Out: dicts, lists and strings (`05` stays `05`, `no` stays `no`), or
the faults that kept it from being read. Positions are worked out again from the text when a
problem needs them, so that sound records pay nothing for them.

The event stream is read rather than composed nodes: it shows anchors, tags and duplicate keys,
which a loader hides.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from .problem import Place, Problem, problem

LARGEST_FILE = 262_144
DEEPEST = 12
MOST_VALUES = 8_000
LONGEST_TEXT = 8_000
"""Limits of our own choice: a long real tile record has 6 kB, depth 5 and 400 values."""

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_INVISIBLE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\x80-\x84\x86-\x9f\u200b\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff]"
)

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a key and its value begin, line and column from 1. A list item has no key."""

    key: tuple[int, int] | None
    value: tuple[int, int]


class _Stop(Exception):
    """Reading cannot go on; the problem says why."""

    def __init__(self, found: Problem) -> None:
        self.problem = found


def decode(data: bytes, file: str) -> tuple[str | None, list[Problem]]:
    """The text of a file, or None with the reason. A byte order mark is told and dropped."""
    top = Place(file, 1, 1)
    if len(data) > LARGEST_FILE:
        return None, [problem("file-too-large", top, found=len(data), wanted=LARGEST_FILE)]
    problems = []
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return None, [problem("not-utf8", top, found="it looks like UTF-16")]
    if data.startswith(b"\xef\xbb\xbf"):
        data = data[3:]
        problems.append(problem("byte-order-mark", top))
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8", "replace")
        spot = Place(file, before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1)
        wrong = f"byte 0x{data[error.start]:02x}"
        return None, [*problems, problem("not-utf8", spot, found=wrong)]
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if hidden := _INVISIBLE.search(text):
        start = hidden.start()
        spot = Place(file, text.count("\n", 0, start) + 1, start - (text.rfind("\n", 0, start)))
        code = f"U+{ord(hidden[0]):04X}"
        return None, [*problems, problem("control-character", spot, found=code)]
    return text, problems


def read(text: str, file: str) -> tuple[Any, list[Problem]]:
    """The record's data as dicts, lists and strings, or None and the problems that stopped it."""
    reader = _Reader(text, file, keep_spots=False)
    data = reader.run()
    return data, reader.problems


def spots(text: str, file: str) -> dict[Path, Spot]:
    """Where every value of a record stands, by its path of keys and indexes."""
    reader = _Reader(text, file, keep_spots=True)
    reader.run()
    return reader.spots


class _Reader:
    """One pass over the events of one text."""

    def __init__(self, text: str, file: str, *, keep_spots: bool) -> None:
        self.text = text
        self.file = file
        self.keep = keep_spots
        self.problems: list[Problem] = []
        self.spots: dict[Path, Spot] = {}
        self._values = 0

    def run(self) -> Any:
        try:
            return self._document()
        except _Stop as stop:
            self.problems.append(stop.problem)
        except yaml.YAMLError as error:
            self.problems.append(self._not_yaml(error))
        except RecursionError:
            self._tell_stop("too-deep", Place(self.file), wanted=DEEPEST)
        return None

    def _tell_stop(self, rule: str, place: Place, **fields: Any) -> None:
        self.problems.append(problem(rule, place, **fields))

    def _place(self, event: Any) -> Place:
        return Place(self.file, event.start_mark.line + 1, event.start_mark.column + 1)

    def _document(self) -> Any:
        events = iter(yaml.parse(self.text, Loader=_LOADER))
        data: Any = None
        documents = 0
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise _Stop(problem("several-documents", self._place(event)))
            elif isinstance(event, yaml.NodeEvent):
                data = self._node(event, events, (), None, 0)
        return data

    def _guard(self, event: Any, depth: int) -> None:
        """Refuse what a record may not hold, before anything is built from it."""
        if isinstance(event, yaml.AliasEvent) or event.anchor:
            sign = "*" if isinstance(event, yaml.AliasEvent) else "&"
            raise _Stop(
                problem("anchor-or-alias", self._place(event), found=f"{sign}{event.anchor}")
            )
        if event.tag:
            raise _Stop(problem("yaml-tag", self._place(event), found=event.tag))
        if depth > DEEPEST:
            raise _Stop(problem("too-deep", self._place(event), wanted=DEEPEST))
        self._values += 1
        if self._values > MOST_VALUES:
            raise _Stop(problem("too-many-values", self._place(event), wanted=MOST_VALUES))

    def _node(
        self, event: Any, events: Iterator[Any], path: Path, key: Any | None, depth: int
    ) -> Any:
        self._guard(event, depth)
        if self.keep:
            mark = event.start_mark
            spot = (key.start_mark.line + 1, key.start_mark.column + 1) if key else None
            self.spots[path] = Spot(spot, (mark.line + 1, mark.column + 1))
        if isinstance(event, yaml.ScalarEvent):
            if len(event.value) > LONGEST_TEXT:
                long = problem(
                    "text-too-long",
                    self._place(event),
                    found=len(event.value),
                    wanted=LONGEST_TEXT,
                )
                raise _Stop(long)
            return event.value
        if isinstance(event, yaml.SequenceStartEvent):
            return self._list(events, path, depth)
        return self._map(events, path, depth)

    def _list(self, events: Iterator[Any], path: Path, depth: int) -> list[Any]:
        items: list[Any] = []
        for event in events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            items.append(self._node(event, events, (*path, len(items)), None, depth + 1))
        return items

    def _map(self, events: Iterator[Any], path: Path, depth: int) -> dict[str, Any]:
        found: dict[str, Any] = {}
        lines: dict[str, int] = {}
        for key in events:
            if isinstance(key, yaml.MappingEndEvent):
                break
            if not isinstance(key, yaml.ScalarEvent):
                what = "a list" if isinstance(key, yaml.SequenceStartEvent) else "a set of keys"
                what = "an alias" if isinstance(key, yaml.AliasEvent) else what
                raise _Stop(problem("key-not-text", self._place(key), found=what))
            self._guard(key, depth)
            name = key.value
            if name == "<<" and key.style is None:
                raise _Stop(problem("merge-key", self._place(key)))
            if name in found:
                self._tell_stop("same-key-twice", self._place(key), found=name, first=lines[name])
            lines.setdefault(name, self._place(key).line or 0)
            value = self._node(next(events), events, (*path, name), key, depth + 1)
            found.setdefault(name, value)
        return found

    def _not_yaml(self, error: yaml.YAMLError) -> Problem:
        mark = getattr(error, "problem_mark", None)
        said = str(getattr(error, "problem", None) or error).splitlines()[0]
        place = Place(self.file, mark.line + 1, mark.column + 1) if mark else Place(self.file, 1, 1)
        lines = self.text.split("\n")
        line = lines[mark.line] if mark and mark.line < len(lines) else ""
        indent = line[: len(line) - len(line.lstrip())]
        if "\t" in indent or (mark and line[mark.column : mark.column + 1] == "\t"):
            return problem("tab-indent", Place(self.file, place.line, line.index("\t") + 1))
        return problem("not-yaml", place, found=said)
