"""What the rules say, and that they say “test it” where the answer hangs on something unknown."""

from __future__ import annotations

import itertools
import time
from typing import Any

import pytest
from clearover.chemistry.flags import expectation, flags_for
from clearover.chemistry.pigments import pigments
from clearover.chemistry.results import Class, ClearChemistry, Flag
from clearover.firing.cone import parse_cone, parse_range

ZINC = ("bearing", "free", "unknown")
LEVEL = ("high", "between", "low", "unknown")


def chem(zinc: str = "unknown", lime: str = "unknown", magnesia: str = "unknown") -> ClearChemistry:
    classes = (Class(value, None, "declared") for value in (zinc, lime, magnesia))
    return ClearChemistry("a-clear", None, None, None, None, None, *classes)


def flags(*pigment: str, cone: str = "6", **keys: Any) -> tuple[Flag, ...]:
    keys.setdefault("chem", chem())
    return flags_for(pigments=pigment, cone=parse_cone(cone), **keys)


def a_flag(direction: str, strength: str, pigment: str = "p", prop: str = "colour") -> Flag:
    return Flag("r", pigment, None, "e", direction, prop, strength, "b.", "s", "memory")


@pytest.mark.parametrize(
    ("given", "wanted"),
    [
        ([], "unknown"),
        ([("harm", "strong")], "bad"),
        ([("help", "strong"), ("harm", "some")], "good"),
        ([("help", "some"), ("harm", "strong")], "bad"),
        ([("help", "some"), ("harm", "some")], "unknown"),
        ([("none", "some"), ("harm", "some")], "unknown"),
        ([("none", "strong")], "good"),
        ([("none", "slight"), ("help", "some")], "good"),
        ([("help", "strong"), ("unknown", "slight")], "unknown"),
    ],
)
def test_expectation(given: list[tuple[str, str]], wanted: str) -> None:
    assert expectation(tuple(a_flag(*pair) for pair in given)) == wanted
    assert expectation(tuple(reversed([a_flag(*pair) for pair in given]))) == wanted


def test_the_pigment_that_suffers_most_decides_for_a_blend() -> None:
    steady = a_flag("none", "strong", "steady")
    assert expectation((steady, a_flag("harm", "slight", "weak"))) == "bad"
    assert expectation((steady, a_flag("unknown", "slight", "odd"))) == "unknown"
    assert expectation((steady, a_flag("harm", "strong", "steady", "line"))) == "good"
    # One pigment stays in its line, of the other nobody has said: unknown, unless all colours do.
    halves = (a_flag("none", "some", "one", "line"), a_flag("none", "some", "other"))
    assert expectation(halves, "line") == "unknown"
    any_colour = a_flag("help", "some", "any colour", "line")
    assert expectation((*halves, any_colour), "line") == "good"


def test_a_property_without_flags_is_unknown() -> None:
    assert expectation(flags("zircon"), "surface") == "unknown"


def test_zinc_unknown_means_test_it() -> None:
    found = flags("chromium oxide")
    (flag,) = (f for f in found if f.property == "colour")
    assert (flag.direction, flag.effect) == ("unknown", "unknown: test it")
    assert "whether this clear holds zinc" in flag.because
    assert expectation(found) == "unknown"


def test_no_chemistry_at_all_is_all_unknown() -> None:
    assert flags("chromium oxide", chem=None) == flags("chromium oxide")


def test_an_unknown_atmosphere_is_not_taken_for_oxidation() -> None:
    assert expectation(flags("cadmium-selenium in zircon", atmosphere="unknown")) == "unknown"
    assert expectation(flags("cadmium-selenium in zircon")) == "good"


def test_a_strong_harm_needs_no_more_knowledge() -> None:
    found = flags("chrome-tin", chem=chem(magnesia="high"))
    assert expectation(found) == "bad"
    assert all(flag.direction == "harm" for flag in found if flag.property == "colour")


@pytest.mark.parametrize(("zinc", "lime"), list(itertools.product(ZINC, LEVEL)))
@pytest.mark.parametrize("colour", ["pink", "purple"])
@pytest.mark.parametrize("cone", ["05", "6", "10"])
@pytest.mark.parametrize("atmosphere", ["oxidation", "reduction"])
def test_a_pink_of_unknown_chromium_pigment_is_never_harm_nor_help(
    zinc: str, lime: str, colour: str, cone: str, atmosphere: str
) -> None:
    found = flags_for(
        pigments=(),
        colorants=("chromium",),
        colour=colour,
        chem=chem(zinc, lime, "low"),
        cone=parse_cone(cone),
        atmosphere=atmosphere,
    )
    assert {flag.direction for flag in found} == {"unknown"}


def test_elements_speak_only_where_the_pigment_is_unknown() -> None:
    clear = chem("bearing")
    by_elements = flags_for(
        pigments=("unknown",),
        colorants=("chromium",),
        colour="green",
        chem=clear,
        cone=parse_cone("6"),
    )
    assert [flag.direction for flag in by_elements] == ["harm"]
    steady = flags("praseodymium zircon", colorants=("chromium",), colour="green", chem=clear)
    assert [flag.direction for flag in steady] == ["none"]


def test_half_known_blends_stay_unknown() -> None:
    found = flags("praseodymium zircon", "unknown", chem=chem("free"))
    assert expectation(found) == "unknown"


def test_a_name_that_is_no_pigment_is_unknown() -> None:
    (flag,) = flags("marmalade")
    assert flag.direction == "unknown" and "marmalade" in flag.because


@pytest.mark.parametrize(
    ("cone", "cones", "prop", "strength"),
    [
        ("05", "5..6", "surface", "strong"),
        ("5", "6", "surface", "some"),
        ("6", "05", "line", "strong"),
        ("7", "5..6", "line", "some"),
    ],
)
def test_a_clear_outside_its_cones(cone: str, cones: str, prop: str, strength: str) -> None:
    found = flags("zircon", cone=cone, clear_cones=parse_range(cones))
    (flag,) = (f for f in found if f.pigment == "any colour")
    assert (flag.direction, flag.property, flag.strength) == ("harm", prop, strength)


def test_a_clear_inside_its_cones_says_nothing() -> None:
    assert not [
        f for f in flags("zircon", clear_cones=parse_range("5..6")) if f.direction == "harm"
    ]


def test_melting_and_bleeding() -> None:
    def line(**keys: Any) -> list[str]:
        return [f.rule for f in flags("manganese ferrite", **keys) if f.property == "line"]

    assert line(cone="6") == ["manganese-black-bleeds"]
    assert line(cone="6", melts_from=parse_cone("5")) == ["colour-melting"]
    # The record's own word outranks what is usual for the pigment.
    assert line(cone="6", melts_from=parse_cone("8")) == []
    assert expectation(flags("cobalt silicate"), "line") == "bad"
    assert expectation(flags("cobalt aluminate"), "line") == "good"


def test_neighbours_in_the_load() -> None:
    green = flags("chromium oxide", chem=chem("free"), near=("tin white",))
    assert "chromium-near-tin" in {flag.rule for flag in green} and expectation(green) == "good"
    white = flags("tin oxide", near=("chromium green",))
    assert "toward pink" in {flag.effect for flag in white}
    # The remark about a neighbour is no evidence that the colour itself keeps.
    assert expectation(flags("iron chromite", chem=chem("bearing"), near=("tin white",))) == "bad"


KNOWN = (ZINC[:2], LEVEL[:3], LEVEL[:3], ("oxidation", "reduction"))


@pytest.mark.parametrize("cone", ["05", "3", "6", "10"])
def test_learning_more_never_turns_a_sure_answer(cone: str) -> None:
    """What is good or bad while something is unknown stays so, whatever it turns out to be."""
    questions = list(itertools.product(*((*values, "unknown") for values in KNOWN)))
    for name in pigments():
        outcome = {
            (z, x, m, a): expectation(flags(name, cone=cone, chem=chem(z, x, m), atmosphere=a))
            for z, x, m, a in questions
        }
        for asked, found in outcome.items():
            if found == "unknown" or "unknown" not in asked:
                continue
            choices = (
                values if value == "unknown" else (value,)
                for value, values in zip(asked, KNOWN, strict=True)
            )
            for known in itertools.product(*choices):
                assert outcome[known] == found, (name, asked, known)


def test_every_flag_speaks_in_full() -> None:
    """Every pigment, every class: known words, a sentence, a source, and an outcome."""
    for name in pigments():
        for zinc, lime, cone in itertools.product(ZINC, LEVEL, ("05", "6", "10")):
            found = flags(name, chem=chem(zinc, lime, "low"), cone=cone, underglaze="one")
            assert any(flag.property == "colour" for flag in found), name
            for flag in found:
                assert flag.direction in ("harm", "help", "none", "unknown")
                assert flag.strength in ("strong", "some", "slight")
                assert flag.evidence in ("published", "memory", "common practice")
                assert flag.because.endswith(".") and "{" not in flag.because
                assert flag.source and flag.underglaze == "one"


def test_at_low_fire_no_zinc_harm() -> None:
    for name in pigments():
        for zinc in ZINC:
            found = flags(name, chem=chem(zinc, "between", "low"), cone="05")
            harmed = [f for f in found if f.direction == "harm" and "inc" in f.because]
            assert not harmed, name


def test_flags_are_cheap_once_known() -> None:
    """250 colours under 33 clears at 4 cones must take seconds: a generous bound for a busy CPU."""
    names = list(pigments())
    clears = [chem(z, x, m) for z in ZINC for x in LEVEL for m in ("high", "low")][:33]
    cones = [parse_cone(cone) for cone in ("05", "5", "6", "10")]
    start = time.process_time()
    asked = 0
    for index in range(100):
        for clear, cone in itertools.product(clears, cones):
            flags_for(
                pigments=(names[index % len(names)],),
                chem=clear,
                cone=cone,
                underglaze=f"colour-{index}",
                clear_cones=parse_range("5..6"),
            )
            asked += 1
    assert (time.process_time() - start) / asked < 200e-6
