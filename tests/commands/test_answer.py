"""`clearover answer`: the finder's answer in the terminal."""

from __future__ import annotations

import json

import pytest

STANDINGS = {"tested", "mixed", "expected", "unknown", "doubtful", "avoid"}


def answers(done):
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_the_clear_that_keeps_the_green_comes_first(run):
    told = answers(run("answer", "hedge-bottom", "--json"))
    assert told["question"] == {
        "underglazes": ["hedge-bottom"],
        "cone": "6",
        "wishes": ["true_colour"],
        "atmosphere": "oxidation",
    }
    first, last = told["answers"][0], told["answers"][-1]
    assert (first["clear"], first["standing"]) == ("ferry-glass", "tested")
    assert (last["clear"], last["standing"]) == ("lantern-pane", "avoid")
    assert first["cells"] == {"good": 2, "bad": 0, "unclear": 0}
    assert first["tiles"] == ["hedge-bottom-two-clears"]


def test_every_answer_has_every_key(run):
    keys = [
        "clear",
        "standing",
        "reason",
        "probability",
        "low",
        "high",
        "cells",
        "tiles",
        "verdicts",
        "flags",
        "worst_underglaze",
    ]
    for answer in answers(run("answer", "hedge-bottom", "brick-dust", "--json"))["answers"]:
        assert list(answer) == keys
        assert answer["standing"] in STANDINGS
        assert answer["reason"]


def test_two_colours_are_held_by_the_one_that_suffers(run):
    told = answers(run("answer", "hedge-bottom", "brick-dust", "--json"))
    by_clear = {answer["clear"]: answer for answer in told["answers"]}
    assert by_clear["lantern-pane"]["standing"] == "avoid"
    assert by_clear["lantern-pane"]["worst_underglaze"] == "hedge-bottom"


def test_people_get_the_clear_its_standing_and_the_tile(run):
    done = run("answer", "hedge-bottom")
    assert done.returncode == 0
    lines = done.stdout.splitlines()
    assert lines[0] == "Which clear over Hedge Bottom at cone 6, oxidation? Wished: true colour."
    assert " 1. Ferry Glass" in done.stdout
    assert "hedge-bottom-two-clears (mark =1+1)" in done.stdout


def test_a_name_does_as_well_as_an_id(run):
    by_name = answers(run("answer", "Hedge Bottom", "--json"))
    assert by_name["question"]["underglazes"] == ["hedge-bottom"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["hedge-botom"], "hedge-bottom"),
        (["Hedge Botom"], "hedge-bottom"),
        (["xyz"], "brick-dust, hedge-bottom, old-blue"),
        (["hedge-bottom", "--cone", "five"], "not a cone"),
        (["hedge-bottom", "--cone", "15"], "no cone 15"),
        (["hedge-bottom", "--wish", "tru-colour"], "true-colour"),
        ([], "UNDERGLAZE"),
    ],
)
def test_wrong_use_ends_with_two_and_helps(run, words, says):
    done = run("answer", *words, "--json")
    assert done.returncode == 2
    assert says in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize("spelling", ["crisp-line", "crisp line", "crisp_line", "crisp"])
def test_a_wish_may_be_spelled_several_ways(run, spelling):
    told = answers(run("answer", "hedge-bottom", "--wish", spelling, "--json"))
    assert told["question"]["wishes"] == ["crisp_line"]


def test_without_a_usual_cone_one_must_be_named(run, studio):
    (studio / "combos/studio.yml").write_text("name: Two Shelf Pottery\n", encoding="utf-8")
    done = run("answer", "hedge-bottom")
    assert done.returncode == 2
    assert "--cone" in done.stderr


def test_05_is_not_5(run):
    assert answers(run("answer", "hedge-bottom", "--cone", "05", "--json"))["question"] == {
        "underglazes": ["hedge-bottom"],
        "cone": "05",
        "wishes": ["true_colour"],
        "atmosphere": "oxidation",
    }


def test_a_broken_record_elsewhere_is_told_and_does_not_stop(run, studio):
    path = studio / "combos/underglazes/brick-dust.yml"
    path.write_text("name: Brick Dust\ncolour: brik\n", encoding="utf-8")
    done = run("answer", "hedge-bottom", "--json")
    told = answers(done)
    assert told["answers"][0]["clear"] == "ferry-glass"
    assert "clearover check" in done.stderr


def test_a_broken_record_that_is_needed_ends_with_one(run, studio):
    path = studio / "combos/underglazes/brick-dust.yml"
    path.write_text("name: Brick Dust\ncolour: brik\n", encoding="utf-8")
    done = run("answer", "brick-dust", "--json")
    assert done.returncode == 1
    assert "combos/underglazes/brick-dust.yml:2:9" in done.stderr
    assert done.stdout == ""


def test_a_renamed_colour_is_found_by_its_old_name(run, studio):
    path = studio / "combos/underglazes/mill-green.yml"
    path.write_text("moved to: hedge-bottom\n", encoding="utf-8")
    told = answers(run("answer", "mill-green", "--json"))
    assert told["question"]["underglazes"] == ["hedge-bottom"]
