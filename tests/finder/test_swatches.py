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


def test_a_true_cell_at_the_usual_cone_comes_first(findings: Findings) -> None:
    usual = findings.catalogue.studio.usual_cone
    for id_, seen in chosen(findings).items():
        good = [
            one
            for one in findings.seen
            if one.underglaze == id_
            and one.alone
            and one.counts
            and one.clear != NONE
            and one.verdicts.get("colour") == ("true",)
        ]
        if good:
            assert seen.verdicts["colour"] == ("true",)
            assert seen.clear != NONE
        if any(one.cone == usual for one in good):
            assert seen.cone == usual


def test_without_photos_there_is_none(findings: Findings) -> None:
    assert swatches_of(findings, {}) == {}
