"""Moved ids are followed everywhere; what needs a broken record is left out with it."""

from __future__ import annotations

from pathlib import Path

from clearover.catalogue import read


def _rules(folder: Path) -> list[str]:
    return [problem.rule for problem in read(folder).problems]


def _write(folder: Path, name: str, text: str) -> None:
    (folder / name).parent.mkdir(parents=True, exist_ok=True)
    (folder / name).write_text(text, "utf-8")


def test_moved_ids_are_followed_everywhere(studio: Path) -> None:
    for kind, old, new in (
        ("underglazes", "old-green", "hedge-bottom"),
        ("clears", "old-pane", "lantern-pane"),
        ("bodies", "old-clay", "white-stoneware"),
        ("firings", "old-load", "march-glaze"),
    ):
        _write(studio, f"{kind}/{old}.yml", f"moved to: {new}\n")
    _write(studio, "tiles/old-tile/tile.yml", "moved to: hedge-two-clears\n")
    _write(
        studio,
        "tiles/by-old-names/tile.yml",
        "firings: [old-load]\nshelf: top\n"
        "across: {underglaze: [old-green, brick-dust, half, over]}\n"
        "all: {clear: old-pane, body: old-clay}\n"
        "stacks: {over: [old-green 2]}\nmixes: {half: {old-green: 1, brick-dust: 1}}\n"
        "judged:\n  - {colour: {where: {underglaze: old-green}, is: true}}\n",
    )
    _write(
        studio,
        "underglazes/other-green.yml",
        "name: Other\ncolour: green\nstands in for: old-green\ntrue colour: old-tile\n",
    )
    catalogue = read(studio)
    assert {p.rule for p in catalogue.problems} <= {"moved-id", "no-photo", "true-colour-elsewhere"}
    tile = catalogue.tiles["by-old-names"]
    names = ["hedge-bottom", "brick-dust", "half", "over"]
    assert [cell.underglaze for cell in tile.cells] == names
    assert tile.across["underglaze"] == tuple(names)
    assert {(c.clear, c.where["body"]) for c in tile.cells} == {("lantern-pane", "white-stoneware")}
    assert tile.firings == ["march-glaze"]
    assert tile.stacks["over"][0].underglaze == "hedge-bottom"
    assert set(tile.mixes["half"]) == {"hedge-bottom", "brick-dust"}
    assert set(tile.judged[0].colour) == {(1, 1)}
    other = catalogue.underglazes["other-green"]
    assert other.stands_in_for == ["hedge-bottom"]
    assert other.true_colour == "hedge-two-clears"
    assert catalogue.moved["tile"] == {"old-tile": "hedge-two-clears"}


def test_dropped_records_take_their_tiles_with_them(studio: Path) -> None:
    for name in (
        "underglazes/hedge-bottom.yml",
        "clears/ferry-glass.yml",
        "bodies/white-stoneware.yml",
        "firings/bisque.yml",
    ):
        text = (studio / name).read_text("utf-8")
        _write(studio, name, text + "hue: x\n")
        catalogue = read(studio)
        assert [p.rule for p in catalogue.errors] == ["unknown-key"], name
        assert catalogue.tiles == {}, name
        _write(studio, name, text)
    assert read(studio).tiles


def test_a_colour_survives_the_tile_it_points_to(studio: Path) -> None:
    path = studio / "tiles/hedge-two-clears/tile.yml"
    path.write_text(path.read_text("utf-8").replace("stood: upright", "stood: askew"), "utf-8")
    catalogue = read(studio)
    assert [p.rule for p in catalogue.errors] == ["unknown-word"]
    assert catalogue.underglazes["hedge-bottom"].true_colour is None


def test_a_colour_that_stands_in_for_a_broken_one(studio: Path) -> None:
    _write(studio, "underglazes/broken.yml", "name: Broken\n")
    _write(studio, "underglazes/stand.yml", "name: S\ncolour: red\nstands in for: [broken]\n")
    catalogue = read(studio)
    assert [p.rule for p in catalogue.errors] == ["missing-key"]
    assert catalogue.underglazes["stand"].stands_in_for == []


def test_a_chain_that_ends_in_a_broken_record_is_told_once(studio: Path) -> None:
    _write(studio, "clears/one.yml", "moved to: two\n")
    _write(studio, "clears/two.yml", "moved to: three\n")
    _write(studio, "clears/three.yml", "name: Three\nsurface: wet\n")
    assert [p.rule for p in read(studio).errors] == ["unknown-word"]


def test_a_broken_studio_still_has_its_name(studio: Path) -> None:
    _write(studio, "studio.yml", "name: Two Shelf\ncones: [05, sex]\nusual cone: 6\n")
    catalogue = read(studio)
    assert [p.rule for p in catalogue.errors] == ["not-a-cone"]
    assert catalogue.studio.name == "Two Shelf"


def test_reading_twice_gives_the_same(studio: Path) -> None:
    assert read(studio) == read(studio)


def test_a_relative_root_and_a_linked_one(studio: Path, monkeypatch: object) -> None:
    link = studio.parent / "linked"
    link.symlink_to(studio)
    assert set(_rules(link)) == {"no-photo"}
    assert read(link).tiles


def test_every_fault_of_one_record_is_told_in_one_run(studio: Path) -> None:
    path = studio / "tiles/hedge-two-clears/tile.yml"
    text = path.read_text("utf-8")
    for old, new in (
        ("mark: 114", "mark: 114\nhue: x\nmark: 115"),
        ("made: 2026-02-10", "made: 12/3/26"),
        ("ferry-glass, none", "fairy-glass, none"),
        ("shelf: top", "shelf: tob"),
        ("is: hazy", "is: hasy"),
        ("on: 2026-03-22", "on: 2026-03-02"),
    ):
        text = text.replace(old, new)
    path.write_text(text, "utf-8")
    assert sorted(p.rule for p in read(studio).errors) == [
        "date-wanted",
        "judged-before-fired",
        "not-a-verdict",
        "same-key-twice",
        "unknown-id",
        "unknown-key",
        "unknown-shelf",
    ]
