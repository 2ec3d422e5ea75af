"""Thickness of a clear from how it was put on: the law for a dip, ranges, and what nobody knows."""

from __future__ import annotations

import math

import pytest
from clearover.glass.results import Estimate
from clearover.glass.thickness import line_height, thickness
from clearover.records.words import APPLICATIONS
from hypothesis import given
from hypothesis import strategies as st


def spread(one: Estimate) -> float:
    assert one.low is not None and one.high is not None
    return one.high / one.low


def mm(one: Estimate) -> float:
    assert one.value is not None, one.reason
    return one.value


def test_three_brushed_coats_and_a_range_of_four() -> None:
    got = thickness(3, "brush")
    assert mm(got) == pytest.approx(0.3)
    assert spread(got) == pytest.approx(4)


def test_more_known_is_narrower() -> None:
    both = thickness(1, "dip 3 s", 1.45)
    one = thickness(1, "dip 3 s")
    none = thickness(1, "dip")
    measured = thickness(1, "dip", None, 0.27)
    assert spread(measured) < spread(both) < spread(one) < spread(none) < spread(thickness(None))
    assert mm(measured) == 0.27
    assert mm(both) == mm(one) == pytest.approx(0.3)


def test_a_dip_nobody_counted_is_one_dip() -> None:
    assert thickness(None, "dip 3 s", 1.45) == thickness(1, "dip 3 s", 1.45)
    assert spread(thickness(None, "brush")) > spread(thickness(3, "brush"))


def test_a_dip_by_hand() -> None:
    """4 times the seconds: twice the water (Washburn 1921). Brongniart: φ = (SG - 1)/(2.6 - 1)."""
    assert mm(thickness(1, "dip 12 s", 1.45)) == pytest.approx(
        2 * mm(thickness(1, "dip 3 s", 1.45))
    )
    thin, thick = (1.35 - 1) / 1.6, (1.45 - 1) / 1.6
    ratio = (thin / (0.55 - thin)) / (thick / (0.55 - thick))
    got = mm(thickness(1, "dip 3 s", 1.35)) / mm(thickness(1, "dip 3 s", 1.45))
    assert got == pytest.approx(ratio)


def test_the_suction_this_implies_is_that_of_porous_brick() -> None:
    """0.3 mm at 3 s needs S = 2.3 mm/√min; clay brick has 1 to 3.4 (Hall and Hoff, 2002)."""
    share = 0.45 / 1.6
    water = 0.3 / (share * 0.55 / (0.55 - share))
    assert 1 < water * math.sqrt(60 / 3) < 3.4


def test_a_paste_and_water_are_no_bucket() -> None:
    for gravity in (1.0, 1.9, 2.5):
        assert thickness(1, "dip 3 s", gravity).value is None
        assert "no glaze to dip into" in (thickness(1, "dip 3 s", gravity).reason or "")


def test_sponge_then_brush() -> None:
    """The first coat dabbed, the rest brushed."""
    assert mm(thickness(1, "sponge then brush")) == mm(thickness(1, "sponge"))
    assert mm(thickness(3, "sponge then brush")) == pytest.approx(
        mm(thickness(1, "sponge")) + mm(thickness(2, "brush"))
    )


@pytest.mark.parametrize("by", APPLICATIONS)
def test_every_way_a_record_may_say_has_an_answer(by: str) -> None:
    got = thickness(2, by)
    if by in ("trailer", "pen", "transfer"):
        assert got.value is None and "nobody knows how thick" in (got.reason or "")
    else:
        assert mm(got) > 0


def test_no_coat_is_nothing() -> None:
    assert thickness(0, "brush").value == 0


@given(coats=st.integers(1, 11), by=st.sampled_from(["brush", "spray", "dip 3 s", "dip", "pour"]))
def test_another_coat_is_never_thinner(coats: int, by: str) -> None:
    assert mm(thickness(coats + 1, by)) > mm(thickness(coats, by))


@given(seconds=st.integers(1, 30), gravity=st.floats(1.2, 1.75))
def test_longer_and_denser_is_never_thinner(seconds: int, gravity: float) -> None:
    base = mm(thickness(1, f"dip {seconds} s", gravity))
    assert mm(thickness(1, f"dip {seconds + 1} s", gravity)) > base
    assert mm(thickness(1, f"dip {seconds} s", gravity + 0.02)) > base


def test_a_thick_line_is_higher_than_a_thin_one() -> None:
    assert mm(line_height("thin")) < mm(line_height(None)) < mm(line_height("thick"))
    assert mm(line_height("thick", 3)) > mm(line_height("thick", 2)) == mm(line_height("thick"))
