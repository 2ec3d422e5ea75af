"""Write a file of the site, or keep the one of the last build when nothing in it changed.

In: addresses with bytes or with files at hand. Out: files below the site being built. A file that
stays the same is a hard link to the old one, so its time stamp stays too and a copy to a stick or
a server moves only what changed. Where links do not work (FAT, another disk), the file is written
and given the old one's time. It must not know what the files hold.
"""

from __future__ import annotations

import filecmp
import os
import shutil
from dataclasses import dataclass, field
from pathlib import Path


@dataclass(slots=True)
class Writer:
    """Writes below `target`; `old` is the last site, or None. `written` are the addresses done."""

    target: Path
    old: Path | None = None
    written: set[str] = field(default_factory=set)
    _folders: set[str] = field(default_factory=set)

    def write(self, address: str, content: bytes) -> None:
        """One file from bytes."""
        path = self._place(address)
        old = self.old / address if self.old else None
        if old is not None and _holds(old, content):
            if not _link(old, path):
                path.write_bytes(content)
                _same_time(old, path)
            return
        if path.exists():
            path.unlink()  # it may be a link to a file that must not change
        path.write_bytes(content)

    def place(self, address: str, source: Path) -> None:
        """One file whose name stands for its content: linked if possible, else copied.

        The old site's file of that name is as good, and keeps its time stamp when the cache was
        made anew.
        """
        path = self._place(address)
        old = self.old / address if self.old else None
        if old is not None and _size(old) == source.stat().st_size:
            source = old
        if not _link(source, path):
            shutil.copy2(source, path)

    def _place(self, address: str) -> Path:
        path, folder = self.target / address, address.rpartition("/")[0]
        if folder not in self._folders:
            path.parent.mkdir(parents=True, exist_ok=True)
            self._folders.add(folder)
        self.written.add(address)
        return path


def keep_unchanged(new: Path, old: Path) -> None:
    """Put the old file in the place of an equal new one."""
    try:
        if new.samefile(old) or not filecmp.cmp(new, old, shallow=False):
            return
    except OSError:
        return
    if not _link(old, new):
        _same_time(old, new)


def _size(path: Path) -> int | None:
    try:
        return path.stat().st_size
    except OSError:
        return None


def _holds(path: Path, content: bytes) -> bool:
    return _size(path) == len(content) and path.read_bytes() == content


def _link(source: Path, path: Path) -> bool:
    """Make `path` a hard link to `source`, whatever lay there; False where that is impossible."""
    try:
        os.link(source, path)
    except FileExistsError:
        beside = path.with_name(f".{path.name}.link")
        try:
            os.link(source, beside)
            beside.replace(path)
        except OSError:
            beside.unlink(missing_ok=True)
            return False
    except OSError:
        return False
    return True


def _same_time(old: Path, new: Path) -> None:
    times = old.stat()
    os.utime(new, ns=(times.st_atime_ns, times.st_mtime_ns))
