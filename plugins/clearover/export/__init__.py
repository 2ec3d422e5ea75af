"""A catalogue as data for other programs: everything as JSON, and a row a cell as CSV.

In: findings, and photos where they were developed. Out: file names with their bytes. The `export`
command and the site write the same files from here; nothing here touches the disk.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..evidence.findings import Findings
    from ..photos.results import TilePhotos


def files(findings: Findings, photos: Mapping[str, TilePhotos] | None = None) -> dict[str, bytes]:
    """`catalogue.json` and `cells.csv`, by name."""
    from .catalogue_json import catalogue_json
    from .cells_csv import cells_csv

    return {
        "catalogue.json": catalogue_json(findings, photos or {}),
        "cells.csv": cells_csv(findings),
    }
