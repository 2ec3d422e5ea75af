"""YAML read as text: no value is ever typed by YAML, and every value knows its line and column.

In: the bytes of one record. Out: dicts, lists and strings (`05` stays `05`, `no` stays `no`), or
the faults that kept it from being read. Positions are worked out again from the text when a
problem needs them, so that sound records pay nothing for them.

The event stream is read rather than composed nodes: it shows anchors, tags and duplicate keys,
which a loader hides.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from sys import intern
from typing import Any

import yaml

from .problem import Place, Problem, parser_phrases, problem

LARGEST_FILE = 262_144
DEEPEST = 12
MOST_VALUES = 8_000
LONGEST_TEXT = 8_000
"""Limits of our own choice: a long real tile record has 6 kB, depth 5 and 400 values."""

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_INVISIBLE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e"
    "\u2060-\u206f\ud800-\udfff\ufeff\ufff9-\ufffb\ufffe\uffff\U000e0000-\U000e007f]"
)
"""Control characters, marks of reading direction, odd line ends (YAML counts them as lines, editors
do not) and letters without a shape. Joiners (U+200C, U+200D) stay: some scripts need them."""

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


def decode(data: bytes, file: str, size: int = 0) -> tuple[str | None, list[Problem]]:
    """The text of a file, or None with the reason. A byte order mark is told and dropped.

    `size` is the file's whole length where `data` is only its beginning.
    """
    top = Place(file, 1, 1)
    if (size := max(size, len(data))) > LARGEST_FILE:
        return None, [problem("file-too-large", top, found=size, wanted=LARGEST_FILE)]
    problems = []
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or (b"\0" in data[:4] and any(data[:4])):
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
        return None, [*problems, _hidden(hidden[0], spot)]
    return text, problems


def _hidden(character: str, place: Place) -> Problem:
    return problem("control-character", place, found=f"U+{ord(character):04X}")


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


def start(text: str) -> Spot:
    """Where the record begins: its first key. Reads no further, so it costs next to nothing."""
    next_event = _LOADER(text).get_event
    while (event := next_event()) is not None:
        if isinstance(event, yaml.NodeEvent):
            return Spot(None, _position(event))
    return Spot(None, (1, 1))


def _position(event: Any) -> tuple[int, int]:
    mark = event.start_mark
    return mark.line + 1, mark.column + 1


class _Reader:
    """One pass over the events of one text."""

    def __init__(self, text: str, file: str, *, keep_spots: bool) -> None:
        self.text = text
        self.file = file
        self.keep = keep_spots
        self.problems: list[Problem] = []
        self.spots: dict[Path, Spot] = {}
        self._values = 0
        self._next: Callable[[], Any] = lambda: None

    def run(self) -> Any:
        try:
            self._next = _LOADER(self.text).get_event
            return self._document()
        except _Stop as stop:
            self.problems.append(stop.problem)
        except (yaml.YAMLError, UnicodeEncodeError) as error:
            self.problems.append(self._not_yaml(error))
        return None

    def _stop(self, rule: str, event: Any, **fields: Any) -> _Stop:
        return _Stop(problem(rule, self._place(event), **fields))

    def _place(self, event: Any) -> Place:
        return Place(self.file, *_position(event))

    def _document(self) -> Any:
        data: Any = None
        documents = 0
        while (event := self._next()) is not None:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise self._stop("several-documents", event)
            elif isinstance(event, yaml.NodeEvent):
                data = self._node(event, (), None, 0)
        return data

    def _guard(self, event: Any, depth: int) -> None:
        """Refuse what a record may not hold, before anything is built from it."""
        self._values = values = self._values + 1
        if (
            event.anchor is None
            and event.tag is None
            and depth <= DEEPEST
            and values <= MOST_VALUES
        ):
            return
        if event.anchor is not None:
            raise self._stop("anchor-or-alias", event, found=f"&{event.anchor}")
        if event.tag is not None:
            short = event.tag.replace("tag:yaml.org,2002:", "!!")
            raise self._stop("yaml-tag", event, found=short)
        if depth > DEEPEST:
            raise self._stop("too-deep", event, wanted=DEEPEST)
        raise self._stop("too-many-values", event, wanted=MOST_VALUES)

    def _node(self, event: Any, path: Path, key: Any | None, depth: int) -> Any:
        if self.keep:
            spot = Spot(_position(key) if key else None, _position(event))
            self.spots.setdefault(path, spot)
        if type(event) is yaml.ScalarEvent:
            return self._text(event, depth)
        if type(event) is yaml.AliasEvent:
            raise self._stop("anchor-or-alias", event, found=f"*{event.anchor}")
        self._guard(event, depth)
        if type(event) is yaml.SequenceStartEvent:
            return self._list(path, depth + 1)
        return self._map(path, depth + 1)

    def _text(self, event: Any, depth: int) -> str:
        text = intern(event.value)  # names and verdicts come again in every record
        self._guard(event, depth)
        if len(text) > LONGEST_TEXT:
            raise self._stop("text-too-long", event, found=len(text), wanted=LONGEST_TEXT)
        # Only double quotes know escapes such as "\\u202e", which `decode` cannot see.
        if event.style == '"' and (hidden := _INVISIBLE.search(text)):
            raise _Stop(_hidden(hidden[0], self._place(event)))
        return text

    def _list(self, path: Path, depth: int) -> list[Any]:
        items: list[Any] = []
        next_event, text, keep = self._next, self._text, self.keep
        while type(event := next_event()) is not yaml.SequenceEndEvent:
            if not keep and type(event) is yaml.ScalarEvent:  # most values, so without a detour
                items.append(text(event, depth))
            else:
                items.append(self._node(event, (*path, len(items)), None, depth))
        return items

    def _map(self, path: Path, depth: int) -> dict[str, Any]:
        found: dict[str, Any] = {}
        lines: dict[str, int] = {}
        while type(key := self._next()) is not yaml.MappingEndEvent:
            name = self._key(key, depth)
            if name in found:
                place = self._place(key)
                twice = problem("same-key-twice", place, found=name, first=lines[name])
                self.problems.append(twice)
            lines.setdefault(name, key.start_mark.line + 1)
            inner = (*path, name) if self.keep else path
            value = self._node(self._next(), inner, key, depth)
            found.setdefault(name, value)
        return found

    def _key(self, key: Any, depth: int) -> str:
        if type(key) is not yaml.ScalarEvent:
            what = "a list" if isinstance(key, yaml.SequenceStartEvent) else "a set of keys"
            what = "an alias" if isinstance(key, yaml.AliasEvent) else what
            raise self._stop("key-not-text", key, found=what)
        if key.value == "<<" and not key.style:
            raise self._stop("merge-key", key)
        return self._text(key, depth)

    def _not_yaml(self, error: Exception) -> Problem:
        mark = getattr(error, "problem_mark", None)
        said = (str(getattr(error, "problem", None) or error).splitlines() or ["?"])[0]
        lines = self.text.rstrip().split("\n")
        row, column = (mark.line, mark.column) if mark else (0, 0)
        if "nesting depth" in said:  # newer parsers give up by themselves when brackets pile up
            return problem("too-deep", Place(self.file, row + 1, column + 1), wanted=DEEPEST)
        if row >= len(lines):  # the parser points behind the end, where an editor shows nothing
            row, column = len(lines) - 1, len(lines[-1])
        line = lines[row]
        indent = line[: len(line) - len(line.lstrip())]
        if "\t" in indent or line[column : column + 1] == "\t":
            return problem("tab-indent", Place(self.file, row + 1, line.index("\t") + 1))
        found = parser_phrases().get(said, said)
        return problem("not-yaml", Place(self.file, row + 1, column + 1), found=found)
