"""`clearover check`: what it finds, how it says so, and how it ends."""

from __future__ import annotations

import json
from pathlib import Path

SHIFTED = "combos/tiles/hedge-bottom-two-clears/tile.yml"


def spoil(studio: Path, old: str, new: str, file: str = SHIFTED) -> None:
    """Replace one piece of a record."""
    path = studio / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_sound_records_end_with_zero_and_say_what_there_is(run, studio):
    done = run("check")
    assert done.returncode == 0
    assert "2 tiles with 7 cells" in done.stdout
    assert "3 underglazes" in done.stdout
    assert done.stderr == ""


def test_strict_counts_warnings_as_errors(run):
    assert run("check").returncode == 0
    assert run("check", "--strict").returncode == 1


def test_an_error_is_shown_where_an_editor_can_follow_it(run, studio):
    spoil(studio, "clear: [lantern-pane", "clear: [lantern-pan")
    done = run("check")
    assert done.returncode == 1
    lines = done.stdout.splitlines()
    first = next(i for i, line in enumerate(lines) if "lantern-pan`" in line)
    assert lines[first].startswith(f"{SHIFTED}:5:18: ")
    assert lines[first + 1].startswith("    fix: ")


def test_paths_lead_from_where_the_command_was_run(run, studio):
    (studio / "deep").mkdir()
    (studio / "combos").rename(studio / "deep" / "combos")
    done = run("check", "--combos", "deep/combos")
    assert f"deep/{SHIFTED}:1:1: no-photo" in done.stdout
    problems = json.loads(run("check", "--json", "--combos", "deep/combos").stdout)["problems"]
    assert {problem["file"] for problem in problems} >= {SHIFTED}


def test_json_is_one_value_in_the_agreed_form(run, studio):
    spoil(studio, "shelf: top", "shelf: middle")
    done = run("check", "--json")
    assert done.returncode == 1
    answer = json.loads(done.stdout)
    assert next(iter(answer)) == "clearover"
    assert set(answer["records"]) == {
        "tiles",
        "cells",
        "underglazes",
        "clears",
        "bodies",
        "firings",
        "materials",
    }
    keys = ["rule", "severity", "file", "line", "column", "message", "found", "wanted", "remedy"]
    assert all(list(problem) == keys for problem in answer["problems"])
    wrong = next(p for p in answer["problems"] if p["rule"] == "unknown-shelf")
    assert (wrong["severity"], wrong["file"], wrong["found"]) == ("error", SHIFTED, "middle")
    assert (wrong["line"], wrong["column"]) == (4, 8)


def test_a_missing_file_has_no_line(run, studio):
    (studio / "combos/studio.yml").unlink()
    problems = json.loads(run("check", "--json").stdout)["problems"]
    missing = next(p for p in problems if p["rule"] == "studio-missing")
    assert (missing["line"], missing["column"]) == (None, None)


def test_problems_come_sorted(run, studio):
    spoil(studio, "shelf: top", "shelf: middle")
    spoil(studio, "colour: green", "colour: gren", "combos/underglazes/hedge-bottom.yml")
    problems = json.loads(run("check", "--json").stdout)["problems"]
    places = [(p["file"], p["line"] or 0, p["column"] or 0) for p in problems]
    assert places == sorted(places)
    assert len(places) > 3


def test_no_folder_is_wrong_use(run):
    done = run("check", "--combos", "elsewhere")
    assert done.returncode == 2
    assert "elsewhere" in done.stderr
    assert done.stdout == ""


def test_a_forge_gets_annotations_that_a_record_cannot_forge(run, studio, tmp_path):
    spoil(studio, "shelf: top", 'shelf: "middle\\n::error::forged % done"')
    summary = tmp_path / "summary.md"
    environment = {"GITHUB_ACTIONS": "true", "GITHUB_STEP_SUMMARY": str(summary)}
    done = run("check", **environment)
    marked = [line for line in done.stdout.splitlines() if line.startswith("::")]
    assert any(line.startswith(f"::error file={SHIFTED},line=4,col=8,title=") for line in marked)
    assert any(line.startswith("::warning file=") for line in marked)
    assert not any(line.startswith("::error::") for line in marked)
    assert all("%0Afix: " in line for line in marked)
    assert "%25 done" in done.stdout
    text = summary.read_text(encoding="utf-8")
    assert "## Records" in text
    assert r"unknown-shelf\:" in text


def test_the_summary_shows_text_and_runs_nothing(run, studio, tmp_path):
    spoil(studio, "shelf: top", 'shelf: "<img src=x>|[a](b)"')
    summary = tmp_path / "summary.md"
    run("check", GITHUB_ACTIONS="true", GITHUB_STEP_SUMMARY=str(summary))
    text = summary.read_text(encoding="utf-8")
    assert "&lt;img src=x&gt;\\|\\[a\\]\\(b\\)" in text
    assert "<img" not in text


def test_json_in_a_forge_stays_one_value(run, studio, tmp_path):
    summary = tmp_path / "summary.md"
    done = run("check", "--json", GITHUB_ACTIONS="true", GITHUB_STEP_SUMMARY=str(summary))
    assert json.loads(done.stdout)["records"]["tiles"] == 2
    assert summary.exists()


def test_the_day_that_counts_can_be_set(run, studio):
    """1773144000 is noon of 2026-03-10, UTC."""
    spoil(studio, "2026-03-12", "2027-06-12", "combos/firings/march-glaze.yml")
    assert "lies far off" in run("check", SOURCE_DATE_EPOCH="1773144000").stdout
    assert "lies far off" not in run("check", SOURCE_DATE_EPOCH="1804680000").stdout
    done = run("check", SOURCE_DATE_EPOCH="noon")
    assert done.returncode == 2 and "SOURCE_DATE_EPOCH" in done.stderr and not done.stdout
