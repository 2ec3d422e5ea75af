"""Every way a kiln log may be written: units, clocks, headings, several thermocouples.

One firing to 1222 °C, cone 6 at 60 °C/h (Orton chart of 2016), is written in each way and must come
back as itself, with a note wherever something was taken for granted.
"""

from __future__ import annotations

import datetime as dt

import pytest
from clearover.firing.cone import parse_cone
from clearover.firing.log_reader import KilnLog, parse_log

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
START = dt.datetime(2026, 3, 12, 19, 40)


def csv(header: str, rows: list[str]) -> bytes:
    return "\n".join([header, *rows] if header else rows).encode()


def stamped(form: str, mark: str = ",") -> list[str]:
    return [f"{START + dt.timedelta(minutes=m):{form}}{mark}{t}" for m, t in POINTS]


def same(log: KilnLog, tolerance: float = 0.6) -> None:
    assert log.reason is None, log.reason
    assert [h * 60 for h, _ in log.points] == pytest.approx([m for m, _ in POINTS], abs=0.6)
    assert [t for _, t in log.points] == pytest.approx([t for _, t in POINTS], abs=tolerance)


def in_f(t: float) -> float:
    return round(t * 1.8 + 32, 1)


FORMS = {
    "dates after an ISO": csv("Timestamp,Temperature (C)", stamped("%Y-%m-%dT%H:%M:%S")),
    "day first, slashes": csv("date and time;temp °C", stamped("%d/%m/%Y %H:%M", ";")),
    "month first, slashes": csv("datetime,temp C", stamped("%m/%d/%Y %H:%M")),
    "day first, dots": csv("Zeit;Temperatur °C", stamped("%d.%m.%Y %H:%M:%S", ";")),
    "month in letters": csv("time\ttemp C", stamped("%d-%b-%y %H:%M", "\t")),
    "twelve hours": csv("Time,Kiln C", stamped("%I:%M %p")),
    "twelve hours and a date": csv("Time,Kiln C", stamped("%m/%d/%Y %I:%M:%S %p")),
    "twelve hours unsaid": csv("clock,kiln c", stamped("%I:%M")),
    "two columns of date and clock": csv("Date,Time,Kiln °C", stamped("%d/%m/%Y,%H:%M")),
    "with a zone": csv("time,°C", stamped("%Y-%m-%d %H:%M:%S+01:00")),
    "days of a spreadsheet": csv(
        "Date/Time,Temperature °C",
        [f"{46093 + (1180 + m) / 1440:.7f},{t}" for m, t in POINTS],
    ),
    "seconds since 1970": csv("time,temp c", [f"{1773344400 + m * 60:.0f},{t}" for m, t in POINTS]),
    "milliseconds": csv("Elapsed ms,Temp C", [f"{m * 60000:.0f},{t}" for m, t in POINTS]),
    "h:mm since the start": csv(
        "elapsed,temp c", [f"{m // 60:.0f}:{m % 60:02.0f},{t}" for m, t in POINTS]
    ),
    "mm:ss since the start": csv("elapsed min,temp c", [f"{m:.0f}:00,{t}" for m, t in POINTS]),
    "hours spelled out": csv(
        "time,temp c", [f"{m // 60:.0f} h {m % 60:02.0f} min,{t}" for m, t in POINTS]
    ),
    "time without a unit": csv("time,temp c", [f"{m:.0f},{t}" for m, t in POINTS]),
    "hours without a unit": csv("time,temp c", [f"{m / 60:.4f},{t}" for m, t in POINTS]),
    "a unit behind each figure": csv("Minutes,Reading", [f"{m:.0f},{t} °C" for m, t in POINTS]),
    "°F behind each figure": csv("Minutes,Reading", [f"{m:.0f},{in_f(t)}F" for m, t in POINTS]),
    "all quoted": csv('"Minutes","Temp C"', [f'"{m:.0f}","{t}"' for m, t in POINTS]),
    "thousands in quotes": csv("Minutes,Temp C", [f'{m:.0f},"{t:,.1f}"' for m, t in POINTS]),
    "decimal commas in quotes": csv(
        "Minutes,Temp C", ['{:.0f},"{}"'.format(m, str(t).replace(".", ",")) for m, t in POINTS]
    ),
    "columns by blanks": csv("minutes  temp_c", [f"{m:.0f}   {t}" for m, t in POINTS]),
    "lines before the heading": csv(
        "Kiln north\nFiring 12, cone 6\n\nTime (min),Temp (°C)",
        [f"{m:.0f},{t}" for m, t in POINTS],
    ),
    "a comment": csv("# north kiln\nminutes,temp °C", [f"{m:.0f},{t}" for m, t in POINTS]),
    "one sign for °C": csv("min,Temp ℃", [f"{m:.0f},{t}" for m, t in POINTS]),
    "no heading": csv("", [f"{m:.0f},{t}" for m, t in POINTS]),
    "no heading, a clock": csv("", stamped("%H:%M:%S")),
    "a set-point first": csv(
        "min,Set point C,Actual C", [f"{m:.0f},{t + 30},{t}" for m, t in POINTS]
    ),
    "both units": csv("min,Temp F,Temp C", [f"{m:.0f},{in_f(t)},{t}" for m, t in POINTS]),
    "power and ambient": csv(
        "min,Output power %,Ambient temp C,Kiln temp C,Rate C/h",
        [f"{m:.0f},55,24,{t},150" for m, t in POINTS],
    ),
    "UTF-16": csv("minutes,temp °C", [f"{m:.0f},{t}" for m, t in POINTS]).decode().encode("utf-16"),
    "UTF-16 without a mark": csv("minutes,temp °C", [f"{m:.0f},{t}" for m, t in POINTS])
    .decode()
    .encode("utf-16-le"),
    "blocks of nought": csv("minutes,temp C", [f"{m:.0f},{t}" for m, t in POINTS]) + b"\x00" * 512,
    "newest first": csv("minutes,temp C", [f"{m:.0f},{t}" for m, t in reversed(POINTS)]),
}
SAID = {
    "twelve hours unsaid": "twelve hours",
    "mm:ss since the start": "minutes and seconds",
    "time without a unit": "minutes alone make a firing",
    "hours without a unit": "hours alone make a firing",
    "no heading": "no heading",
    "a set-point first": "set-point was not taken",
    "newest first": "turned round",
}


@pytest.mark.parametrize("form", FORMS)
def test_it_comes_back_as_itself(form: str) -> None:
    log = parse_log(FORMS[form])
    same(log)
    if form in SAID:
        assert SAID[form] in "; ".join(log.notes)


@pytest.mark.parametrize("form", [form for form in FORMS if form not in SAID])
def test_what_is_plain_needs_no_remark_on_time(form: str) -> None:
    assert not any(
        "repaired" in note or "out of turn" in note for note in parse_log(FORMS[form]).notes
    )


def as_log(header: str, values: Points) -> bytes:
    return csv(header, [f"{m:.0f},{t:.0f}" for m, t in values])


FAHRENHEIT = [(m, in_f(t)) for m, t in POINTS]


@pytest.mark.parametrize(
    ("header", "values", "aimed", "note"),
    [
        ("min,temp °F", FAHRENHEIT, None, ""),
        ("min,temp °F", FAHRENHEIT, "6", ""),
        ("min,temp °C", FAHRENHEIT, None, "taken as °F: 2232 °C is hotter"),
        ("min,temp", FAHRENHEIT, None, "taken as °F: 2232 °C is hotter"),
        ("min,temp", POINTS, "6", "as °F it would be cone 020 where cone 6"),
        ("min,temp", POINTS, None, "taken as °C: as °F it would be cone 020"),
        (
            "min,temp °F",
            POINTS,
            "6",
            "the heading says °F; taken as °C: as °F it would be cone 020",
        ),
    ],
)
def test_the_unit_is_what_makes_sense(
    header: str, values: Points, aimed: str | None, note: str
) -> None:
    log = parse_log(as_log(header, values), parse_cone(aimed) if aimed else None)
    same(log, tolerance=1.0)
    assert note in "; ".join(log.notes)


def test_an_aim_alone_does_not_overrule_heading_and_start() -> None:
    """68 °F is a room, 68 °C is not: heading and start agree, only the aim speaks against them."""
    values = [(m, max(t, 68.0)) for m, t in POINTS]
    log = parse_log(as_log("min,temp °F", values), parse_cone("6"))
    assert log.reason is not None and "only as °C" in log.reason
    assert parse_log(as_log("min,temp °F", values), parse_cone("6"), "C").reason is None


def test_a_lustre_firing_in_fahrenheit_stays_one() -> None:
    """Cone 018 at 60 °C/h is about 712 °C, 1314 °F: nothing is taken against the heading."""
    log = parse_log(
        as_log("min,temp °F", [(m, in_f(t)) for m, t in firing(712)]), parse_cone("018")
    )
    assert max(t for _, t in log.points) == pytest.approx(712, abs=1)


def test_whoever_says_the_unit_is_believed_and_told_of() -> None:
    log = parse_log(as_log("min,temp °F", POINTS), None, "C")
    same(log, 1.0)
    assert "the heading says otherwise" in "; ".join(log.notes)


def test_several_thermocouples_give_their_mean() -> None:
    rows = [f"{m:.0f},{t + 8},{t},{t - 8}" for m, t in POINTS]
    log = parse_log(csv("min,Top C,Middle C,Bottom C", rows))
    same(log)
    assert "mean of 3 thermocouples was taken; their peaks: 1230, 1222, 1214 °C" in log.notes[0]


def test_one_that_lay_outside_or_broke_is_left_out() -> None:
    rows = [f"{m:.0f},{t},24,{t if m < 300 else 'open'}" for m, t in POINTS]
    log = parse_log(csv("min,Zone 1 C,Zone 2 C,Zone 3 C", rows))
    same(log)
    told = "; ".join(log.notes)
    assert "“Zone 2 C” was left out: it never got above 24" in told
    assert "“Zone 3 C” was left out: it gave no reading" in told


def test_thermocouples_that_disagree_are_no_kiln() -> None:
    rows = [f"{m:.0f},{t},{t * 0.9}" for m, t in POINTS]
    log = parse_log(csv("min,Top C,Bottom C", rows))
    assert log.reason is not None and "do not agree" in log.reason


def test_a_set_point_alone_is_no_reading() -> None:
    log = parse_log(csv("min,Set point C", [f"{m:.0f},{t}" for m, t in POINTS]))
    assert log.reason == "the log holds what the kiln was set to, and no reading"
