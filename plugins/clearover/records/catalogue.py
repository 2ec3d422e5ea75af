"""Every sound record of a studio, by kind and id, with all problems found on the way."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from .models import Body, Clear, Firing, Material, Record, Studio, Underglaze
from .problem import Problem, errors_of, warnings_of
from .tile import Tile


@dataclass(frozen=True, slots=True)
class Catalogue:
    """What a studio wrote, checked. `root` is the catalogue's folder (`combos`).

    A record with an error is left out; `problems` says why, sorted by file, line and column.
    `moved` maps kind -> old id -> new id.
    """

    root: Path
    studio: Studio
    underglazes: dict[str, Underglaze] = field(default_factory=dict)
    clears: dict[str, Clear] = field(default_factory=dict)
    bodies: dict[str, Body] = field(default_factory=dict)
    materials: dict[str, Material] = field(default_factory=dict)
    firings: dict[str, Firing] = field(default_factory=dict)
    tiles: dict[str, Tile] = field(default_factory=dict)
    moved: dict[str, dict[str, str]] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()

    def of(self, kind: str) -> dict[str, Record]:
        """The records of one kind (`underglaze`, `clear`, …) by id."""
        tables: dict[str, dict[str, Record]] = {
            "underglaze": dict(self.underglazes),
            "clear": dict(self.clears),
            "body": dict(self.bodies),
            "material": dict(self.materials),
            "firing": dict(self.firings),
            "tile": dict(self.tiles),
        }
        return tables[kind]

    def beside(self, record: Record, name: str) -> Path:
        """Where a photo or log that a record names lies: beside the record."""
        return self.root.parent / Path(record.file).parent / name

    def photo_path(self, tile: Tile, name: str) -> Path:
        """Where a photo named by a tile lies."""
        return self.beside(tile, name)

    @property
    def errors(self) -> tuple[Problem, ...]:
        """The problems that stop a build."""
        return errors_of(self.problems)

    @property
    def warnings(self) -> tuple[Problem, ...]:
        """The problems that are told and never stop a build."""
        return warnings_of(self.problems)
