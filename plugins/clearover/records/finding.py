"""Which files lie in a catalogue's folder, and which of them are no files to be read.

In: the folder. Out: ordinary files, sorted, by the folder of their kind. Links that leave the
catalogue, pipes, folders in place of files and names nobody can type are told and left out.
Knows nothing of what a record holds.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from .fields import id_like
from .problem import Place, Problem, problem


def better(path: Path) -> str:
    """A sound name near to a file's or folder's own."""
    ending = ".yml" if path.suffix.lower() in (".yml", ".yaml") else path.suffix.lower()
    return f"{id_like(path.stem) or 'hedge-bottom'}{ending if ending.isascii() else ''}"


@dataclass(slots=True)
class Found:
    """The files below `root`. Problems are added to the list that is handed in."""

    root: Path
    problems: list[Problem]
    home: Path = field(init=False)

    def __post_init__(self) -> None:
        self.home = self.root.resolve()

    def shown(self, path: Path) -> str:
        """A file's name as people see it: below the catalogue's parent, with forward slashes."""
        return path.relative_to(self.root.parent).as_posix()

    def files(self, folder: str) -> Iterator[Path]:
        """Every ordinary file in one of the catalogue's folders and below it, sorted."""
        top = self.root / folder
        if os.path.lexists(top) and self.is_folder(top):
            yield from self._below(top)

    def _below(self, top: Path) -> Iterator[Path]:
        for here, folders, names in os.walk(top, onerror=self._unreadable):
            folder = Path(here)
            folders[:] = [name for name in sorted(folders) if self._enter(folder / name)]
            for name in sorted(names):
                if name[0] != "." and self.is_file(folder / name):
                    yield folder / name

    def _enter(self, path: Path) -> bool:
        if path.name.startswith("."):
            return False
        if path.suffix in (".yml", ".yaml"):
            self._tell(path, "a folder", "a record is a file: put the file itself here")
            return False
        return self.is_folder(path)

    def _unreadable(self, error: OSError) -> None:
        place = Place(self.shown(Path(error.filename)), 1, 1)
        self.problems.append(problem("file-unreadable", place, found=error.strerror or "?"))

    def is_folder(self, path: Path) -> bool:
        """Whether this is a folder of the catalogue itself; told where it is not."""
        if not self._typable(path):
            return False
        if path.is_symlink():
            return self._tell(path, "a link", "put the folder itself here")
        return path.is_dir() or self._tell(path, "a file", "make it a folder and put records in it")

    def is_file(self, path: Path) -> bool:
        """Whether this is an ordinary file of the catalogue; told where it is not."""
        if not self._typable(path):
            return False
        try:
            mode = path.lstat().st_mode
            if stat.S_ISLNK(mode):
                real = path.resolve(strict=True)
                if not real.is_relative_to(self.home):
                    place = Place(self.shown(path), 1, 1)
                    self.problems.append(problem("link-leaves-folder", place, found=path.name))
                    return False
                mode = real.stat().st_mode
        except (OSError, RuntimeError):  # a link to nothing, or to itself
            return self._tell(path, "a link that leads nowhere", "put the file itself here")
        if stat.S_ISREG(mode):
            return True
        what = "a folder" if stat.S_ISDIR(mode) else "a pipe or a device"
        return self._tell(path, what, "put an ordinary file here")

    def _typable(self, path: Path) -> bool:
        """Whether a name holds only characters that can be seen and written."""
        if path.name.isprintable():
            return True
        name = path.name.encode("unicode_escape").decode("ascii")
        place = Place(f"{self.shown(path.parent)}/{name}", 1, 1)
        self.problems.append(problem("bad-file-name", place, found=name, wanted=better(path)))
        return False

    def _tell(self, path: Path, what: str, remedy: str) -> bool:
        place = Place(self.shown(path), 1, 1)
        wrong = problem("not-an-ordinary-file", place, found=path.name, what=what, wanted=remedy)
        self.problems.append(wrong)
        return False

    def tell_stray(self, path: Path, remedy: str) -> None:
        """Tell of a file that belongs to no record."""
        place = Place(self.shown(path), 1, 1)
        self.problems.append(problem("stray-file", place, found=path.name, wanted=remedy))

    def tell_strays(self, expected: set[str], folders: str) -> None:
        """Tell of what lies in the catalogue's folder itself and is not `expected`."""
        for path in sorted(self.root.iterdir()) if self.root.is_dir() else ():
            known = path.name in expected or path.name.startswith((".", "README"))
            if not known and self._typable(path):
                self.tell_stray(path, f"records lie in {folders}")
