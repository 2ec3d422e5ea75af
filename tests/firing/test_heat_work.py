"""Heat work: what a firing brings down, and that more heat is never less cone.

Chart: Edward Orton Jr. Ceramic Foundation, 2016, “Temperature Equivalents for Orton Pyrometric
Cones (°C), Cone Numbers 022-14”.
"""

from __future__ import annotations

import time

import numpy as np
import pytest
from clearover.firing.cone import Cone, parse_cone
from clearover.firing.heat_sums import celsius_at, cones, step_at, sums
from clearover.firing.heat_work import HeatReached, reached
from clearover.firing.holds import MOST_CONES, hold_in_cones, minutes_for, words_for
from clearover.firing.kinetics import curves
from clearover.firing.profile import Profile
from clearover.firing.temperatures import charted, cone_temperature, published
from clearover.firing.uncertainty import figure, slope_scatter, thermocouple_c, top
from hypothesis import given, settings
from hypothesis import strategies as st

CONES = charted()
EVERY_FIGURE = [(cone, rate, end) for cone in CONES for rate, end in published(cone)]


def climb(rate: float, end: float, hold_min: float = 0) -> Profile:
    hours, celsius = [0.0, (end - 20) / rate], [20.0, end]
    if hold_min:
        hours.append(hours[-1] + hold_min / 60)
        celsius.append(end)
    return Profile(tuple(hours), tuple(celsius), "schedule")


def step(profile: Profile) -> float:
    """The step reached; below every cone counts as the lowest."""
    found = reached(profile)
    return -99.0 if found.step is None else found.step


def test_every_figure_of_the_chart_is_exactly_its_cone() -> None:
    assert len(EVERY_FIGURE) == 111
    for cone, rate, end in EVERY_FIGURE:
        found = reached(climb(rate, end))
        assert found.cone == cone and found.between is None, (cone, rate, found)
        assert found.step == cone.step and found.fraction == 0
        # A degree less and it still stands.
        assert step(climb(rate, end - 0.1)) < cone.step


def test_a_plain_climb_agrees_with_the_chart_at_any_rate() -> None:
    for cone in CONES[3:]:
        for rate in (16.0, 33.0, 88.0, 140.0):
            end = cone_temperature(cone, rate)
            assert end is not None
            assert step(climb(rate, end)) == pytest.approx(cone.step, abs=1e-6)


def test_between_two_cones_at_60_it_is_the_temperature_that_divides() -> None:
    found = reached(climb(60, 1230.5))
    assert found.between == (parse_cone("6"), parse_cone("7"))
    assert found.fraction == pytest.approx((1230.5 - 1222) / (1239 - 1222), abs=1e-6)
    assert found.step == pytest.approx(5 + 0.5, abs=1e-6) and found.cone == parse_cone("7")


def test_half_cones_of_the_chart_are_half_a_step() -> None:
    found = reached(climb(60, (1186 + 1203) / 2))
    assert found.between == (parse_cone("5"), parse_cone("5.5"))
    assert found.step == pytest.approx(4.25)


def test_the_sum_is_the_integral_that_the_curve_defines() -> None:
    # Done anew with the trapezium rule over tiny steps, hold and cooling included.
    profile = Profile((0.0, 20.0, 20.5, 24.0), (20.0, 1215.0, 1215.0, 700.0), "log")
    hours = np.linspace(0, 24, 60_001)
    celsius = np.interp(hours, profile.hours, profile.celsius)
    whole, _ = sums(profile.hours, profile.celsius)
    for name in ("4", "5", "6", "7"):
        cone = parse_cone(name)
        curve = curves("self_supporting")[cone]
        gains = np.array([curve.gain_at(max(float(t), 300.0)) for t in celsius[::4]])
        slow = np.trapezoid(gains, hours[::4]) if hasattr(np, "trapezoid") else None
        if slow is None:
            pytest.skip("an older numpy names the trapezium rule otherwise")
        assert whole[cones().index(cone)] == pytest.approx(slow, rel=1e-4)


LATE = st.floats(1000, 1330)
RATES = st.floats(5, 400)
HOLDS = st.floats(0, 300)


@settings(max_examples=60)
@given(LATE, RATES, RATES, HOLDS)
def test_slower_is_never_a_lower_cone(end: float, one: float, other: float, hold: float) -> None:
    slow, fast = sorted((one, other))
    assert step(climb(slow, end, hold)) >= step(climb(fast, end, hold)) - 1e-9


@settings(max_examples=60)
@given(st.floats(560, 1400), st.floats(0, 60), RATES, HOLDS)
def test_hotter_is_never_a_lower_cone(end: float, more: float, rate: float, hold: float) -> None:
    assert step(climb(rate, end + more, hold)) >= step(climb(rate, end, hold)) - 1e-9


@settings(max_examples=60)
@given(st.floats(560, 1400), RATES, HOLDS, HOLDS)
def test_a_longer_hold_is_never_a_lower_cone(
    end: float, rate: float, one: float, other: float
) -> None:
    short, long = sorted((one, other))
    assert step(climb(rate, end, long)) >= step(climb(rate, end, short)) - 1e-9


@settings(max_examples=40)
@given(st.lists(st.floats(20, 1350), min_size=2, max_size=12), st.data())
def test_any_firing_hotter_throughout_is_never_lower(points: list[float], data) -> None:
    hours = tuple(float(n) for n in range(len(points)))
    more = [data.draw(st.floats(0, 30)) for _ in points]
    hotter = tuple(a + b for a, b in zip(points, more, strict=True))
    assert step(Profile(hours, hotter, "log")) >= step(Profile(hours, tuple(points), "log")) - 1e-6


def test_cooling_counts() -> None:
    end = 1222.0
    up = climb(60, end)
    quick = Profile((*up.hours, up.hours[-1] + 0.5), (*up.celsius, 900.0), "log")
    slow = Profile((*up.hours, up.hours[-1] + 6), (*up.celsius, 900.0), "log")
    assert step(up) < step(quick) < step(slow)


def test_cutting_a_piece_in_two_changes_nothing() -> None:
    whole = climb(75, 1190)
    many = np.linspace(0, whole.hours[-1], 400)
    cut = Profile(
        tuple(map(float, many)),
        tuple(map(float, np.interp(many, whole.hours, whole.celsius))),
        "log",
    )
    assert step(cut) == pytest.approx(step(whole), abs=1e-6)


def test_what_is_in_doubt_is_told() -> None:
    plain, held = reached(climb(60, 1222)), reached(climb(60, 1222, 45))
    assert not plain.extrapolated and plain.notes == ()
    assert held.extrapolated and "45 min were held" in held.notes[0]
    fast = reached(climb(300, 1250))
    assert fast.extrapolated and "300 °C/h" in fast.notes[0]
    here = reached(climb(60, celsius_at(held.step or 0)))
    assert (held.uncertainty_cones or 0) > (here.uncertainty_cones or 0)
    there = reached(climb(60, celsius_at(fast.step or 0)))
    assert (fast.uncertainty_cones or 0) > (there.uncertainty_cones or 0)
    long, longer = reached(climb(60, 1200, 115)), reached(climb(60, 1200, 125))
    assert (long.uncertainty_cones or 0) + 0.2 < (longer.uncertainty_cones or 0)
    assert "no sure order" in longer.notes[-1] and len(long.notes) == 1
    short = reached(Profile((0.0, 1.0), (1180.0, 1222.0), "log"))
    assert short.extrapolated and "begins too near" in short.notes[0]


def test_the_uncertainty_is_no_less_than_the_thermocouple_alone() -> None:
    # IEC 60584-1, 2013, type K, class 2: 2.5 °C or 0.75 % (from memory).
    assert thermocouple_c(1222) == pytest.approx(9.165) and thermocouple_c(100) == 2.5
    for cone in CONES[4:-3]:
        end = cone_temperature(cone, 60) or 0
        alone = (step_at(end + thermocouple_c(end)) - step_at(end - thermocouple_c(end))) / 2
        assert (reached(climb(60, end)).uncertainty_cones or 0) > alone


def test_the_slopes_of_neighbours_differ_by_about_a_quarter() -> None:
    # ln of the °C a decade of rate makes; a jump holds two cones' scatter; 90 %.
    spans = [np.log(p[2][1] - p[0][1]) for c in CONES if len(p := published(c)) == 3]
    assert slope_scatter() == pytest.approx(1.645 * np.sqrt(np.mean(np.diff(spans) ** 2) / 2))
    assert 0.15 < slope_scatter() < 0.35


def test_the_rate_and_hold_at_the_top_are_those_fired() -> None:
    hours, celsius = (0.0, 8.0, 10.0, 10.5, 20.0), (20.0, 1000.0, 1200.0, 1200.0, 200.0)
    found = top(Profile(hours, celsius, "log"))
    assert found.peak_c == 1200 and found.rate_c_per_h == pytest.approx(100)
    assert found.held_min == pytest.approx(30, abs=0.01)
    assert figure("last part") == 100


@pytest.mark.parametrize(
    ("hours", "celsius", "says"),
    [
        ((), (), "fewer than two"),
        ((0.0,), (1222.0,), "fewer than two"),
        ((0.0, 9.0), (20.0, 400.0), "no cone"),
        ((0.0, 9.0), (20.0, 20.0), "no cone"),
        ((0.0, 0.0), (20.0, 1222.0), "no cone"),
        ((0.0, 5e-324), (20.0, 1222.0), "no cone"),
        ((0.0, 1.0, 2.0), (-300.0, 20.0, -9e9), "no cone"),
        ((0.0, 1e300), (1222.0, 1222.0), "longer than a year"),
        ((0.0, 2.0, 1.0), (20.0, 1222.0, 900.0), "backwards"),
        ((0.0, 2.0), (20.0, float("nan")), "no number"),
        ((0.0, float("inf")), (20.0, 1222.0), "no number"),
        ((0.0, 1.0, 2.0), (20.0, 1222.0), "not as many"),
    ],
)
def test_too_little_has_a_reason(hours, celsius, says: str) -> None:
    found = reached(Profile(hours, celsius, "log"))
    assert found.step is None and found.cone is None and says in (found.reason or "")


@pytest.mark.parametrize(
    ("hours", "celsius"),
    [
        ((0.0, 1.0), (1222.0, 1222.0)),
        ((0.0, 1.0, 2.0), (1222.0, 20.0, 1222.0)),
        ((0.0, 1.0, 2.0), (20.0, 9e9, 20.0)),
        ((0.0, 8000.0), (1222.0, 1222.0)),
        ((0.0, 1.0, 1.0, 2.0), (20.0, 1222.0, 20.0, 1222.0)),
    ],
)
def test_odd_firings_are_reckoned_without_a_fault(hours, celsius) -> None:
    found = reached(Profile(hours, celsius, "log"))
    assert found.step is not None and found.uncertainty_cones is not None


def test_past_the_hottest_cone_there_is_no_fraction() -> None:
    found = reached(climb(60, 1420))
    assert (found.cone, found.step, found.fraction) == (parse_cone("14"), 13, None)
    assert "hottest" in (found.reason or "")


def test_a_leap_and_a_week_long_hold_are_reckoned_with() -> None:
    # Too fast for all cones near the peak, too long for only those: the short cut must not cut.
    leap = reached(Profile((0.0, 0.01), (20.0, 1222.0), "log"))
    assert leap.step is not None and leap.step < 4
    week = reached(climb(60, 1000, 60 * 24 * 7))
    assert week.step is not None and (celsius_at(week.step) > 1050)


def test_a_long_log_takes_less_than_5_ms() -> None:
    hours = np.linspace(0, 30, 2000)
    celsius = np.interp(hours, [0, 8, 14, 14.5, 30], [20, 900, 1222, 1222, 100])
    noisy = celsius + np.random.default_rng(1).normal(0, 1, 2000)
    profile = Profile(tuple(map(float, hours)), tuple(map(float, noisy)), "log")
    assert isinstance(reached(profile), HeatReached)
    spent = []
    for _ in range(15):
        start = time.process_time()
        reached(profile)
        spent.append(time.process_time() - start)
    assert min(spent) < 0.005


class TestHolds:
    def test_20_minutes_is_what_the_sums_say(self) -> None:
        six = parse_cone("6")
        found = hold_in_cones(six, 20)
        assert found.value == pytest.approx(step(climb(60, 1222, 20)) - six.step, abs=1e-4)
        assert found.low is not None and found.high is not None and found.value is not None
        assert found.low < found.value < found.high
        assert "extrapolated" in (found.model or "")

    @settings(max_examples=25)
    @given(st.sampled_from(CONES[4:-4]), st.floats(0.05, 1.0))
    def test_minutes_and_back(self, cone: Cone, share: float) -> None:
        minutes = minutes_for(cone, share).value
        assert minutes is not None
        assert hold_in_cones(cone, minutes).value == pytest.approx(share, abs=1e-5)

    def test_longer_is_more(self) -> None:
        for cone in CONES[3:-4]:
            worth = [hold_in_cones(cone, m).value or 0 for m in (0, 5, 20, 60)]
            assert worth[0] == 0 and worth == sorted(worth) and worth[1] > 0

    @pytest.mark.parametrize(
        ("name", "minutes", "says"),
        [
            ("6", -1, "0 to 2880"),
            ("6", float("nan"), "0 to 2880"),
            ("6.5", 20, "no self-supporting"),
            ("14", 20, "hottest"),
        ],
    )
    def test_no_value_without_a_reason(self, name: str, minutes: float, says: str) -> None:
        found = hold_in_cones(parse_cone(name), minutes)
        assert found.value is None and says in (found.reason or "")

    def test_no_minutes_without_a_reason(self) -> None:
        assert "past the chart" in (minutes_for(parse_cone("14"), 0.5).reason or "")
        assert "only 0 to 3" in (minutes_for(parse_cone("6"), MOST_CONES + 1).reason or "")
        assert "not computed" in (minutes_for(parse_cone("6"), 1, 400).reason or "")

    def test_words(self) -> None:
        said = [words_for(n) for n in (0.25, 0.52, 0.84, 1.0, 1.4)]
        assert said == [
            "about a quarter of a cone",
            "about half a cone",
            "about 0.8 of a cone",
            "about one cone",
            "about 1.4 cones",
        ]
