"""A colour is shown as it should look: true, under a clear, at the usual cone."""

from __future__ import annotations

from pathlib import Path

from clearover.evidence.findings import Findings
from clearover.evidence.results import Seen
from clearover.finder.swatches import swatches_of
from clearover.photos.results import Image, Sprite, TilePhotos
from clearover.records.words import NONE


def pictured(findings: Findings) -> dict[str, TilePhotos]:
    """A sprite for every tile; nobody looks at it."""
    image = Image("none.webp", Path("none.webp"), 10, 10)
    return {
        id_: TilePhotos(id_, (), Sprite(image, tile.rows, tile.columns, 10, 10), None)
        for id_, tile in findings.catalogue.tiles.items()
    }


def chosen(findings: Findings) -> dict[str, Seen]:
    at = {(one.tile, one.row, one.column): one for one in findings.seen}
    return {id_: at[place] for id_, place in swatches_of(findings, pictured(findings)).items()}


def test_each_shows_its_own_colour_alone(findings: Findings) -> None:
    found = chosen(findings)
    assert len(found) > 15
    for id_, seen in found.items():
        assert seen.underglaze == id_
        assert seen.alone


def test_a_true_and_clean_cell_under_a_clear_comes_first(findings: Findings) -> None:
    usual = findings.catalogue.studio.usual_cone
    at_usual = 0
    for id_, shown in chosen(findings).items():
        best = [
            one
            for one in findings.seen
            if one.underglaze == id_
            and one.alone
            and one.counts
            and one.clear != NONE
            and one.verdicts.get("colour") == ("true",)
            and one.verdicts.get("surface") == ("clean",)
            and one.verdicts.get("cover") == ("opaque",)
        ]
        if best:
            assert shown.verdicts["colour"] == ("true",)
            assert shown.verdicts.get("surface", ("clean",)) == ("clean",)
            assert shown.clear != NONE
        if any(one.cone == usual for one in best):
            assert shown.cone == usual
            at_usual += 1
    assert at_usual > 5


def test_without_photos_there_is_none(findings: Findings) -> None:
    assert swatches_of(findings, {}) == {}
