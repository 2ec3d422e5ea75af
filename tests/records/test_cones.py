"""Cones as potters write them: 05 and 5 are never confused, halves lie between their neighbours."""

from __future__ import annotations

import pytest
from clearover.firing.cone import Cone, parse_cone, parse_range
from hypothesis import given
from hypothesis import strategies as st

COOL = [f"0{number}" for number in range(22, 0, -1)]
HOT = [str(number) for number in range(1, 15)]


def test_both_series_sort_from_cool_to_hot() -> None:
    written = [*COOL, *HOT]
    cones = [parse_cone(text) for text in written]
    assert cones == sorted(cones)
    assert len(set(cones)) == len(written)
    assert [cone.label for cone in cones] == written


def test_zero_is_part_of_the_name() -> None:
    assert parse_cone("05") != parse_cone("5")
    assert parse_cone("05") < parse_cone("01") < parse_cone("1") < parse_cone("5")


def test_a_half_lies_between_its_neighbours() -> None:
    # As the published charts have it: 05½ between 06 and 05, 5½ between 5 and 6.
    assert parse_cone("06") < parse_cone("05½") < parse_cone("05")
    assert parse_cone("5") < parse_cone("5½") < parse_cone("6")


@pytest.mark.parametrize("text", ["5½", "5.5", "5 1/2", "cone 5½", "Cone 5.5", " 5½ "])
def test_spellings_of_a_half(text: str) -> None:
    assert parse_cone(text).label == "5.5"
    assert parse_cone(text).shown == "5½"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "0",
        "00",
        "005",
        "15",
        "023",
        "-5",
        "+5",
        "5.0",
        "5.25",
        "½",
        "5-6",
        "five",
        "٥",
        "1e1",
        "5C",
    ],
)
def test_what_is_no_cone(text: str) -> None:
    with pytest.raises(ValueError):
        parse_cone(text)


@given(st.sampled_from(COOL + HOT), st.sampled_from(["", "½", ".5", " 1/2"]))
def test_a_label_reads_back_as_the_same_cone(whole: str, half: str) -> None:
    try:
        cone = parse_cone(whole + half)
    except ValueError:
        assert half and whole in ("022", "14")
        return
    assert parse_cone(cone.label) == cone
    assert parse_cone(cone.shown) == cone
    assert parse_cone(f"cone {cone.shown}") == cone
    assert cone.cool == whole.startswith("0")


@given(st.text())
def test_any_text_is_a_cone_or_a_value_error(text: str) -> None:
    for reader in (parse_cone, parse_range):
        try:
            reader(text)
        except ValueError as error:
            assert str(error)


@pytest.mark.parametrize("text", ["05..10", "05 .. 10", "05 to 10", "cone 05 – cone 10", "05½..10"])
def test_ranges(text: str) -> None:
    found = parse_range(text)
    assert found.high == parse_cone("10")
    assert parse_range(found.label) == found
    assert parse_cone("1") in found and parse_cone("12") not in found


def test_a_range_backwards() -> None:
    with pytest.raises(ValueError, match="backwards"):
        parse_range("6..05")


def test_a_single_cone_is_a_range() -> None:
    assert parse_range("6").label == "6"
    assert Cone(5.0) in parse_range("6")
