"""Records and photos in, the `Site` that page makers draw on out, with every problem found.

In: the catalogue's folder and the cache. Out: a `Gathered`. It must not know MkDocs or templates.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from ..records.problem import Problem, errors_of, in_order, warnings_of
from .page import Site


@dataclass(frozen=True, slots=True)
class Gathered:
    """`site` is None where a record has an error: nothing is computed from half a catalogue."""

    site: Site | None
    problems: tuple[Problem, ...]

    @property
    def errors(self) -> tuple[Problem, ...]:
        """The problems that stop a build."""
        return errors_of(self.problems)

    @property
    def warnings(self) -> tuple[Problem, ...]:
        """The problems that are only told."""
        return warnings_of(self.problems)


def gather(combos: Path, cache: Path) -> Gathered:
    """Read and check all records, develop their photos, compute what they show."""
    from ..catalogue import compute, read
    from ..photos.develop import develop

    catalogue = read(combos)
    photos, faults = develop(catalogue, cache)
    problems = tuple(in_order([*catalogue.problems, *faults]))
    if errors_of(problems):
        return Gathered(None, problems)
    measured = {id_: tile.measured for id_, tile in photos.items() if tile.measured}
    return Gathered(Site(compute(catalogue, measured), photos, cache), problems)
