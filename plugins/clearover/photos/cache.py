"""Keep finished pictures by what they were made of, so that nothing is made twice.

In: a digest of everything a picture depends on, and the picture. Out: where it lies. Knows nothing
of photos. A folder, safe to share between processes and to merge from several machines:

    pictures/<name>-<digest8>.webp   what the site serves
    entries/<digest>.json            which pictures belong together, with size and checksum
    faults/<digest>.json             what is wrong with a photo that cannot be opened
    stamps.json                      size and time of files whose checksum is known
    matrix-stamps.json               the same for the strips of the matrix
    photos.jsonl                     a photo a line: all its entries, as the last build found them

Every write goes to a file beside and is then renamed. An entry whose picture is missing, cut short
or altered does not count: it is made again.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import tempfile
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import metadata
from pathlib import Path
from stat import S_ISREG
from typing import Any

from .limits import limits
from .results import Image

FAULTS = "faults"
VERSION = 3
"""Raise it whenever the same photo would come out differently."""


@dataclass(frozen=True, slots=True)
class Made:
    """A finished picture not yet kept. `stem` is its name without digest and ending."""

    role: str
    stem: str
    data: bytes
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Kept:
    """A picture in the cache, with its checksum and length in bytes."""

    role: str
    name: str
    width: int
    height: int
    sha256: str
    length: int


@dataclass(frozen=True, slots=True)
class Entry:
    """Pictures that were made together, and what their maker wants to know again."""

    pictures: tuple[Kept, ...]
    says: dict[str, Any]

    @classmethod
    def read(cls, found: Any) -> Entry:
        """From JSON. Raises ValueError where it is of another shape."""
        try:
            return cls(tuple(Kept(**row) for row in found["pictures"]), dict(found["says"]))
        except (TypeError, KeyError) as error:
            raise ValueError("not an entry") from error

    def written(self) -> dict[str, Any]:
        """As plain values for JSON."""
        rows = [{name: getattr(row, name) for name in Kept.__slots__} for row in self.pictures]
        return {"pictures": rows, "says": self.says}

    def of(self, role: str) -> tuple[Kept, ...]:
        """The pictures in one role."""
        return tuple(picture for picture in self.pictures if picture.role == role)


@cache
def tools() -> list[Any]:
    """What decides, beside photo and record, what comes out: our version, settings, encoder."""
    settings = {name: getattr(limits(), name) for name in limits().__slots__}
    return [VERSION, settings, metadata.version("pillow"), metadata.version("numpy")]


_sorted = json.JSONEncoder(sort_keys=True).encode


@cache
def _tools_text() -> str:
    return _sorted(tools())


def digest_of(kind: str, made_of: Any) -> str:
    """The digest of everything a picture is made of, the tools included."""
    text = f"[{_sorted(kind)}, {_sorted(made_of)}, {_tools_text()}]"
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def write_whole(path: Path, data: bytes) -> None:
    """Write a file all at once: whoever reads meanwhile sees the old one or the new one."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=".part-")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(beside).chmod(0o644)
        Path(beside).replace(path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


class Cache:
    """One photo cache. Cheap to make; reads nothing until asked."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.pictures = folder / "pictures"
        self.entries = folder / "entries"

    def find(self, key: str, stamps: Stamps | None = None) -> Entry | None:
        """What is kept under this digest, or None unless every picture is there and whole."""
        try:
            entry = Entry.read(json.loads((self.entries / f"{key}.json").read_bytes()))
        except (OSError, ValueError):
            return None
        return entry if self.is_whole(entry, stamps) else None

    def is_whole(self, entry: Entry, stamps: Stamps | None = None) -> bool:
        """Whether every picture of an entry is there, and is what was written."""
        return all(self._whole(picture, stamps) for picture in entry.pictures)

    def _whole(self, picture: Kept, stamps: Stamps | None) -> bool:
        if not isinstance(picture.name, str):
            return False
        path = self.pictures / picture.name
        if path.name != picture.name:  # it would lead elsewhere
            return False
        try:
            found = path.stat()
            if not S_ISREG(found.st_mode) or found.st_size != picture.length:
                return False
            sha = stamps.sha256(path, found) if stamps else file_sha256(path)
        except (OSError, ValueError):
            return False
        return sha == picture.sha256

    def keep(self, key: str, pictures: Sequence[Made], **says: Any) -> Entry:
        """Write the pictures and remember them, and what is said of them, under this digest.

        `beside` names pictures of another entry, without which this one is of no use.
        """
        kept = []
        for made in pictures:
            sha = hashlib.sha256(made.data).hexdigest()
            name = f"{made.stem}-{digest_of(made.role, [key, made.width, made.height])[:8]}.webp"
            write_whole(self.pictures / name, made.data)
            kept.append(Kept(made.role, name, made.width, made.height, sha, len(made.data)))
        entry = Entry(tuple(kept), says)
        text = json.dumps(entry.written(), sort_keys=True, indent=1)
        write_whole(self.entries / f"{key}.json", text.encode("ascii"))
        return entry

    def image(self, kept: Kept) -> Image:
        """A kept picture as pages know it."""
        return Image(kept.name, self.pictures / kept.name, kept.width, kept.height)


def file_sha256(path: Path) -> str:
    """The checksum of a file's bytes."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


class Stamps:
    """Checksums remembered by a file's size and time, so that an unchanged file is not opened.

    Each user has a file of its own (`name`), since what a run did not use is forgotten.
    """

    RACE_NS = 2_000_000_000
    """A file changed less than this before it was read may change again within its time stamp."""

    def __init__(self, folder: Path, name: str = "stamps.json") -> None:
        self._file = folder / name
        self._known: dict[str, list[Any]] = {}
        self._used: dict[str, list[Any]] = {}
        try:
            known = json.loads(self._file.read_bytes())
            if isinstance(known, dict):
                self._known = known
        except (OSError, ValueError):
            pass
        self.opened = 0

    def known(self, path: Path, found: os.stat_result | None = None) -> str | None:
        """The checksum of a file that is as it was, without opening it. `found` spares a look at
        its size and time."""
        found = found or path.stat()
        name = str(path.absolute())
        row = self._known.get(name)
        if not isinstance(row, list) or row[:2] != [found.st_size, found.st_mtime_ns]:
            return None
        self._used[name] = row
        return str(row[-1])

    def sha256(self, path: Path, found: os.stat_result | None = None) -> str:
        """The checksum of a file, read only where it is new or was touched."""
        found = found or path.stat()
        known = self.known(path, found)
        if known is not None:
            return known
        self.opened += 1
        sha = file_sha256(path)
        self.remember(path, sha, found)
        return sha

    def remember(self, path: Path, sha: str, found: os.stat_result) -> None:
        """Note a checksum taken when the file was as `found` says."""
        if time.time_ns() - found.st_mtime_ns > self.RACE_NS:
            self._used[str(path.absolute())] = [found.st_size, found.st_mtime_ns, sha]

    def save(self) -> None:
        """Write what was used in this run; the rest is forgotten."""
        if self._used != self._known:
            text = json.dumps(self._used, sort_keys=True, indent=0)
            write_whole(self._file, text.encode("utf-8"))


def prune(folder: Path, keep: Iterable[str], *, spare_s: float = 0.0) -> int:
    """Delete every picture not named in `keep`, and the entries that need one; how many pictures.

    Call it after a full build, with the names of all that the site shows. What was made less than
    `spare_s` seconds ago stays: another build may be about to use it. Faults go too, since a build
    with one does not end well: they are of photos that nobody uses any more. Entries are read only
    where a picture went: else each has what it needs.
    """
    names, gone, until = set(keep), 0, time.time() - spare_s
    cache_ = Cache(folder)
    for path in _inside(cache_.pictures):
        if path.name in names:
            continue
        with contextlib.suppress(FileNotFoundError):  # another build pruned it meanwhile
            if path.stat().st_mtime > until:
                names.add(path.name)
                continue
            path.unlink()
            gone += 1
    for path in _inside(folder / FAULTS):
        path.unlink(missing_ok=True)
    for path in _inside(cache_.entries) if gone else ():
        if not _needs(path) <= names:
            path.unlink(missing_ok=True)
    return gone


def _inside(folder: Path) -> list[Path]:
    """What a folder holds, listed before any of it goes; nothing where there is none."""
    return list(folder.iterdir()) if folder.is_dir() else []


def _needs(entry: Path) -> set[str]:
    """The pictures without which an entry is of no use; a damaged one needs one that is not."""
    try:
        found = json.loads(entry.read_bytes())
        used = {row["name"] for row in found["pictures"]}
        return used | set(found["says"].get("beside", ()))
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return {""}
