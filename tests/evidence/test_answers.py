"""Standings and their order, each on a catalogue of a few tiles."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from clearover.evidence import reasons
from clearover.evidence.cells import wilson_lower
from clearover.evidence.findings import Findings
from clearover.evidence.results import Answer, Question
from clearover.firing.cone import parse_cone
from hypothesis import given
from hypothesis import strategies as st

Ask = Callable[[dict[str, str]], Findings]
Tile = Callable[..., str]


def answers(
    findings: Findings, *underglazes: str, cone: str = "6", **more: Any
) -> dict[str, Answer]:
    question = Question(underglazes or ("green",), parse_cone(cone), **more)
    return {answer.clear: answer for answer in findings.answer(question)}


def test_good_tiles_make_it_tested(ask: Ask, tile: Tile) -> None:
    found = answers(ask({"a": tile("plain", "true", "true"), "b": tile("plain", "true")}))["plain"]
    assert found.standing == "tested"
    assert (found.cells.good, found.cells.bad) == (3, 0)
    assert found.tiles == ("a", "b")
    assert found.reason == "True on 2 tiles at cone 6."


def test_bad_tiles_mean_avoid(ask: Ask, tile: Tile) -> None:
    found = answers(ask({"a": tile("zincy", "shifted brown", "shifted brown")}))["zincy"]
    assert found.standing == "avoid"
    assert found.reason == "Shifted brown on 1 tile at cone 6."
    assert found.verdicts == {"shifted brown": 2}


def test_two_of_three_tiles_are_not_more_than_two_thirds(ask: Ask, tile: Tile) -> None:
    files = {"a": tile("plain", "true"), "b": tile("plain", "true"), "c": tile("plain", "faded")}
    assert answers(ask(files))["plain"].standing == "mixed"
    files["d"] = tile("plain", "true")
    assert answers(ask(files))["plain"].standing == "tested"


def test_counted_by_tile_not_by_cell(ask: Ask, tile: Tile) -> None:
    files = {
        "big": tile("plain", *["faded"] * 6),
        **{name: tile("plain", "true") for name in ("a", "b", "c")},
    }
    found = answers(ask(files))["plain"]
    assert (found.cells.good, found.cells.bad) == (3, 6)
    assert found.standing == "tested"


@pytest.mark.parametrize("word", ["shifted paler", "shifted darker", "shifted greyer"])
def test_paler_darker_greyer_are_unclear(ask: Ask, tile: Tile, word: str) -> None:
    found = answers(ask({"a": tile("plain", word)}))["plain"]
    assert found.standing == "mixed"
    assert found.cells.unclear == 1


def test_coats_that_decide_are_named(ask: Ask, tile: Tile) -> None:
    found = answers(ask({"a": tile("plain", "true", "true", "faded")}))["plain"]
    assert (
        found.reason
        == "True at 1 and 2 coats of clear, faded at 3 coats of clear on 1 tile at cone 6."
    )


def test_the_next_cone_never_makes_it_tested(ask: Ask, tile: Tile) -> None:
    findings = ask({"a": tile("plain", "true", "true", cone="5")})
    found = answers(findings)["plain"]
    assert found.standing == "expected"
    assert "cone 5" in found.reason
    assert found.cells.good == 0
    assert answers(findings, cone="5")["plain"].standing == "tested"


def test_two_cones_away_says_nothing(ask: Ask, tile: Tile) -> None:
    found = answers(ask({"a": tile("bucket", "true", cone="4")}))["bucket"]
    assert found.standing == "unknown"
    assert found.tiles == ()


def test_one_is_not_next_to_zero_one(ask: Ask, tile: Tile) -> None:
    wide = "name: Wide\nzinc: unknown\ncones: 05..6\n"
    findings = ask({"clears/wide.yml": wide, "a": tile("wide", "true", cone="01")})
    assert answers(findings, "mystery", cone="1")["wide"].standing == "unknown"
    assert answers(findings, cone="1")["wide"].tiles == ()


def test_another_atmosphere_is_no_test(ask: Ask, tile: Tile) -> None:
    found = answers(ask({"a": tile("bucket", "true", atmosphere="reduction")}))["bucket"]
    assert found.standing == "unknown"


def test_what_is_set_aside_is_not_counted(ask: Ask, tile: Tile) -> None:
    found = answers(ask({"a": tile("bucket", "true", more="set aside: overfired\n")}))["bucket"]
    assert found.standing == "unknown"


def test_layers_and_mixtures_are_no_test_of_the_colour(ask: Ask, tile: Tile) -> None:
    record = tile("bucket", "true", underglaze="both", more="stacks: {both: [yellow 1, green 2]}\n")
    found = answers(ask({"a": record}))["bucket"]
    assert found.standing == "unknown"


def test_a_property_nobody_judged_is_not_tested(ask: Ask, tile: Tile) -> None:
    findings = ask({"a": tile("plain", "clean", prop="surface")})
    assert answers(findings)["plain"].standing != "tested"
    assert answers(findings, wishes=("clean_surface",))["plain"].standing == "tested"


def test_unknown_zinc_is_never_expected_true(ask: Ask) -> None:
    assert answers(ask({}))["bucket"].standing == "unknown"


def test_rules_alone_expect_or_doubt(ask: Ask) -> None:
    found = answers(ask({}))
    assert found["plain"].standing == "expected"
    assert found["zincy"].standing == "doubtful"
    assert "zinc" in found["zincy"].reason.lower()


def test_nothing_known_says_so(ask: Ask) -> None:
    found = answers(ask({}), "mystery")["plain"]
    assert found.standing == "unknown"
    assert "test it" in found.reason


def test_outside_its_cones_is_doubtful_at_best(ask: Ask, tile: Tile) -> None:
    findings = ask({"a": tile("low", "true", "true")})
    found = answers(findings)["low"]
    assert found.standing == "doubtful"
    assert "made for cone 05" in found.reason
    assert "low" not in answers(ask({}), "yellow")


def test_order_is_standing_then_the_cautious_share(ask: Ask, tile: Tile) -> None:
    second = "name: Second\nzinc: free\ncones: 5..6\n"
    files = {"clears/second.yml": second, "one": tile("second", "true")}
    files |= {f"plain-{n}": tile("plain", "true") for n in range(4)}
    files["brown"] = tile("zincy", "shifted brown")
    order = list(answers(ask(files)))
    assert order == ["plain", "second", "bucket", "zincy"]


def test_of_several_colours_the_one_that_suffers_decides(ask: Ask, tile: Tile) -> None:
    files = {
        "g": tile("zincy", "shifted brown"),
        "y": tile("zincy", "true", underglaze="yellow"),
    }
    found = answers(ask(files), "yellow", "green")["zincy"]
    assert (found.standing, found.worst_underglaze) == ("avoid", "green")
    assert answers(ask(files), "yellow")["zincy"].worst_underglaze is None


def test_of_several_wishes_the_worst_decides(ask: Ask, tile: Tile) -> None:
    record = tile("plain", "true", "true") + "  surface: bubbled\n"
    findings = ask({"a": record})
    assert answers(findings)["plain"].standing == "tested"
    both = answers(findings, wishes=("true_colour", "clean_surface"))["plain"]
    assert both.standing == "avoid"


def test_retired_clears_only_when_asked(ask: Ask) -> None:
    old = "name: Old\nstatus: retired\nzinc: free\ncones: 5..6\n"
    findings = ask({"clears/old.yml": old})
    assert "old" not in answers(findings)
    assert "old" in answers(findings, include_all=True)


def test_people_who_differ_make_a_cell_unclear(ask: Ask) -> None:
    record = (
        "cone: 6\natmosphere: oxidation\nall: {underglaze: green, clear: plain}\njudged:\n"
        "  - {by: A., on: 2026-01-01, colour: true}\n  - {by: B., on: 2026-01-02, colour: faded}\n"
    )
    found = answers(ask({"a": record}))["plain"]
    assert (found.standing, found.cells.unclear) == ("mixed", 1)


def test_a_later_verdict_by_the_same_person_replaces_the_earlier(ask: Ask) -> None:
    record = (
        "cone: 6\natmosphere: oxidation\nall: {underglaze: green, clear: plain}\njudged:\n"
        "  - {by: A., on: 2026-01-01, surface: clean}\n"
        "  - {by: A., on: 2026-02-02, surface: crazed}\n"
    )
    found = answers(ask({"a": record}), wishes=("clean_surface",))["plain"]
    assert (found.standing, found.verdicts) == ("avoid", {"crazed": 1})


def test_crops_show_the_coats_side_by_side(ask: Ask, tile: Tile) -> None:
    found = answers(ask({"a": tile("plain", "true", "true", "true"), "b": tile("plain", "true")}))
    assert found["plain"].crops == (("a", 1, 1), ("a", 1, 2), ("a", 1, 3))


def test_contradicting_tiles_are_found(ask: Ask, tile: Tile) -> None:
    findings = ask({"a": tile("plain", "true"), "b": tile("plain", "shifted brown")})
    (conflict,) = findings.conflicts
    assert {conflict.one[0], conflict.other[0]} == {"a", "b"}
    assert conflict.words == ("true", "shifted brown")


# E. B. Wilson 1927, J. Am. Stat. Assoc. 22, 209; worked by hand from the closed form for n = k:
# lower = n / (n + z²), z = 1.645.
@pytest.mark.parametrize("n", [1, 3, 10])
def test_wilson_bound_of_all_good_has_a_closed_form(n: int) -> None:
    assert wilson_lower(n, n) == pytest.approx(n / (n + 1.645**2), rel=1e-12)


@given(st.integers(0, 50), st.integers(1, 50))
def test_wilson_bound_lies_below_the_share_and_grows_with_evidence(good: int, more: int) -> None:
    total = good + more
    assert 0 <= wilson_lower(good, total) <= good / total
    assert wilson_lower(good * 3, total * 3) >= wilson_lower(good, total) - 1e-12


def test_ten_of_eleven_beat_one_lucky_cell() -> None:
    assert wilson_lower(10, 11) > wilson_lower(1, 1)


def test_parts_of_a_reason_read_as_one_sentence() -> None:
    joined = reasons.sentence("not tested here.", None, "The grain dissolves.", "ZnO takes it")
    assert joined == "Not tested here; the grain dissolves; ZnO takes it."
    assert reasons.sentence(None) == ""


def test_flags_of_an_answer_name_the_colour_that_decides(ask: Ask) -> None:
    found = answers(ask({}), "yellow", "green")["zincy"]
    assert found.worst_underglaze == "green"
    assert found.flags
    assert {flag.underglaze for flag in found.flags} == {"green"}
