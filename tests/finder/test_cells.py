"""The columns of cells repeat what was seen, no more and no less."""

from __future__ import annotations

from typing import Any

from clearover.evidence.findings import Findings
from clearover.records.words import NONE


def test_every_cell_is_sent_once_and_reads_back(
    findings: Findings, data: dict[str, Any], names: dict[str, Any]
) -> None:
    cells = data["cells"]
    tiles = [row[0] for row in names["tiles"]]
    clears = [row[0] for row in names["clears"]]
    at = {
        (tiles[t], r, c): n
        for n, (t, r, c) in enumerate(
            zip(cells["tile"], cells["row"], cells["column"], strict=True)
        )
    }
    assert len(at) == len(cells["tile"]) == len(findings.seen) > 500
    for seen in findings.seen:
        n = at[seen.tile, seen.row, seen.column]
        clear = cells["clear"][n]
        assert (clears[clear] if clear >= 0 else NONE) == seen.clear
        said = data["seen"][cells["seen"][n]]
        verdicts = [(prop, text) for prop, texts in seen.verdicts.items() for text in texts]
        assert list(zip(said[::2], said[1::2], strict=True)) == verdicts
        cone = data["tiles"]["cone"][cells["tile"][n]]
        assert (data["cones"][cone][0] if cone >= 0 else None) == (
            seen.cone.label if seen.cone else None
        )
        if seen.alone and seen.underglaze != NONE:
            assert names["underglazes"][cells["underglaze"][n]][0] == seen.underglaze
        else:
            assert cells["underglaze"][n] >= len(names["underglazes"])


def test_layers_are_named_top_first(findings: Findings, data: dict[str, Any]) -> None:
    names = {one.id: one.name for one in findings.catalogue.underglazes.values()}
    stack = next(
        stack for tile in findings.catalogue.tiles.values() for stack in tile.stacks.values()
    )
    expected = " over ".join(names[layer.underglaze] for layer in reversed(stack))
    assert expected in data["layered"]


def test_tiles_set_aside_are_marked(
    findings: Findings, data: dict[str, Any], names: dict[str, Any]
) -> None:
    aside = {
        row[0] for row, flag in zip(names["tiles"], data["tiles"]["aside"], strict=True) if flag
    }
    assert aside == {tile.id for tile in findings.catalogue.tiles.values() if tile.set_aside}
    assert aside
