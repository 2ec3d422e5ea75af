"""`clearover new`: what it writes loads once it is filled in, and writes over nothing."""

from __future__ import annotations

import json
import re

import pytest
from clearover.commands.blanks import quoted
from clearover.records.yaml_text import read
from hypothesis import given
from hypothesis import strategies as st

FILLED = {
    "underglaze": {"colour": "green"},
    "clear": {"surface": "gloss"},
    "body": {"colour": "white"},
    "material": {"SiO2": "50", "Al2O3": "10", "CaO": "20", "Na2O": "18", "loss": "2"},
    "firing": {"fired": "2026-03-12", "aimed": "6"},
}


def fill(text, values):
    """Put values where blanks are, as a person would, leaving remarks where they stand."""
    for key, value in values.items():
        text, times = re.subn(rf"(?m)^( *{key}:)(?= *(#|$))", rf"\1 {value}", text)
        assert times == 1, key
    return text


def used(text):
    """The record with every commented key taken into use; lines of prose begin with `# `."""
    return re.sub(r"(?m)^#", "", re.sub(r"(?m)^# \S.*\n", "", text))


def problems(run):
    return json.loads(run("check", "--json").stdout)["problems"]


@pytest.mark.parametrize("kind", FILLED)
def test_a_blank_record_says_what_is_missing_and_then_loads(run, studio, kind):
    done = run("new", kind, "fresh-thing", "--json")
    assert done.returncode == 0, done.stderr
    path = studio / json.loads(done.stdout)["written"]
    blank = path.read_text(encoding="utf-8")
    here = f"combos/{path.relative_to(studio / 'combos').as_posix()}"
    assert any(p["file"] == here and p["severity"] == "error" for p in problems(run))
    path.write_text(fill(blank, FILLED[kind]), encoding="utf-8")
    assert [p for p in problems(run) if p["file"] == here] == []
    if kind != "firing":
        assert blank.count("Fresh Thing") == 1


@pytest.mark.parametrize("kind", FILLED)
def test_every_commented_example_is_right_too(run, studio, kind):
    path = studio / json.loads(run("new", kind, "fresh-thing", "--json").stdout)["written"]
    path.write_text(used(fill(path.read_text("utf-8"), FILLED[kind])), encoding="utf-8")
    assert "\n#" not in path.read_text("utf-8")
    here = path.relative_to(studio).as_posix()
    assert [p for p in problems(run) if p["file"] == here and p["severity"] == "error"] == []


def test_a_tile_is_laid_out_from_what_is_known(run, studio):
    words = "--underglaze hedge-bottom --clear lantern-pane,ferry-glass --coats 1,2,3"
    more = "--firing march-glaze --mark #9 --body white-stoneware --made 2026-03-01"
    done = run("new", "tile", "winter", *words.split(), *more.split())
    assert done.returncode == 0, done.stderr
    text = (studio / "combos/tiles/winter/tile.yml").read_text(encoding="utf-8")
    for line in (
        "across: {clear: [lantern-pane, ferry-glass]}",
        "down: {clear coats: [1, 2, 3]}",
        "  underglaze: hedge-bottom",
        "firings: [march-glaze]",
        'mark: "#9"',
        "made: 2026-03-01",
    ):
        assert line in text.splitlines(), line
    assert text.count("#      - [., .]") == 6
    here = "combos/tiles/winter/tile.yml"
    assert {p["rule"] for p in problems(run) if p["file"] == here} <= {"no-photo"}


def test_its_commented_lines_load_as_well(run, studio):
    run("new", "tile", "winter", "--underglaze", "hedge-bottom", "--clear", "none", "--cone", "6")
    path = studio / "combos/tiles/winter/tile.yml"
    text = used(path.read_text("utf-8")).replace("shelf: top", "#shelf: top")
    text = text.replace("[.]", "[true]", 1).replace("[.]", "[clean]", 1)
    (path.parent / "front.jpg").write_bytes(b"")
    path.write_text(text, encoding="utf-8")
    here = path.relative_to(studio).as_posix()
    found = [p for p in problems(run) if p["file"] == here and p["severity"] == "error"]
    assert [p for p in found if not p["rule"].startswith("photo-")] == []


def test_an_empty_tile_tells_what_is_missing(run, studio):
    assert run("new", "tile", "winter").returncode == 0
    here = "combos/tiles/winter/tile.yml"
    assert any(p["file"] == here and p["severity"] == "error" for p in problems(run))


@pytest.mark.parametrize(
    ("kind", "id"),
    [
        ("underglaze", "hedge-bottom"),
        ("tile", "hedge-bottom-two-clears"),
        ("tile", "layered"),
    ],
)
def test_nothing_is_written_over(run, studio, kind, id):
    before = {p: p.read_bytes() for p in studio.rglob("*") if p.is_file()}
    done = run("new", kind, id)
    assert done.returncode == 2
    assert "exists already" in done.stderr
    assert before == {p: p.read_bytes() for p in studio.rglob("*") if p.is_file()}


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("underglaze", "Fresh Thing"), "fresh-thing"),
        (("underglaze", "../fresh"), "no id"),
        (("tile", "con"), "choose another"),
        (("tyle", "fresh"), "tile"),
        (("tile", "fresh", "--underglaze", "hedge-botom"), "hedge-bottom"),
        (("tile", "fresh", "--firing", "march-glaze", "--cone", "6"), "not both"),
        (("tile", "fresh", "--coats", "many"), "1,2,3"),
        (("tile", "fresh", "--made", "12.3.2026"), "2026-03-10"),
        (("clear", "fresh", "--mark", "3"), "tiles"),
        (
            [
                "tile",
                "fresh",
                "--underglaze",
                "hedge-bottom,brick-dust",
                "--clear",
                "ferry-glass,lantern-pane",
                "--coats",
                "1,2",
            ],
            "two directions",
        ),
    ],
)
def test_wrong_use_writes_nothing(run, studio, words, says):
    before = {p for p in studio.rglob("*") if p.is_file()}
    done = run("new", *words)
    assert done.returncode == 2
    assert says in done.stderr
    assert before == {p for p in studio.rglob("*") if p.is_file()}


VISIBLE = st.characters(exclude_categories=["C", "Zl", "Zp"])


@given(st.text(VISIBLE, min_size=1).filter(str.strip))
def test_any_mark_survives_the_record(mark):
    data, found = read(f"mark: {quoted(mark)}\n", "x.yml")
    assert found == []
    assert data == {"mark": mark}
