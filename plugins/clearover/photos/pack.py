"""One file with all that is kept of every photo, a line each, so that a build opens no entry files.

In: a photo's key and what its entries say. Out: the same by key, to be checked like any entry: it
only spares opening. Where this file is gone, cut short or altered, the entries are read instead. A
build that writes it at the same time as another may drop lines, never mix them.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from .cache import write_whole

_KEY = slice(2, 66)
"""Where a line, `["<digest>",{…}]`, holds its key."""
_LINE = re.compile(rb"^.+\]$", re.MULTILINE)


class Pack:
    """The lines of the last build. The file is kept whole and cut where a line is asked for: as one
    piece its memory goes back at the end, as thousands of lines it would not."""

    def __init__(self, folder: Path) -> None:
        self._file = folder / "photos.jsonl"
        self._data, self._lines = self._read()
        self._used: set[bytes] = set()
        self._new: dict[bytes, bytes] = {}

    def find(self, key: str) -> Any:
        """What the line of this key holds, of whatever shape; None where there is none."""
        line = self._data[self._lines.get(key.encode("ascii"), slice(0))]
        try:
            _, found = json.loads(line)
        except (ValueError, TypeError, RecursionError):
            return None
        return found

    def use(self, key: str) -> None:
        """Note that the line found is good; the others are forgotten."""
        self._used.add(key.encode("ascii"))

    def keep(self, key: str, told: dict[str, Any]) -> None:
        """A new line."""
        line = json.dumps([key, told], separators=(",", ":"))
        self._new[key.encode("ascii")] = line.encode("ascii")

    def save(self) -> None:
        """Write the lines that were used, and the new ones."""
        if self._new or self._used != self._lines.keys():
            data, lines = self._read()
            kept = {key: data[where] for key, where in lines.items() if key in self._used}
            write_whole(self._file, b"".join(line + b"\n" for line in (kept | self._new).values()))

    def _read(self) -> tuple[bytes, dict[bytes, slice]]:
        """The file, and where in it each key's line lies."""
        try:
            data = self._file.read_bytes()
        except OSError:
            return b"", {}
        found = (line.span() for line in _LINE.finditer(data))
        return data, {data[start:end][_KEY]: slice(start, end) for start, end in found}
