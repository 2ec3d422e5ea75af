"""One file with all that is kept of every photo, a line each, so that a build opens no entry files.

In: a photo's key and what its entries say. Out: the same by key, to be checked like any entry: it
only spares opening. Where this file is gone, cut short or altered, the entries are read instead. A
build that writes it at the same time as another may drop lines, never mix them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from .cache import write_whole

_KEY = slice(2, 66)
"""Where a line, `["<digest>",{…}]`, holds its key."""


class Pack:
    """The lines of the last build; reads them all when it is made."""

    def __init__(self, folder: Path) -> None:
        self._file = folder / "photos.jsonl"
        self._lines = dict(self._read())
        self._before = frozenset(self._lines)
        self._used: set[bytes] = set()
        self._new: dict[bytes, bytes] = {}

    def find(self, key: str) -> Any:
        """What the line of this key holds, of whatever shape; None where there is none."""
        try:
            _, found = json.loads(self._lines.get(key.encode("ascii"), b""))
        except (ValueError, TypeError, RecursionError):
            return None
        return found

    def use(self, key: str) -> None:
        """Note that the line found is good; the others are forgotten."""
        self._used.add(key.encode("ascii"))

    def keep(self, key: str, told: dict[str, Any]) -> None:
        """A new line."""
        line = json.dumps([key, told], separators=(",", ":")).encode("ascii") + b"\n"
        self._new[key.encode("ascii")] = line

    def save(self) -> None:
        """Write the lines that were used, and the new ones."""
        if self._new or self._used != self._before:
            kept = {key: line for key, line in self._read() if key in self._used}
            write_whole(self._file, b"".join((kept | self._new).values()))

    def _read(self) -> Iterator[tuple[bytes, bytes]]:
        try:
            with self._file.open("rb") as file:
                yield from ((line[_KEY], line) for line in file if line.endswith(b"]\n"))
        except OSError:
            return
