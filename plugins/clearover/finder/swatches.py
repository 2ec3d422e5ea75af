"""The one cell that shows a colour as a member knows it: fired, under a clear, as it should look.

In: findings and photos. Out: underglaze -> (tile, row, column). Of cells with a picture the
choice is, in order: judged true under a clear; without a clear; under one, not judged; any. Among
those a clean surface, full cover and the studio's usual cone come first, then more coats of colour.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..evidence.findings import Findings
from ..evidence.results import Seen
from ..firing.cone import Cone
from ..photos.results import TilePhotos
from ..records.words import NONE

Place = tuple[str, int, int]


def swatches_of(findings: Findings, photos: Mapping[str, TilePhotos]) -> dict[str, Place]:
    """A cell for each colour that has one with a picture."""
    usual = findings.catalogue.studio.usual_cone
    best: dict[str, tuple[tuple[int, ...], Place]] = {}
    for seen in findings.seen:
        if not seen.alone or seen.underglaze == NONE or not _pictured(seen, photos):
            continue
        place = (seen.tile, seen.row, seen.column)
        rank = _rank(seen, usual)
        known = best.get(seen.underglaze)
        if known is None or (rank, place) < known:
            best[seen.underglaze] = (rank, place)
    return {underglaze: place for underglaze, (_, place) in best.items()}


def _pictured(seen: Seen, photos: Mapping[str, TilePhotos]) -> bool:
    found = photos.get(seen.tile)
    sprite = found.sprite if found else None
    return sprite is not None and seen.row <= sprite.rows and seen.column <= sprite.columns


def _rank(seen: Seen, usual: Cone | None) -> tuple[int, ...]:
    said = seen.verdicts.get("colour")
    if seen.clear == NONE:
        kind = 1
    elif said is None:
        kind = 2
    else:
        kind = 0 if said == ("true",) else 3
    return (
        not seen.counts,
        kind,
        seen.verdicts.get("surface", ("clean",)) != ("clean",),
        seen.verdicts.get("cover", ("opaque",)) != ("opaque",),
        seen.cone != usual,
        -(seen.underglaze_coats or 0),
        seen.clear_coats or 0,
    )
