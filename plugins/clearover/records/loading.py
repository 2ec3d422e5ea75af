"""From the files of a catalogue's folder to records, one by one.

In: the folder. Out: every sound record and every problem of every file. Links between records are
followed elsewhere (`linking`, `checks`). Touches the disk to read only.
"""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from . import fields
from .building import build
from .faults import Faults, worded
from .models import Body, Clear, Firing, Material, Record, Studio, Underglaze
from .problem import Place, Problem, problem
from .tile import Tile
from .yaml_text import decode, read

KINDS: tuple[type[Record], ...] = (Underglaze, Clear, Body, Material, Firing, Tile)
STUDIO_FILE = "studio.yml"
TILE_FILE = "tile.yml"


@dataclass(slots=True)
class Loaded:
    """What lies in the folder. `beside` maps a tile's or firing's file to the names beside it."""

    studio: Studio | None = None
    records: dict[str, dict[str, Record]] = field(default_factory=dict)
    moved: dict[str, dict[str, tuple[str, str]]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    beside: dict[str, list[str]] = field(default_factory=dict)
    broken: dict[str, set[str]] = field(default_factory=dict)
    """Ids of records that are there but cannot be read: links to them are not reported again."""


def load(root: Path) -> Loaded:
    """Read everything below `root`. Never raises for what a record holds."""
    loaded = Loaded(
        records={kind.kind: {} for kind in KINDS},
        moved={kind.kind: {} for kind in KINDS},
        broken={kind.kind: set() for kind in KINDS},
    )
    _load_studio(root, loaded)
    for model in KINDS:
        folder = root / model.folder
        if folder.is_dir():
            _load_folder(root, folder, model, loaded)
    _tell_strays(root, loaded)
    return loaded


def shown(root: Path, path: Path) -> str:
    """A file's name as people see it: below the catalogue's parent, with forward slashes."""
    return path.relative_to(root.parent).as_posix()


def _load_studio(root: Path, loaded: Loaded) -> None:
    path = root / STUDIO_FILE
    if not path.is_file():
        place = Place(shown(root, path))
        loaded.problems.append(problem("studio-missing", place, found=STUDIO_FILE))
        return
    data = _read_file(root, path, loaded)
    if data is not None:
        record = _record(Studio, data, "studio", path, shown(root, path), loaded)
        loaded.studio = record if isinstance(record, Studio) else None


def _record(
    model: type[Record], data: dict[str, Any], ident: str, path: Path, name: str, loaded: Loaded
) -> Record | None:
    faults = Faults()
    record = build(model, data, ident, name, faults)
    loaded.problems += _word(faults, path, name)
    return record


def _load_folder(root: Path, folder: Path, model: type[Record], loaded: Loaded) -> None:
    seen: dict[str, str] = {}
    for path in _files(root, folder, loaded):
        name = shown(root, path)
        if model is Tile:
            if path.name != TILE_FILE:
                _beside(root, path, TILE_FILE, loaded)
                continue
            ident = path.parent.name
            if path.parent == folder:
                loaded.problems.append(
                    _stray(name, "give the tile a folder of its own, tiles/<id>/")
                )
                continue
        else:
            if path.suffix != ".yml":
                _beside(root, path, f"{path.stem}.yml", loaded)
                continue
            ident = path.stem
        if not fields.ID.fullmatch(ident) or len(ident) > 80:
            example = (
                "tiles/hedge-bottom-two-clears/tile.yml" if model is Tile else "hedge-bottom.yml"
            )
            wrong = problem("bad-file-name", Place(name, 1, 1), found=ident, wanted=example)
            loaded.problems.append(wrong)
            continue
        if ident in seen:
            twice = problem("id-twice", Place(name, 1, 1), found=ident, other=seen[ident])
            loaded.problems.append(twice)
            continue
        seen[ident] = name
        loaded.broken[model.kind].add(ident)
        data = _read_file(root, path, loaded)
        if data is None or _moved(model, data, ident, name, path, loaded):
            continue
        record = _record(model, data, ident, path, name, loaded)
        if record is not None:
            loaded.records[model.kind][ident] = record
            loaded.broken[model.kind].discard(ident)


def _files(root: Path, folder: Path, loaded: Loaded) -> list[Path]:
    """Every file below a folder, sorted; links that leave the catalogue are problems."""
    found = []
    home = root.resolve()
    for here, folders, names in os.walk(folder):
        folders.sort()
        for name in sorted(
            [*names, *[each for each in folders if (Path(here) / each).is_symlink()]]
        ):
            path = Path(here) / name
            if name.startswith("."):
                continue
            if path.is_symlink() and not path.resolve().is_relative_to(home):
                place = Place(shown(root, path), 1, 1)
                loaded.problems.append(problem("link-leaves-folder", place, found=name))
            elif path.is_file():
                found.append(path)
    return found


def _beside(root: Path, path: Path, record: str, loaded: Loaded) -> None:
    """Remember a file that lies beside a record; tell of one that belongs to none."""
    owner = path.parent / record
    name = shown(root, path)
    if path.suffix in (".yaml", ".yml"):
        loaded.problems.append(_stray(name, f"rename it to {record} or remove it"))
    elif owner.is_file():
        loaded.beside.setdefault(shown(root, owner), []).append(path.name)
    else:
        loaded.problems.append(_stray(name, f"add its record {record}, or remove it"))


def _stray(name: str, remedy: str) -> Problem:
    return problem("stray-file", Place(name, 1, 1), found=Path(name).name, wanted=remedy)


def _tell_strays(root: Path, loaded: Loaded) -> None:
    expected = {STUDIO_FILE, *(kind.folder for kind in KINDS)}
    for path in sorted(root.iterdir()) if root.is_dir() else ():
        if path.name not in expected and not path.name.startswith((".", "README")):
            folders = ", ".join(f"{kind.folder}/" for kind in KINDS)
            loaded.problems.append(_stray(shown(root, path), f"records lie in {folders}"))


def _read_file(root: Path, path: Path, loaded: Loaded) -> dict[str, Any] | None:
    name = shown(root, path)
    try:
        with path.open("rb") as file:
            raw = file.read(fields.LARGEST_READ)
    except OSError as error:
        unreadable = problem("file-unreadable", Place(name, 1, 1), found=error.strerror or "?")
        loaded.problems.append(unreadable)
        return None
    text, problems = decode(raw, name)
    loaded.problems += problems
    if text is None:
        return None
    data, problems = read(text, name)
    loaded.problems += problems
    if problems:
        return None
    if data is None or data == "":
        loaded.problems.append(problem("empty-record", Place(name, 1, 1)))
        return None
    if not isinstance(data, dict):
        what = "a list" if isinstance(data, list) else "a single text"
        loaded.problems.append(problem("not-keys", Place(name, 1, 1), found=what))
        return None
    return data


def _moved(
    model: type[Record], data: dict[str, Any], ident: str, name: str, path: Path, loaded: Loaded
) -> bool:
    """Whether the record is a stub that says where it moved."""
    if "moved to" not in data:
        return False
    faults = Faults()
    for key in data:
        if key not in ("moved to", "notes"):
            faults.add((key,), "unknown-key", word=key, kind="moved record", keys=["moved to"])
    target = faults.read(("moved to",), fields.as_id, data["moved to"])
    loaded.problems += _word(faults, path, name)
    if target and not faults.found:
        loaded.moved[model.kind][ident] = (target, name)
        loaded.broken[model.kind].discard(ident)
    return True


def _word(faults: Faults, path: Path, name: str) -> list[Problem]:
    if not faults.found:
        return []
    text, _ = decode(path.read_bytes(), name)
    return worded(faults, text or "", name)
