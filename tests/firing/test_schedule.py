"""Schedules: a cone in, a firing out that brings just that cone down at the end of its top."""

from __future__ import annotations

import itertools

import pytest
from clearover.firing.cone import Cone, parse_cone
from clearover.firing.heat_work import reached
from clearover.firing.profile import Profile
from clearover.firing.schedule import NoSchedule, coolings, schedule, top_of
from clearover.firing.temperatures import charted, cone_temperature
from clearover.records.words import COOLINGS
from hypothesis import given, settings
from hypothesis import strategies as st

FROM_019 = charted()[3:]


def to_the_end_of_the_top(profile: Profile) -> Profile:
    """The firing without its cooling."""
    last = max(n for n, t in enumerate(profile.celsius) if t == profile.peak_c) + 1
    return Profile(profile.hours[:last], profile.celsius[:last], profile.known_from)


@settings(max_examples=60)
@given(
    st.sampled_from(FROM_019), st.floats(15, 150), st.integers(0, 110), st.sampled_from(COOLINGS)
)
def test_the_cone_is_down_when_the_hold_ends(
    cone: Cone, rate: float, hold: int, cooling: str
) -> None:
    found = schedule(cone, rate, hold, cooling)
    step = reached(to_the_end_of_the_top(found)).step
    # In longer holds the curves of neighbouring cones may cross; the uncertainty says so.
    # What the faster climb more than 200 °C below the top leaves out is under 0.01 cone.
    assert step == pytest.approx(cone.step, abs=0.02)
    assert all(a < b for a, b in itertools.pairwise(found.hours))
    assert found.known_from == "schedule" and cone.shown in found.notes[0]


def test_without_a_hold_it_ends_at_the_chart_temperature() -> None:
    for cone in FROM_019:
        assert schedule(cone).peak_c == cone_temperature(cone, 60)


@settings(max_examples=50)
@given(st.sampled_from(FROM_019), st.floats(0, 300), st.floats(0, 300))
def test_a_longer_hold_ends_lower(cone: Cone, one: float, other: float) -> None:
    short, long = sorted((one, other))
    assert top_of(cone, 60, long) <= top_of(cone, 60, short) + 1e-9


def test_the_rate_is_held_for_the_last_100_degrees() -> None:
    found = schedule(parse_cone("6"), 60)
    peak = found.celsius.index(found.peak_c)
    hours = found.hours[peak] - found.hours[peak - 1]
    rise = found.celsius[peak] - found.celsius[peak - 1]
    assert rise >= 100 and rise / hours == pytest.approx(60)


def test_slow_cooling_takes_longest_and_adds_most() -> None:
    firings = {word: schedule(parse_cone("6"), cooling=word) for word in COOLINGS}
    steps = {word: reached(firing).step or 0 for word, firing in firings.items()}
    assert steps["fast"] < steps["natural"] < steps["slow"]
    # From the top to 1000 °C, where the glaze still moves.
    assert coolings() == COOLINGS


def test_a_cone_between_charted_ones_lies_half_way() -> None:
    assert schedule(parse_cone("6.5")).peak_c == pytest.approx((1222 + 1239) / 2)


@pytest.mark.parametrize(
    ("cone", "extra", "says"),
    [
        ("6", {"rate_c_per_h": 400}, "15 to 150"),
        ("6", {"hold_min": -5}, "a hold is"),
        ("6", {"hold_min": float("nan")}, "a hold is"),
        ("6", {"cooling": "brisk"}, "natural, slow, fast"),
        ("14.5", {}, "no self-supporting cone"),
    ],
)
def test_no_schedule_without_a_reason(cone: str, extra: dict, says: str) -> None:
    asked = Cone(13.5) if cone == "14.5" else parse_cone(cone)
    with pytest.raises(NoSchedule, match=says):
        schedule(asked, **extra)
