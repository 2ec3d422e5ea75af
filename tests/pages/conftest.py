"""A small studio made by hand, for the record pages: two colours, three clears, three tiles."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from clearover.chemistry.results import Class, ClearChemistry, Flag
from clearover.evidence.findings import Findings
from clearover.evidence.results import Answer, Counts, Reached, Seen
from clearover.firing.cone import parse_cone
from clearover.pages.page import Site
from clearover.photos.results import Image, Sprite, TilePhotos, WebPhoto
from clearover.records.catalogue import Catalogue
from clearover.records.models import Body, Clear, Firing, Studio, Underglaze
from clearover.records.tile import Cell, Judged, Layer, Tile, Verdict

HOSTILE = "<script>alert(1)</script>\"'&{{7*7}}"
ZINC = Flag(
    rule="zinc-chromium-green",
    pigment="chromium oxide",
    underglaze="hedge-bottom",
    effect="toward brown",
    direction="harm",
    property="colour",
    strength="strong",
    because="Zinc takes the chromium out of the green.",
    source="common practice",
    evidence="common practice",
    disagrees="One writer saw green stay green.",
    would_change="A clear with less zinc (under 1 weight %).",
)


class ByHand(Findings):
    """Findings whose flags and answers are worked out in the plainest way from the cells."""

    def flags(
        self, underglaze: str, clear: str, cone: Any, atmosphere: str, near: tuple[str, ...] = ()
    ) -> tuple[Flag, ...]:
        assert underglaze in self.catalogue.underglazes
        zinc = self.chemistry[clear].zinc.value == "bearing"
        return (ZINC,) if underglaze == "hedge-bottom" and zinc and cone.step > 0 else ()

    def one(self, underglaze: str, clear: str, cone: Any, atmosphere: str, wish: Any) -> Answer:
        cells = [
            seen
            for seen in self.by_pairing.get((underglaze, clear), [])
            if seen.cone == cone and seen.atmosphere == atmosphere
            if seen.alone and seen.counts
        ]
        texts = [seen.verdicts["colour"][0] for seen in cells if seen.verdicts.get("colour")]
        good = texts.count("true")
        flags = self.flags(underglaze, clear, cone, atmosphere)
        standing = "unknown"
        if texts:
            standing = "tested" if good > len(texts) * 2 / 3 else "avoid" if not good else "mixed"
        elif flags:
            standing = "doubtful"
        elif self.chemistry[clear].zinc.value != "unknown":
            standing = "expected"
        return Answer(
            clear=clear,
            standing=standing,
            reason=flags[0].because if flags else "",
            cells=Counts(good=good, bad=len(texts) - good),
            tiles=tuple(dict.fromkeys(seen.tile for seen in cells)),
            verdicts={text: texts.count(text) for text in texts},
            flags=flags,
            worst_underglaze=None,
            crops=tuple((seen.tile, seen.row, seen.column) for seen in cells[:3]),
        )


def _record(model: type, kind_folder: str, id_: str, **keys: Any) -> Any:
    written = {key.replace("_", " "): value for key, value in keys.items()}
    return model.model_validate({"@id": id_, "@file": f"combos/{kind_folder}/{id_}.yml", **written})


def _grid(rows: int, columns: int, where: Any) -> tuple[Cell, ...]:
    return tuple(
        Cell(row, column, where(row, column))
        for row in range(1, rows + 1)
        for column in range(1, columns + 1)
    )


def _colour(rows: list[list[str]]) -> dict[tuple[int, int], Verdict]:
    verdicts = {}
    for row, texts in enumerate(rows, 1):
        for column, text in enumerate(texts, 1):
            first, _, toward = text.partition(" ")
            verdicts[row, column] = Verdict((first,), toward or None)
    return verdicts


CLEARS = ("lantern-pane", "ferry-glass", "none")


def _grid_tile() -> Tile:
    def where(row: int, column: int) -> dict[str, Any]:
        return {
            "underglaze": "hedge-bottom",
            "clear": CLEARS[column - 1],
            "clear coats": row,
            "underglaze coats": 3,
            "body": "white-stoneware",
        }

    shifted = [["shifted brown", "true", "true"]] * 2
    return _record(
        Tile,
        "tiles",
        "hedge-bottom-clears",
        made="2026-03-10",
        mark="114",
        firings=["march-glaze-2"],
        shelf="bottom",
        stood="upright",
        lower_edge="bottom",
        across={"clear": CLEARS},
        down={"clear coats": (1, 2)},
        all={"underglaze": "hedge-bottom", "underglaze coats": 3, "body": "white-stoneware"},
        photos=[{"file": "front.jpg", "drawn": "yes"}],
        judged=(
            Judged("R. A.", dt.date(2026, 3, 22), colour=_colour(shifted)),
            Judged("M. B.", dt.date(2026, 4, 2), colour={(2, 2): Verdict(("faded",))}),
        ),
        **{"@cells": _grid(2, 3, where), "@rows": 2, "@columns": 3},
    )


def _stack_tile() -> Tile:
    def where(row: int, column: int) -> dict[str, Any]:
        return {"underglaze": "white-first", "clear": "lantern-pane", "body": "white-stoneware"}

    return _record(
        Tile,
        "tiles",
        "white-under-green",
        cone="05",
        atmosphere="oxidation",
        set_aside="overfired " + HOSTILE,
        notes=HOSTILE,
        all={"underglaze": "white-first", "clear": "lantern-pane", "body": "white-stoneware"},
        stacks={"white-first": (Layer("skylark", 2), Layer("hedge-bottom", 3))},
        **{"@cells": _grid(1, 1, where)},
    )


def _seen(tile: Tile, cone: str, atmosphere: str) -> list[Seen]:
    found = []
    for cell in tile.cells:
        texts = [
            verdict.text
            for judged in reversed(tile.judged)
            if (verdict := judged.verdict("colour", cell.row, cell.column))
        ]
        found.append(
            Seen(
                tile=tile.id,
                row=cell.row,
                column=cell.column,
                underglaze=cell.underglaze,
                clear=cell.clear,
                underglaze_coats=cell.underglaze_coats,
                clear_coats=cell.clear_coats,
                body=str(cell.where.get("body", "")) or None,
                cone=parse_cone(cone),
                atmosphere=atmosphere,
                alone=not tile.stacks,
                counts=tile.set_aside is None,
                verdicts={"colour": tuple(dict.fromkeys(texts))} if texts else {},
            )
        )
    return found


def _chemistry(clear: str, zinc: str, known: str) -> ClearChemistry:
    return ClearChemistry(
        clear=clear,
        oxides_weight_percent={"SiO2": 60.0, "Al2O3": 14.0, "CaO": 20.0, "ZnO": 6.0},
        oxides_mol_percent={"SiO2": 62.0, "Al2O3": 9.0, "CaO": 24.0, "ZnO": 5.0},
        unity={"CaO": 0.83, "ZnO": 0.17, "Al2O3": 0.31, "SiO2": 2.14},
        silica_to_alumina=6.9,
        loss_percent=8.0,
        zinc=Class(zinc, 6.0 if zinc == "bearing" else 0.0, known),
        lime=Class("high", 20.0, known),
        magnesia=Class("low", 0.0, known),
    )


def _nobody_knows(clear: str) -> ClearChemistry:
    nobody = Class("unknown", None, "nobody")
    none = dict.fromkeys(
        ("oxides_weight_percent", "oxides_mol_percent", "unity", "silica_to_alumina")
    )
    return ClearChemistry(
        clear=clear,
        **none,
        loss_percent=None,
        zinc=nobody,
        lime=nobody,
        magnesia=nobody,
        reason="no recipe and no analysis is written down",
    )


def _catalogue(tiles: list[Tile]) -> Catalogue:
    underglazes = [
        _record(
            Underglaze,
            "underglazes",
            "hedge-bottom",
            name="Hedge Bottom",
            colour="green",
            pigment=["chromium oxide"],
            known_from="maker",
            true_colour="hedge-bottom-clears",
        ),
        _record(
            Underglaze,
            "underglazes",
            "skylark",
            name="Skylark " + HOSTILE,
            colour="turquoise",
            stands_in_for=["hedge-bottom"],
        ),
    ]
    clears = [
        _record(
            Clear,
            "clears",
            "lantern-pane",
            name="Lantern Pane",
            surface="gloss",
            cones="5..6",
            recipe={"kaolin": "20", "quartz": "30", "zinc oxide": "8"},
            changed=["2026-02-10"],
        ),
        _record(Clear, "clears", "ferry-glass", name="Ferry Glass", surface="gloss", zinc="free"),
        _record(Clear, "clears", "bucket", name="Neighbour's Bucket", notes=HOSTILE),
    ]
    firing = _record(
        Firing,
        "firings",
        "march-glaze-2",
        fired="2026-03-12",
        kiln="north",
        heat="electric",
        atmosphere="oxidation",
        aimed="6",
        witness={
            "top": {"5": "down", "6": "half", "7": "standing"},
            "bottom": {"5": "half", "6": "standing"},
        },
        near=["tin white"],
    )
    body = _record(
        Body, "bodies", "white-stoneware", name="White Stoneware", colour="white", cones="5..6"
    )
    return Catalogue(
        root=Path("combos"),
        studio=_record(
            Studio,
            "",
            "studio",
            name="Weir Lane Pottery",
            cones=["05", "6"],
            usual_cone="6",
            atmosphere="oxidation",
        ),
        underglazes={one.id: one for one in underglazes},
        clears={one.id: one for one in clears},
        bodies={body.id: body},
        firings={firing.id: firing},
        tiles={one.id: one for one in tiles},
        moved={"underglaze": {"hedge-green": "hedge-bottom"}},
    )


@pytest.fixture(scope="session")
def findings() -> Findings:
    """The studio's findings."""
    tiles = [_grid_tile(), _stack_tile()]
    cone = parse_cone("6")
    seen = (*_seen(tiles[0], "6", "oxidation"), *_seen(tiles[1], "05", "oxidation"))
    pairs: dict[tuple[str, str], list[Seen]] = {}
    for one in seen:
        pairs.setdefault((one.underglaze, one.clear), []).append(one)
    return ByHand(
        catalogue=_catalogue(tiles),
        chemistry={
            "lantern-pane": _chemistry("lantern-pane", "bearing", "recipe"),
            "ferry-glass": _chemistry("ferry-glass", "free", "declared"),
            "bucket": _nobody_knows("bucket"),
        },
        reached={
            tiles[0].id: Reached(cone, "witness", "oxidation", ""),
            tiles[1].id: Reached(parse_cone("05"), "tile", "oxidation", ""),
        },
        seen=seen,
        by_pairing=pairs,
        cones=(parse_cone("05"), cone),
    )


@pytest.fixture(scope="session")
def no_tiles() -> Findings:
    """The findings of a studio that has written nothing yet."""
    studio = _record(Studio, "", "studio", name="New Studio")
    return ByHand(
        catalogue=Catalogue(root=Path("combos"), studio=studio),
        chemistry={},
        reached={},
        seen=(),
        by_pairing={},
    )


@pytest.fixture(scope="session")
def photos() -> dict[str, TilePhotos]:
    """Pictures of the first tile; the files themselves are not needed to write pages."""

    def image(name: str, width: int, height: int) -> Image:
        return Image(name=name, path=Path("cache") / name, width=width, height=height)

    corners = ((0.1, 0.1), (0.9, 0.12), (0.95, 0.8), (0.05, 0.78))
    tile = "hedge-bottom-clears"
    return {
        tile: TilePhotos(
            tile=tile,
            photos=(
                WebPhoto(
                    file="front.jpg",
                    sizes=(image("a-480.jpg", 480, 360), image("a-960.jpg", 960, 720)),
                    drawn=True,
                    caption=None,
                    corners=corners,
                ),
            ),
            sprite=Sprite(image("a-sprite.jpg", 360, 192), 2, 3, 120, 96),
            straight=image("a-straight.jpg", 600, 320),
        )
    }


@pytest.fixture(scope="session")
def site(findings: Findings, photos: dict[str, TilePhotos]) -> Site:
    """The studio, as page makers get it."""
    return Site(findings, photos, Path("cache"))


@pytest.fixture(scope="session")
def bare_site(no_tiles: Findings) -> Site:
    """A studio that has written nothing yet."""
    return Site(no_tiles, {}, Path("cache"))
