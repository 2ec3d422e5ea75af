"""The way through, as calls that `mkdocs build` and every command share.

    read     combos folder -> Catalogue (records, and all their problems)
    compute  Catalogue     -> Findings  (chemistry, cones reached, evidence, answers)
    develop  Catalogue     -> photos    (straightened, cropped, cached)

Rendering is `pages.write_site`; it takes what these three return.
"""

from __future__ import annotations

from pathlib import Path

from .records.catalogue import Catalogue
from .records.linking import read_catalogue


def read(combos: Path) -> Catalogue:
    """Every sound record below `combos`, and every problem. Never raises for what records hold."""
    return read_catalogue(combos)
