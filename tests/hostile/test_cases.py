"""Each folder of `cases` is laid over a sound studio and must lead to exactly its problems.

To add a case: a folder with the broken files below `combos/`, and `expected.yml`, which says why
and lists every problem in order: where, which rule, and the sentences (a piece of each is enough).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from broken_studio import HERE, expected, lay_out, place_of
from clearover.catalogue import read

CASES = sorted(path for path in (HERE / "cases").iterdir() if path.is_dir())


def test_the_base_is_sound(tmp_path: Path) -> None:
    catalogue = read(lay_out(tmp_path))
    assert catalogue.problems == ()
    assert len(catalogue.tiles["hedge-two-clears"].cells) == 6


def test_there_are_enough_cases() -> None:
    assert len(CASES) >= 60


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_broken_record_gets_exactly_its_problems(case: Path, tmp_path: Path) -> None:
    wanted = expected(case)["problems"]
    problems = read(lay_out(tmp_path, case)).problems
    assert [(place_of(p), p.rule) for p in problems] == [(w["at"], w["rule"]) for w in wanted]
    for problem, want in zip(problems, wanted, strict=True):
        assert want["says"] in problem.message
        assert want["fix"] in problem.remedy


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_broken_record_is_left_out_and_its_tile_with_it(case: Path, tmp_path: Path) -> None:
    catalogue = read(lay_out(tmp_path, case))
    wrong = {problem.place.file for problem in catalogue.errors}
    kinds = ("underglaze", "clear", "body", "material", "firing", "tile")
    there = {record.file for kind in kinds for record in catalogue.of(kind).values()}
    assert not wrong & there
    for tile in catalogue.tiles.values():
        own = {*tile.stacks, *tile.mixes, "none", "unknown"}
        assert {cell.underglaze for cell in tile.cells} <= {*catalogue.underglazes, *own}
        assert {cell.clear for cell in tile.cells} <= {*catalogue.clears, *own}
        assert set(tile.firings) <= set(catalogue.firings)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_problems_are_sorted_told_once_and_on_one_line(case: Path, tmp_path: Path) -> None:
    problems = read(lay_out(tmp_path, case)).problems
    order = [(p.place.file, p.place.line or 0, p.place.column or 0) for p in problems]
    assert order == sorted(order)
    assert len({str(p) for p in problems}) == len(problems)
    for p in problems:
        assert p.place.file == p.place.file.encode().decode()
        assert "\n" not in p.message and "\n" not in p.remedy
        assert "{" not in p.message.replace("{key", "").replace("{{", "")
        assert "Traceback" not in p.message and "None" not in p.message + p.remedy
        assert len(p.message) < 400


def test_script_in_names_is_kept_as_text(tmp_path: Path) -> None:
    catalogue = read(lay_out(tmp_path, HERE / "cases" / "script-in-names"))
    assert catalogue.underglazes["hedge-bottom"].name == "<script>alert(1)</script>"
    assert catalogue.clears["ferry-glass"].name.endswith("{found} %s \\ &amp;")


def test_norway_stays_norway(tmp_path: Path) -> None:
    folder = lay_out(tmp_path, HERE / "cases" / "norway")
    path = folder / "underglazes/brick-dust.yml"
    path.write_text(path.read_text("utf-8").replace("status: yes\n", ""), "utf-8")
    colour = read(folder).underglazes["brick-dust"]
    assert (colour.name, colour.maker, colour.notes) == ("no", "off", "y")


def test_the_moved_id_is_followed_in_every_cell(tmp_path: Path) -> None:
    catalogue = read(lay_out(tmp_path, HERE / "cases" / "moved-twice"))
    tile = catalogue.tiles["hedge-two-clears"]
    assert {cell.clear for cell in tile.cells} == {"lantern-pane", "ferry-glass", "none"}
    assert catalogue.moved["clear"] == {
        "old-pane": "lantern-pane",
        "older-pane": "lantern-pane",
    }
