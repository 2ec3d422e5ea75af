"""`clearover firing`: the cone of a load, or of a log alone, in the terminal and for scripts."""

from __future__ import annotations

import json

import pytest

KEYS = {
    "cone_reached", "between", "fraction", "peak_temperature_c", "final_rate_c_per_h",
    "uncertainty_cones", "by", "shelves", "notes",
}  # fmt: skip


def log(peak: int = 1222, hold: int = 0, header: str = "minutes,temperature_c") -> str:
    """150 °C/h to 200 °C below the peak, 60 °C/h to it, a hold, off."""
    lines = [(0, 20), (round((peak - 220) / 2.5), peak - 200)]
    lines += [(lines[1][0] + 10 * n, peak - 200 + 10 * n) for n in range(1, 21)]
    top = lines[-1][0]
    lines += [(top + n, peak) for n in range(5, hold + 1, 5)]
    lines += [(lines[-1][0] + 5 * n, peak - 50 * n) for n in range(1, 8)]
    return "\n".join([header, *(f"{m},{t}" for m, t in lines)]) + "\n"


@pytest.fixture
def with_log(studio):
    firings = studio / "combos/firings"
    (firings / "logged.csv").write_text(log(hold=15), encoding="utf-8")
    text = "fired: 2026-03-12\naimed: 6\nlog: logged.csv\n"
    (firings / "logged.yml").write_text(text, encoding="utf-8")
    witness = "witness:\n  top: {5: down, 6: half, 7: standing}\n  bottom: {4: half, 5: standing}\n"
    (firings / "both.yml").write_text(text.replace("logged", "both") + witness, encoding="utf-8")
    (firings / "both.csv").write_text(log(hold=15), encoding="utf-8")
    (firings / "nothing.yml").write_text("fired: 2026-03-12\naimed: 04\n", encoding="utf-8")
    return studio


def asked(run, *words, code=0):
    done = run("firing", *words, "--json")
    assert done.returncode == code, done.stderr
    told = json.loads(done.stdout)
    assert next(iter(told)) == "clearover"
    assert set(told) >= KEYS
    return told


def test_a_log_alone_needs_no_records(run, tmp_path):
    (tmp_path / "mine.csv").write_text(log(), encoding="utf-8")
    told = asked(run, "mine.csv", "--combos", "nowhere")
    assert (told["cone_reached"], told["by"]) == ("6", "log")
    assert told["peak_temperature_c"] == 1222
    assert told["final_rate_c_per_h"] == pytest.approx(60, rel=0.02)
    assert told["between"] == ["6", "7"]
    assert 0 <= told["fraction"] < 0.5
    assert told["uncertainty_cones"] > 0
    assert told["shelves"] == {}


def test_the_witness_outranks_the_log(run, with_log):
    told = asked(run, "both")
    assert (told["cone_reached"], told["by"]) == ("4", "witness")
    assert told["shelves"] == {"top": "6", "bottom": "4"}
    assert told["hold_cones"] > 0.2
    notes = "; ".join(told["notes"])
    assert "the load is told by its bottom shelf" in notes
    assert "On the bottom shelf the witness says 4" in notes
    assert "that shelf was cooler" in notes
    assert "On the top shelf" not in notes


def test_without_a_witness_the_log_suggests(run, with_log):
    assert asked(run, "logged")["by"] == "log"
    done = run("firing", "logged")
    assert done.stdout.splitlines()[1].startswith("The log suggests cone 6 and ")
    assert "The 15 minutes at the top are worth" in done.stdout


def test_without_either_the_aim_is_told_as_an_aim(run, with_log):
    told = asked(run, "nothing")
    assert (told["cone_reached"], told["by"], told["reason"]) == ("04", "aim", "no log is recorded")
    assert "no witness and no log" in run("firing", "nothing").stdout


def test_people_read_the_cone_first_and_the_cautions_last(run, with_log):
    lines = run("firing", "march-glaze").stdout.splitlines()
    assert lines[0] == "March glaze, 12 March 2026"
    assert lines[1].startswith("Cone 6, by the witness on the top shelf")
    assert "usual cautions" in lines[-1]


def test_a_unit_is_taken_from_whoever_knows(run, tmp_path):
    (tmp_path / "mine.csv").write_text(log(header="minutes,temp °F"), encoding="utf-8")
    assert asked(run, "mine.csv", "--unit", "F")["peak_temperature_c"] == pytest.approx(661.1)
    assert asked(run, "mine.csv", "--unit", "c")["cone_reached"] == "6"
    told = asked(run, "mine.csv", "--aimed", "6")
    assert told["cone_reached"] == "6"
    assert any("taken as °C" in note for note in told["notes"])


def test_a_log_that_cannot_be_read_ends_with_1(run, tmp_path):
    (tmp_path / "mine.csv").write_text("", encoding="utf-8")
    told = asked(run, "mine.csv", code=1)
    assert (told["cone_reached"], told["by"]) == (None, "unknown")
    assert told["reason"] == "the log is empty"
    done = run("firing", "mine.csv")
    assert done.returncode == 1
    assert "the log is empty" in done.stderr


def test_a_log_without_an_answer_is_no_error(run, tmp_path):
    lines = log().splitlines()
    del lines[15:26]
    (tmp_path / "mine.csv").write_text("\n".join(lines), encoding="utf-8")
    assert "across the peak" in asked(run, "mine.csv")["reason"]


@pytest.mark.parametrize("words", [("none.csv",), ("march-glase",), ("x", "--combos", "nowhere")])
def test_what_is_not_there_is_wrong_use(run, studio, words):
    done = run("firing", *words)
    assert done.returncode == 2
    assert done.stdout == ""
