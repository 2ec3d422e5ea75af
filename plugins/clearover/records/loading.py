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
from .finding import Found, better
from .models import Body, Clear, Firing, Material, Record, Studio, Underglaze
from .problem import Place, Problem, problem
from .tile import Tile
from .words import FOLDERS
from .yaml_text import LARGEST_FILE, decode, read

KINDS: tuple[type[Record], ...] = (Underglaze, Clear, Body, Material, Firing, Tile)
STUDIO_FILE = "studio.yml"
TILE_FILE = "tile.yml"
RESERVED = {"none", "unknown", "index", "con", "prn", "aux", "nul"} | {
    f"{port}{number}" for port in ("com", "lpt") for number in range(10)
}
"""Words of a tile record, the page that lists a folder, and names that Windows keeps for itself
(Microsoft, Naming Files, Paths, and Namespaces; from memory)."""


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
    found = Found(root, loaded.problems)
    _load_studio(found, loaded)
    for model in KINDS:
        _load_folder(found, model, loaded)
    expected = {STUDIO_FILE, *FOLDERS.values()}
    found.tell_strays(expected, ", ".join(f"{folder}/" for folder in FOLDERS.values()))
    return loaded


def _load_studio(found: Found, loaded: Loaded) -> None:
    path = found.root / STUDIO_FILE
    if not os.path.lexists(path):
        place = Place(found.shown(path))
        loaded.problems.append(problem("studio-missing", place, found=STUDIO_FILE))
    elif found.is_file(path):
        data = _read_file(path, found.shown(path), loaded)
        if data is not None:
            record, _ = _record(Studio, data, "studio", path, found.shown(path), loaded)
            loaded.studio = record if isinstance(record, Studio) else None


def _record(
    model: type[Record], data: dict[str, Any], ident: str, path: Path, name: str, loaded: Loaded
) -> tuple[Record | None, bool]:
    """What could be read, and whether that is all of it."""
    faults = Faults()
    record = build(model, data, ident, name, faults)
    loaded.problems += _word(faults, path, name)
    return record, not faults.found


def _load_folder(found: Found, model: type[Record], loaded: Loaded) -> None:
    seen: dict[str, str] = {}
    for path in found.files(FOLDERS[model.kind]):
        name = found.shown(path)
        if not _is_record(found, path, name, model, loaded):
            continue
        ident = path.parent.name if model is Tile else path.stem
        if wrong := _wrong_name(path, ident, name, model):
            loaded.problems.append(wrong)
        elif ident in seen:
            twice = problem("id-twice", Place(name, 1, 1), found=ident, other=seen[ident])
            loaded.problems.append(twice)
        else:
            seen[ident] = name
            _load_record(path, name, ident, model, loaded)


def _load_record(path: Path, name: str, ident: str, model: type[Record], loaded: Loaded) -> None:
    loaded.broken[model.kind].add(ident)
    data = _read_file(path, name, loaded)
    if data is None or _moved(model, data, ident, name, path, loaded):
        return
    record, sound = _record(model, data, ident, path, name, loaded)
    if record is not None:
        loaded.records[model.kind][ident] = record
    if sound:
        loaded.broken[model.kind].discard(ident)


def _is_record(found: Found, path: Path, name: str, model: type[Record], loaded: Loaded) -> bool:
    """Whether a file is a record, by its name; what is none lies beside one or is told."""
    ending = path.suffix.lower()
    if model is Tile:
        if path.name == TILE_FILE:
            return True
        meant = path.stem.lower() == "tile" and ending in (".yml", ".yaml")
        owner = path.with_name(TILE_FILE)
    else:
        if path.suffix == ".yml":
            return True
        meant = ending in (".yml", ".yaml")
        owner = path.with_suffix(".yml")
    if meant:
        wanted = better(path)
        wrong = problem("bad-file-name", Place(name, 1, 1), found=path.name, wanted=wanted)
        loaded.problems.append(wrong)
    elif ending in (".yml", ".yaml"):
        found.tell_stray(path, f"the record of a tile is {TILE_FILE}: rename it or remove it")
    elif owner.is_file():
        loaded.beside.setdefault(found.shown(owner), []).append(path.name)
    else:
        found.tell_stray(path, f"add its record {owner.name}, or remove it")
    return False


def _wrong_name(path: Path, ident: str, name: str, model: type[Record]) -> Problem | None:
    place = Place(name, 1, 1)
    if model is Tile and ident == FOLDERS[Tile.kind] and name.count("/") == 2:
        wanted = "hedge-bottom-two-clears/tile.yml"
        return problem("bad-file-name", place, found=TILE_FILE, wanted=wanted)
    if ident in RESERVED:
        return problem("reserved-name", place, found=ident, wanted=f"{ident}-clay")
    if not fields.ID.fullmatch(ident) or len(ident) > fields.LONGEST_ID:
        wanted = f"{better(path.parent)}/{TILE_FILE}" if model is Tile else better(path)
        return problem("bad-file-name", place, found=ident, wanted=wanted)
    return None


def _read_file(path: Path, name: str, loaded: Loaded) -> dict[str, Any] | None:
    """The keys of one file, or None where it has none. A key written twice does not stop it."""
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
            size = os.fstat(file.fileno()).st_size
    except OSError as error:
        unreadable = problem("file-unreadable", Place(name, 1, 1), found=error.strerror or "?")
        loaded.problems.append(unreadable)
        return None
    text, problems = decode(raw, name, size)
    loaded.problems += problems
    if text is None:
        return None
    data, problems = read(text, name)
    loaded.problems += problems
    if data is None or data == "":
        if not problems:
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
