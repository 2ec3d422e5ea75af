"""What every check sees: all records, and a place to note what is wrong with which."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, cast

from ..faults import Faults, worded
from ..loading import Loaded
from ..models import Body, Clear, Firing, Material, Record, Studio, Underglaze
from ..problem import Problem
from ..tile import Tile
from ..yaml_text import Path as Spot
from ..yaml_text import decode

ABSENCES = {
    "no-photo",
    "photo-unused",
    "cone-unknown",
    "shelf-wanted",
    "nothing-fired",
    "corners-without-size",
    "true-colour-elsewhere",
    "declared-against-computed",
    "additions-to-nothing",
    "material-of-nothing",
    "not-a-glaze",
    "dragged-when-flat",
}
"""Rules that speak of what a record lacks."""


@dataclass(slots=True)
class Context:
    """All records that could be read, by kind and id, and the faults found between them."""

    root: Path
    loaded: Loaded
    faults: dict[str, Faults] = field(default_factory=dict)

    def note(self, record: Record, path: Spot, rule: str, **fields: Any) -> None:
        """Note a fault of a record at a path inside it.

        Of a record that was only read in part nothing is told that may lie in the other part.
        """
        if rule in ABSENCES and record.id in self.loaded.broken.get(record.kind, ()):
            return
        self.faults.setdefault(record.file, Faults()).add(path, rule, **fields)

    def noted(self, record: Record, rule: str) -> bool:
        """Whether a fault of this rule has been noted of a record."""
        faults = self.faults.get(record.file)
        return faults is not None and any(each == rule for _, each, _ in faults.found)

    def of(self, kind: str) -> Mapping[str, Record]:
        """The records of a kind."""
        return self.loaded.records[kind]

    @property
    def studio(self) -> Studio | None:
        return self.loaded.studio

    @property
    def underglazes(self) -> dict[str, Underglaze]:
        return cast(dict[str, Underglaze], self.loaded.records["underglaze"])

    @property
    def clears(self) -> dict[str, Clear]:
        return cast(dict[str, Clear], self.loaded.records["clear"])

    @property
    def bodies(self) -> dict[str, Body]:
        return cast(dict[str, Body], self.loaded.records["body"])

    @property
    def materials(self) -> dict[str, Material]:
        return cast(dict[str, Material], self.loaded.records["material"])

    @property
    def firings(self) -> dict[str, Firing]:
        return cast(dict[str, Firing], self.loaded.records["firing"])

    @property
    def tiles(self) -> dict[str, Tile]:
        return cast(dict[str, Tile], self.loaded.records["tile"])

    def beside(self, record: Record) -> list[str]:
        """Names of the other files in the record's folder."""
        return self.loaded.beside.get(record.file, [])

    def folder(self, record: Record) -> Path:
        """The folder the record lies in."""
        return (self.root.parent / record.file).parent

    def problems(self) -> list[Problem]:
        """Every noted fault, worded and placed."""
        found: list[Problem] = []
        for file, faults in self.faults.items():
            text, _ = decode((self.root.parent / file).read_bytes(), file)
            found += worded(faults, text or "", file)
        return found
