"""Kiln logs of many habits, and bad ones, which get a reason and never an exception."""

from __future__ import annotations

from pathlib import Path

import pytest
from clearover.firing.cone import parse_cone
from clearover.firing.log import cone_by_log, parse_log, read_log, reading_of
from hypothesis import given
from hypothesis import strategies as st


def ramp(peak: float, rate: float = 60.0, hold: int = 0) -> list[tuple[float, float]]:
    """Minutes and °C: 150 °C/h to 200 °C below the peak, then at the rate, a hold, cooling."""
    points = [(0.0, 20.0)]
    points.append(((peak - 220) / 150 * 60, peak - 200))
    for step in range(1, 21):
        points.append((points[-1][0] + 10 / rate * 60, peak - 200 + 10 * step))
    points += [(points[-1][0] + minute, peak) for minute in range(1, hold + 1)]
    start = points[-1][0]
    return points + [(start + minute, peak - 10 * minute) for minute in range(1, 60, 5)]


def as_csv(points: list[tuple[float, float]], header: str = "minutes,temperature_c") -> bytes:
    return "\n".join([header, *(f"{m:.3f},{t:.2f}" for m, t in points)]).encode()


@pytest.mark.parametrize(
    ("cone", "peak", "rate"),
    [("6", 1222, 60), ("05", 1031, 60), ("10", 1285, 60), ("6", 1243, 150)],
)
def test_a_log_to_the_charts_own_temperature(cone: str, peak: float, rate: float) -> None:
    # Peaks: Orton chart of 2016, self-supporting cones at 60 and 150 °C/h.
    found, note = cone_by_log(parse_log(as_csv(ramp(peak, rate))))
    assert found == parse_cone(cone)
    assert note.startswith(f"log suggests cone {cone}") and f": {peak} °C" in note
    assert reading_of(parse_log(as_csv(ramp(peak, rate)))).rate_c_per_h == pytest.approx(rate, 0.02)


def test_the_rate_is_that_of_the_last_hundred_degrees() -> None:
    slow = [(m * 3, t) for m, t in ramp(1222, 60)[:2]]
    shift = slow[-1][0] - ramp(1222, 60)[1][0]
    points = slow + [(m + shift, t) for m, t in ramp(1222, 60)[2:]]
    assert reading_of(parse_log(as_csv(points))).rate_c_per_h == pytest.approx(60, rel=0.02)


def test_a_hold_is_reckoned_in_cones() -> None:
    short, held = (reading_of(parse_log(as_csv(ramp(1222, 60, hold=h)))) for h in (0, 20))
    assert short.step is not None and held.step is not None and held.hold_cones is not None
    assert held.hold_min == pytest.approx(23, abs=4)
    assert held.step > short.step + 0.2
    assert held.hold_cones == pytest.approx(held.step - short.step, abs=0.25)
    assert "held 2" in cone_by_log(parse_log(as_csv(ramp(1222, 60, hold=20))))[1]


def written(style: str) -> bytes:
    points = ramp(1222)
    if style == "hours":
        return as_csv([(m / 60, t) for m, t in points], "Hours,Temp (°C)")
    if style == "seconds":
        return as_csv([(m * 60, t) for m, t in points], "elapsed s,temp c")
    if style == "fahrenheit":
        return as_csv([(m, t * 1.8 + 32) for m, t in points], "Minutes,Temperature °F")
    if style == "latin":
        return as_csv(points, "Minutes,Temperature °C").decode().encode("latin-1")
    if style == "semicolons":
        lines = [f"{m:.2f};{t:.1f}".replace(".", ",") for m, t in points]
        return "\n".join(["min;temp °C", *lines]).encode("utf-8-sig")
    if style == "more columns":
        lines = [f"{t:.1f},on,{m:.2f}" for m, t in points]
        return "\r\n".join(["kiln temperature C,relay,time min", *lines]).encode()
    clocks = []
    for m, t in points:
        total = 20 * 3600 + round(m * 60)
        hour, minute, second = total // 3600 % 24, total // 60 % 60, total % 60
        day = f"2026-03-{12 + total // 86400} " if style == "dates" else ""
        clocks.append(f"{day}{hour:02}:{minute:02}:{second:02},{t:.1f}")
    return "\n".join(["time,temperature_c", *clocks]).encode()


@pytest.mark.parametrize(
    "style",
    ["hours", "seconds", "fahrenheit", "latin", "semicolons", "more columns", "clock", "dates"],
)
def test_however_it_is_written(style: str) -> None:
    log = parse_log(written(style))
    assert log.reason is None
    reading = reading_of(log)
    assert reading.cone == parse_cone("6")
    assert reading.peak_c == pytest.approx(1222, abs=0.2)
    assert reading.rate_c_per_h == pytest.approx(60, rel=0.03)


def test_one_wild_reading_is_no_peak() -> None:
    points = ramp(1222)
    points.insert(10, (points[9][0] + 0.1, 1390.0))
    points[11] = (points[9][0] + 0.2, points[9][1])
    assert cone_by_log(parse_log(as_csv(points)))[0] == parse_cone("6")


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b"\n\n", "empty"),
        (b"1,2\n3,4\n", "name the columns"),
        (b"minutes,temperature_c\n", "0 of 0"),
        (b"minutes,temperature_c\nx,y\nz,w\n", "0 of 2"),
        (b"time,temperature_c\n0,20\n900000,1200\n", "neither clock times"),
        (b"minutes,temperature\n0,70\n400,1230\n", "°C or °F"),
        (b"minutes,temperature_c\n10,20\n5,900\n", "run backwards"),
        (b"minutes,temperature_c\n0,1200\n20,1222\n30,1100\n", "begins less than"),
        (b"minutes,temperature_c\n0,9999\n5,8888\n", "no possible"),
        (b"\x00\x01\x02", "name the columns"),
        (b"minutes,temperature_c\n0,20\n10,1222\n", "15 to 150|no cone"),
    ],
)
def test_a_bad_log_has_a_reason(data: bytes, says: str) -> None:
    found, note = cone_by_log(parse_log(data))
    assert found is None
    assert any(part in note for part in says.split("|")), note


def test_a_missing_log_has_a_reason(tmp_path: Path) -> None:
    assert read_log(tmp_path / "none.csv").reason == "the log cannot be opened"
    assert read_log(tmp_path).reason == "the log cannot be opened"


@given(st.one_of(st.binary(max_size=400), st.text(max_size=300).map(lambda t: t.encode())))
def test_nothing_raises(rest: bytes) -> None:
    cone_by_log(parse_log(rest))
    cone_by_log(parse_log(b"minutes,temperature_c\n" + rest))
    cone_by_log(parse_log(b"time,temp f\n" + rest))
