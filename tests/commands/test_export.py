"""`clearover export`: what the files hold, and that they are whole and harmless."""

from __future__ import annotations

import csv
import io
import json

import pytest
from clearover.export.cells_csv import COLUMNS, as_text_only
from clearover.records.words import FACTORS
from hypothesis import given
from hypothesis import strategies as st


@pytest.fixture
def exported(run, studio):
    """The two files, read as another program would read them."""
    done = run("export", "data")
    assert done.returncode == 0, done.stderr
    whole = json.loads((studio / "data/catalogue.json").read_text(encoding="utf-8"))
    text = (studio / "data/cells.csv").read_bytes().decode("utf-8")
    return whole, list(csv.DictReader(io.StringIO(text, newline="")))


def by_id(records):
    return {record["id"]: record for record in records}


def test_every_record_is_there(exported):
    whole, rows = exported
    assert next(iter(whole)) == "clearover"
    assert set(by_id(whole["underglazes"])) == {"hedge-bottom", "brick-dust", "old-blue"}
    assert set(by_id(whole["clears"])) == {"lantern-pane", "ferry-glass"}
    assert set(by_id(whole["bodies"])) == {"white-stoneware"}
    assert set(by_id(whole["firings"])) == {"march-glaze"}
    assert set(by_id(whole["tiles"])) == {"hedge-bottom-two-clears", "layered"}
    assert whole["studio"]["usual_cone"] == "6"
    assert len(rows) == 7


def test_cones_keep_their_spelling_and_unknown_is_null(exported):
    whole, _ = exported
    colours = by_id(whole["underglazes"])
    assert colours["hedge-bottom"]["cones"] == "05..10"
    assert colours["old-blue"]["cones"] is None
    assert by_id(whole["firings"])["march-glaze"]["witness"] == {
        "top": {"5": "down", "6": "half", "7": "standing"}
    }
    assert by_id(whole["tiles"])["layered"]["reached"]["cone"] == "05.5"


def test_a_tile_carries_what_was_computed(exported):
    whole, _ = exported
    tile = by_id(whole["tiles"])["hedge-bottom-two-clears"]
    assert (tile["reached"]["cone"], tile["reached"]["by"]) == ("6", "witness")
    first = tile["cells"][0]
    assert (first["row"], first["column"]) == (1, 1)
    assert first["where"] == {
        "underglaze": "hedge-bottom",
        "underglaze_coats": 3,
        "body": "white-stoneware",
        "line_width_mm": "2.5",
        "clear": "lantern-pane",
        "clear_coats": 1,
    }
    assert first["verdicts"]["colour"] == ["shifted brown"]
    assert tile["judged"][0]["on"] == "2026-03-22"
    assert {"row": 2, "column": 1, "verdict": "shifted brown"} in tile["judged"][0]["colour"]


def test_a_colour_lists_where_it_was_tested(exported):
    whole, _ = exported
    tested = by_id(whole["underglazes"])["hedge-bottom"]["tested"]
    lantern = next(each for each in tested if each["clear"] == "lantern-pane")
    assert lantern["verdicts"]["colour"] == {"shifted brown": 2}
    assert (lantern["cone"], lantern["cells"]) == ("6", 2)
    assert by_id(whole["underglazes"])["brick-dust"]["tested"] == []  # only in a stack


def test_a_clear_carries_its_chemistry(exported):
    whole, _ = exported
    clears = by_id(whole["clears"])
    chemistry = clears["lantern-pane"]["chemistry"]
    assert sum(chemistry["oxides_weight_percent"].values()) == pytest.approx(100, abs=0.02)
    assert chemistry["zinc"]["class"] == "bearing"
    assert clears["ferry-glass"]["chemistry"]["unity"] is None
    assert clears["ferry-glass"]["chemistry"]["reason"]


def test_a_row_says_everything_of_its_cell(exported):
    _, rows = exported
    row = next(r for r in rows if (r["row"], r["column"]) == ("2", "1"))
    assert row["tile"] == "hedge-bottom-two-clears"
    assert row["clear_coats"] == "2"
    assert row["colour_verdict"] == "shifted brown"
    assert len(set(COLUMNS)) == len(COLUMNS), "a column name must be one column"
    assert (row["cone"], row["cone_known_by"]) == ("6", "witness")
    layered = next(r for r in rows if r["tile"] == "layered")
    assert layered["layers"] == "brick-dust 1; hedge-bottom 2"
    assert (layered["cone"], layered["cone_in_words"]) == ("05.5", "cone 05.5")
    assert layered["set_aside"] == "overfired"
    assert {factor.replace(" ", "_") for factor in FACTORS} <= set(COLUMNS)


def test_a_formula_is_only_text(exported):
    _, rows = exported
    assert {row["mark"] for row in rows} == {"'=1+1", "7"}


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@a", "\tx", "\rx"])
def test_every_beginning_of_a_formula_is_quoted(text):
    assert as_text_only(text) == "'" + text


@given(st.text())
def test_no_cell_begins_as_a_formula(text):
    shown = as_text_only(text)
    assert not shown.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert shown in (text, "'" + text)


def test_other_files_stay_and_ours_are_replaced(run, studio):
    (studio / "data").mkdir()
    (studio / "data/letter.txt").write_text("keep", encoding="utf-8")
    (studio / "data/cells.csv").write_text("old", encoding="utf-8")
    done = run("export", "data", "--json")
    assert json.loads(done.stdout)["written"] == ["data/catalogue.json", "data/cells.csv"]
    names = {path.name for path in (studio / "data").iterdir()}
    assert names == {"letter.txt", "cells.csv", "catalogue.json"}
    assert (studio / "data/letter.txt").read_text(encoding="utf-8") == "keep"
    assert (studio / "data/cells.csv").read_text(encoding="utf-8").startswith("tile,mark,")


def test_a_file_in_the_way_is_wrong_use(run, studio):
    (studio / "data").write_text("a file", encoding="utf-8")
    done = run("export", "data")
    assert done.returncode == 2
    assert (studio / "data").read_text(encoding="utf-8") == "a file"


def test_a_broken_record_is_left_out_and_named(run, studio):
    (studio / "combos/bodies/white-stoneware.yml").write_text("name:\n", encoding="utf-8")
    done = run("export", "data")
    assert done.returncode == 0
    assert "clearover check" in done.stderr
    whole = json.loads((studio / "data/catalogue.json").read_text(encoding="utf-8"))
    assert "combos/bodies/white-stoneware.yml" in whole["left_out"]


def test_two_exports_are_the_same_to_the_byte(run, studio):
    run("export", "one", PYTHONHASHSEED="1")
    run("export", "two", PYTHONHASHSEED="2")
    for name in ("catalogue.json", "cells.csv"):
        assert (studio / "one" / name).read_bytes() == (studio / "two" / name).read_bytes()


def test_an_empty_studio_exports_empty_lists(run, studio):
    for path in sorted((studio / "combos").rglob("*"), reverse=True):
        if path.is_dir():
            path.rmdir()
        elif path.name != "studio.yml":
            path.unlink()
    assert run("export", "data").returncode == 0
    whole = json.loads((studio / "data/catalogue.json").read_text(encoding="utf-8"))
    assert whole["tiles"] == []
    assert (studio / "data/cells.csv").read_text(encoding="utf-8").count("\n") == 1


def moved(tile, row, column):
    """The wall that a cell belongs to, as the JSON has it."""
    here = {"row": row, "column": column}
    return next((wall for wall in tile["movement"] if here in wall["cells"]), None)


def test_a_clear_says_how_far_it_moves_at_each_cone_it_is_meant_for(exported):
    whole, _ = exported
    clears = by_id(whole["clears"])
    (at_six,) = clears["lantern-pane"]["movement"]  # the studio fires 05 too; this clear does not
    assert at_six["cone"] == "6"
    for name in ("surface_run_mm", "line_drag_mm"):
        told = at_six[name]
        assert 0 < told["low"] < told["value"] < told["high"]
        assert told["model"] and told["source"]
    assert at_six["line_drag_mm"]["value"] < at_six["surface_run_mm"]["value"]
    (unknown,) = clears["ferry-glass"]["movement"]
    assert unknown["surface_run_mm"] == unknown["line_drag_mm"]
    assert unknown["surface_run_mm"]["value"] is None
    assert unknown["surface_run_mm"]["reason"].startswith("not computed: ")
    assert unknown["movement_word"] is unknown["movement_likely"] is None


def test_a_tile_says_how_far_the_clear_moved_on_each_cell(exported):
    whole, rows = exported
    tile = by_id(whole["tiles"])["hedge-bottom-two-clears"]
    one, two = moved(tile, 1, 1), moved(tile, 2, 1)
    assert one["clear"] == two["clear"] == "lantern-pane"
    # A film of twice the thickness runs farther: four times by Nusselt, less by its doubt.
    assert two["surface_run_mm"]["value"] > 2 * one["surface_run_mm"]["value"] > 0
    assert moved(tile, 1, 2)["surface_run_mm"]["value"] is None
    assert "neither a recipe" in moved(tile, 1, 2)["surface_run_mm"]["reason"]
    assert moved(tile, 1, 3) is None  # no clear
    assert any("no log" in note for note in one["movement_notes"] + tile["movement_notes"])
    for row in (row for row in rows if row["tile"] == tile["id"]):
        wall = moved(tile, int(row["row"]), int(row["column"]))
        for name in ("surface_run", "line_drag"):
            told = wall[f"{name}_mm"] if wall else {}
            for end, key in (("", "value"), ("_low", "low"), ("_high", "high")):
                column = row[f"{name}{end}_mm"]
                assert (float(column) if column else None) == told.get(key)
        why = wall["surface_run_mm"].get("reason") if wall else "not computed: there is no clear"
        assert row["movement_status"].startswith(why or "computed")


def test_a_tile_that_lay_flat_moved_nothing_and_says_so(run, studio):
    record = studio / "combos/tiles/hedge-bottom-two-clears/tile.yml"
    record.write_text(record.read_text(encoding="utf-8") + "stood: flat\n", encoding="utf-8")
    assert run("export", "data").returncode == 0
    whole = json.loads((studio / "data/catalogue.json").read_text(encoding="utf-8"))
    wall = moved(by_id(whole["tiles"])["hedge-bottom-two-clears"], 1, 1)
    assert wall["surface_run_mm"] == {"value": 0.0, "low": 0.0, "high": 0.0}
    assert any("lay flat" in note for note in wall["movement_notes"])
