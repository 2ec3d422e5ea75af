"""The way through, as calls that `mkdocs build` and every command share.

    read     combos folder -> Catalogue (records, and all their problems)
    compute  Catalogue     -> Findings  (chemistry, cones reached, evidence, answers)
    develop  Catalogue     -> photos    (straightened, cropped, cached; see `photos.develop`)

Rendering is `pages.site`; it takes what these three return.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from .chemistry.clear import chemistry_of
from .chemistry.materials import MaterialBook
from .evidence.cells import seen_of
from .evidence.conflicts import conflicts_of
from .evidence.findings import Findings
from .evidence.reached import LogCone, reached_by
from .evidence.results import Reached, Seen
from .firing.log import KilnLog, cone_by_log, read_log
from .measuring.results import TileMeasurement
from .records.catalogue import Catalogue
from .records.linking import read_catalogue


def read(combos: Path) -> Catalogue:
    """Every sound record below `combos`, and every problem. Never raises for what records hold."""
    return read_catalogue(combos)


def compute(
    catalogue: Catalogue, measured: Mapping[str, TileMeasurement] | None = None
) -> Findings:
    """Everything the records show, and their photos where `measured` brings what these say."""
    book = MaterialBook.with_studio(catalogue.materials.values())
    chemistry = {ident: chemistry_of(clear, book) for ident, clear in catalogue.clears.items()}
    logs = {
        ident: read_log(catalogue.beside(firing, firing.log), firing.aimed)
        for ident, firing in catalogue.firings.items()
        if firing.log
    }
    reached = _reached(catalogue, logs)
    seen = tuple(
        cell for tile in catalogue.tiles.values() for cell in seen_of(tile, reached[tile.id])
    )
    by_pairing: dict[tuple[str, str], list[Seen]] = {}
    for cell in seen:
        by_pairing.setdefault((cell.underglaze, cell.clear), []).append(cell)
    cones = {*catalogue.studio.cones, *(r.cone for r in reached.values() if r.cone is not None)}
    return Findings(
        catalogue=catalogue,
        chemistry=chemistry,
        reached=reached,
        seen=seen,
        by_pairing=by_pairing,
        conflicts=conflicts_of(seen),
        cones=tuple(sorted(cones)),
        logs=logs,
        measured=measured or {},
    )


def _reached(catalogue: Catalogue, logs: Mapping[str, KilnLog]) -> dict[str, Reached]:
    suggested: dict[str, LogCone] = {ident: cone_by_log(log) for ident, log in logs.items()}
    found = {}
    for tile in catalogue.tiles.values():
        last = tile.firings[-1] if tile.firings else None
        firing = catalogue.firings.get(last) if last else None
        found[tile.id] = reached_by(tile, firing, suggested.get(last) if last else None)
    return found
