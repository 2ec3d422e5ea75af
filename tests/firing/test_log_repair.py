"""What goes wrong on the way: gaps, dropouts, wild readings, clocks, hostile files.

Every repair is a note; what is not obvious is a reason; nothing is raised.
"""

from __future__ import annotations

import datetime as dt
import time
from pathlib import Path

import pytest
from clearover.firing.cone import parse_cone
from clearover.firing.log import cone_by_log, parse_log, profile_of, read_log, reading_of
from clearover.firing.log_reader import KilnLog
from hypothesis import given, settings
from hypothesis import strategies as st

Points = list[tuple[float, float]]


def firing(peak: float = 1222.0, step: float = 5.0) -> Points:
    """Minutes and °C every `step` minutes: 150 °C/h, then 60 °C/h to the peak, then down."""
    points: Points = []
    minute, t = 0.0, 20.0
    while t < peak:
        points.append((minute, round(t, 1)))
        t += (150 if t < peak - 200 else 60) * step / 60
        minute += step
    points += [(minute, peak), (minute + step, peak)]
    return points + [(minute + step * (n + 2), peak - 40.0 * (n + 1)) for n in range(15)]


POINTS = firing()
TOP = next(i for i, (_, t) in enumerate(POINTS) if t == 1222)


def log_of(points: Points, header: str = "minutes,temp C") -> KilnLog:
    return parse_log("\n".join([header, *(f"{m:g},{t:g}" for m, t in points)]).encode())


def told(log: KilnLog) -> str:
    return "; ".join(reading_of(log).notes)


PLAIN = reading_of(log_of(POINTS))


def unharmed(log: KilnLog, tolerance: float = 0.06) -> None:
    """The log gives the same cone as the firing it was spoiled from."""
    found = reading_of(log)
    assert log.reason is None, log.reason
    assert found.step is not None and PLAIN.step is not None, found.reason
    assert found.step == pytest.approx(PLAIN.step, abs=tolerance)
    assert found.peak_c == 1222


@pytest.mark.parametrize("broken", [0, -1, 9999, 3276.7, 32767, -200, 1500])
def test_dropouts_are_left_out_and_counted(broken: float) -> None:
    points = [(m, broken if i in (50, 51, 70, TOP - 3) else t) for i, (m, t) in enumerate(POINTS)]
    log = log_of(points)
    unharmed(log)
    assert "4 lines without a possible temperature" in told(log)


@pytest.mark.parametrize("word", ["", "ERR", "open", "---", "NaN", "inf", "-inf", "1e308", "=B2*2"])
def test_words_for_no_reading_are_left_out(word: str) -> None:
    lines = [f"{m:g},{word if i in (50, 51) else t}" for i, (m, t) in enumerate(POINTS)]
    unharmed(parse_log("\n".join(["minutes,temp C", *lines]).encode()))


def test_a_wild_reading_is_left_out() -> None:
    points = [(m, 1390.0 if i == 60 else t) for i, (m, t) in enumerate(POINTS)]
    log = log_of(points)
    unharmed(log)
    assert "wild reading was left out: 1390 °C, 5 h 00 min into the log" in told(log)


def test_a_wire_that_came_off_for_a_while_is_left_out() -> None:
    points = [(m, 24.0 if 50 <= i < 56 else t) for i, (m, t) in enumerate(POINTS)]
    log = log_of(points)
    unharmed(log)
    assert "left out" in told(log) and "24 °C" in told(log)


def test_a_reading_that_froze_and_leapt_is_left_out() -> None:
    held = POINTS[40][1]
    points = [(m, held if 40 <= i < 52 else t) for i, (m, t) in enumerate(POINTS)]
    log = log_of(points)
    unharmed(log)
    assert f"stood still for 50 min and then leapt; left out: {held:.0f} °C" in told(log)


def test_a_hold_is_no_frozen_reading() -> None:
    points = [*POINTS[:40], *((POINTS[40][0] + 5 * n, POINTS[40][1]) for n in range(24))]
    points += [(m + 120, t) for m, t in POINTS[41:]]
    log = log_of(points)
    assert log.notes == () and len(log.points) == len(points)


def test_a_thermocouple_lost_on_the_way_up_gives_no_cone() -> None:
    points = [(m, t if i < TOP - 4 else 22.0) for i, (m, t) in enumerate(POINTS)]
    found = reading_of(log_of(points))
    assert found.cone is None and found.reason is not None and "failed at the top" in found.reason
    assert profile_of(log_of(points)) is None


def without(first: int, last: int) -> KilnLog:
    return log_of([point for i, point in enumerate(POINTS) if not first <= i < last])


def test_a_gap_far_below_the_peak_is_told_and_harmless() -> None:
    log = without(30, 45)
    unharmed(log)
    assert "a gap of 80 min from" in told(log) and "too far below the peak" in told(log)
    assert reading_of(log).uncertainty_cones == pytest.approx(PLAIN.uncertainty_cones, abs=0.01)


def test_a_gap_near_the_peak_widens_the_doubt() -> None:
    log = without(TOP - 14, TOP - 5)
    assert "bridged by a straight line" in told(log)
    doubt = reading_of(log).uncertainty_cones
    assert doubt is not None and PLAIN.uncertainty_cones is not None
    assert doubt > PLAIN.uncertainty_cones + 0.05


def test_a_gap_across_the_peak_gives_no_cone() -> None:
    for first, last in ((TOP - 3, TOP + 4), (TOP, TOP + 6), (TOP - 8, TOP)):
        log = without(first, last)
        found = reading_of(log)
        assert found.cone is None and "across the peak" in (found.reason or ""), (first, last)
        assert profile_of(log) is None


def test_lines_that_share_a_time() -> None:
    log = log_of([point for point in POINTS for _ in range(2)])
    unharmed(log)
    assert "share their time" in told(log)


def test_two_lines_swapped_are_sorted() -> None:
    points = [*POINTS[:30], POINTS[31], POINTS[30], *POINTS[32:]]
    log = log_of(points)
    unharmed(log)
    assert "one line stood out of turn" in told(log)


def test_shuffled_lines_are_refused() -> None:
    points = [POINTS[(i * 37) % len(POINTS)] for i in range(len(POINTS))]
    assert log_of(points).reason == "the times run backwards"


def test_two_firings_in_one_log_are_refused() -> None:
    reason = log_of([*POINTS, *POINTS]).reason
    assert reason is not None and "two firings" in reason


def clocked(change_at: int, by_minutes: int) -> KilnLog:
    """A log by the clock on the wall, put forward or back on the way."""
    start = dt.datetime(2026, 3, 28, 20, 0)
    shown = [m + (by_minutes if i >= change_at else 0) for i, (m, _) in enumerate(POINTS)]
    lines = [
        f"{start + dt.timedelta(minutes=at):%d.%m.%Y %H:%M};{t}"
        for at, (_, t) in zip(shown, POINTS, strict=True)
    ]
    return parse_log("\n".join(["Zeit;Temperatur °C", *lines]).encode())


@pytest.mark.parametrize(("by", "says"), [(60, "put forward an hour"), (-60, "put back an hour")])
def test_a_change_of_clock_is_repaired(by: int, says: str) -> None:
    log = clocked(60, by)
    unharmed(log)
    assert says in told(log)


def test_a_clock_set_back_by_anything_else_is_refused() -> None:
    assert clocked(60, -135).reason == "the times run backwards"


def test_midnight_is_passed_more_than_once() -> None:
    slow = [(m * 3, t) for m, t in POINTS]
    lines = [f"{int(20 * 60 + m) // 60 % 24:02d}:{int(m) % 60:02d},{t}" for m, t in slow]
    log = parse_log("\n".join(["clock,temp C", *lines]).encode())
    assert log.points[-1][0] == pytest.approx(slow[-1][0] / 60)


def test_a_log_that_ends_at_its_top_says_so() -> None:
    log = log_of(POINTS[: TOP + 1])
    assert reading_of(log).cone == parse_cone("6")
    assert "ends at its hottest" in told(log)


def test_formulas_are_named() -> None:
    lines = [f"{m:g},=B{i}" for i, (m, _) in enumerate(POINTS)]
    log = parse_log("\n".join(["minutes,temp C", *lines]).encode())
    assert log.reason is not None and "formulas" in log.reason


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\xef\xbb\xbf",
        b"\xff\xfe",
        b"\xff\xfe\x00",
        b"\x00" * 100,
        b"minutes,temp C\n",
        b"minutes,temp C\n0,20\n",
        b"\n" * 1000,
        b"minutes,temp C\n" + b"0,20\n" * 50,
        b"minutes,temp C\n" + b"9" * 500_000 + b",20\n",
        b"minutes,temp C\n" + b"".join(b"%d,%d\n" % (i, i * 7919 % 1400) for i in range(3000)),
        b'minutes,temp C\n"0,20\n5,30\n',
        b"minutes,temp C\n" + b'"' * 200_000,
        b",".join(b"temp C" for _ in range(5000)) + b"\n",
    ],
)
def test_hopeless_files_have_a_reason(data: bytes) -> None:
    cone, note = cone_by_log(parse_log(data))
    assert cone is None and note.startswith("log suggests no cone: ")
    assert reading_of(parse_log(data)).reason


def test_a_file_too_large_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "big.csv"
    with path.open("wb") as file:
        file.truncate(8_000_001)
    assert read_log(path).reason == "the log is larger than 8 MB"


def test_a_million_lines_are_read_in_a_second() -> None:
    lines = (f"{i},{20 + min(i, 900_000) * 1202 // 900_000}" for i in range(0, 1_000_000, 2))
    data = "\n".join(["s,C", *lines]).encode()
    data += b"\n" * 500_000
    started = time.process_time()
    log = parse_log(data[:8_000_000])
    assert time.process_time() - started < 1
    assert log.reason is None and any("lines every" in note for note in log.notes)
    assert max(t for _, t in log.points) == 1222


ROWS = st.lists(
    st.tuples(
        st.one_of(st.floats(), st.integers(-10, 2000), st.text(max_size=8)),
        st.one_of(st.floats(), st.integers(-300, 3000), st.text(max_size=8)),
    ),
    max_size=40,
)
HEADERS = st.sampled_from(
    ["minutes,temp C", "time,temp", "Date,Time,Top F,Bottom F", "", "h;°C", "clock\ttemp f", "x,y"]
)


@settings(max_examples=80, deadline=None)
@given(HEADERS, ROWS, st.sampled_from([",", ";", "\t"]), st.booleans())
def test_nothing_is_ever_raised(header: str, rows: list[object], mark: str, wide: bool) -> None:
    text = "\n".join([header, *(mark.join(map(str, row)) for row in rows)])  # type: ignore[call-overload]
    log = parse_log(text.encode("utf-16" if wide else "utf-8", "replace"), parse_cone("6"))
    reading_of(log)
    assert (log.reason is None) == bool(log.points)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, len(POINTS) - 1), st.sampled_from([0.0, 9999.0, -1.0, 700.0]))
def test_one_broken_reading_never_moves_the_cone_far(at: int, broken: float) -> None:
    if broken == 700 and at < 3:
        return
    points = [(m, broken if i == at else t) for i, (m, t) in enumerate(POINTS)]
    found = reading_of(log_of(points))
    assert found.step is not None and PLAIN.step is not None
    assert found.step == pytest.approx(PLAIN.step, abs=0.35)
