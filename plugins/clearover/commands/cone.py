"""`clearover cone`: a cone's temperature at a heating rate, or the cone a temperature reaches.

In: a cone or a temperature, a rate, a kind of cone, a hold. Out: the chart's answer and what stands
around it. Needs no records. What cannot be computed is told with the reason and is no error.
"""

from __future__ import annotations

import math
import re
from typing import Any

import click

from ..firing.cone import Cone, parse_cone
from ..firing.temperatures import KINDS, celsius, fahrenheit, published
from .console import one_line, say, say_json, tell
from .group import Refused
from .opening import json_option

USUAL_RATE = 60.0
_KINDS = {kind.replace("_", "-"): kind for kind in KINDS}
TOO_HOT_C = 1800.0
"""No pottery kiln gets there: whoever says so means °F."""
LIKE_CELSIUS = (900.0, 1450.0)
"""°F that look like a glaze firing in °C."""
LONGEST_HOLD_MIN = 48 * 60


@click.command("cone", epilog="Example: clearover cone 6 --rate 100")
@click.argument("cone", required=False, metavar="[CONE]")
@click.option("--temperature", type=float, help="Which cone this reaches, in C.")
@click.option("--fahrenheit", "in_fahrenheit", is_flag=True, help="The temperature is in F.")
@click.option("--rate", type=float, help="C an hour, over the last 100 C; else 60.")
@click.option(
    "--kind", type=click.Choice(list(_KINDS)), default="self-supporting", show_default=True
)
@click.option("--hold", type=float, metavar="MIN", help="Minutes held at the top.")
@json_option
@click.option(
    "--combos", expose_value=False, metavar="DIR", help="As everywhere; no records are needed here."
)
def command(
    cone: str | None,
    temperature: float | None,
    in_fahrenheit: bool,
    rate: float | None,
    kind: str,
    hold: float | None,
    as_json: bool,
) -> None:
    """Tell the temperature of a CONE, or the cone of a --temperature.

    A temperature says nothing without its rate, which is that of the last 100 C.
    """
    from ..firing import cone_report

    _refuse_nonsense(cone, temperature, in_fahrenheit, rate, hold)
    inner = _KINDS[kind]
    if hold and inner != "self_supporting":
        raise Refused("a hold can be reckoned for self-supporting cones only")
    if temperature is None:
        meant = _cone(cone or "")
        report = cone_report.of_cone(meant, rate or _usual_rate(meant, inner), inner, hold)
        say_json(report) if as_json else _say_cone(report, hold)
        return
    degrees = celsius(temperature) if in_fahrenheit else temperature
    _doubt_the_unit(temperature, in_fahrenheit)
    at = rate or (300.0 if inner == "small" else USUAL_RATE)
    report = cone_report.of_temperature(degrees, at, inner, hold or 0)
    say_json(report) if as_json else _say_temperature(report)


def _refuse_nonsense(
    cone: str | None,
    temperature: float | None,
    in_fahrenheit: bool,
    rate: float | None,
    hold: float | None,
) -> None:
    if (cone is None) == (temperature is None):
        raise Refused("name either a cone or a --temperature, as in: clearover cone 6")
    if in_fahrenheit and temperature is None:
        raise Refused("--fahrenheit goes with --temperature; a cone is told in both anyway")
    if rate is not None and not (math.isfinite(rate) and rate > 0):
        raise Refused(f"a heating rate is more than 0 °C an hour, not {rate:g}")
    if hold is not None and not 0 <= hold <= LONGEST_HOLD_MIN:
        raise Refused(f"a hold is 0 to {LONGEST_HOLD_MIN} minutes, not {hold:g}")


def _cone(text: str) -> Cone:
    try:
        return parse_cone(text)
    except ValueError as error:
        number = re.fullmatch(r"\s*(\d{3,4})\s*°?\s*([cf]?)\s*", text, re.IGNORECASE)
        if number is None or text.strip().startswith("0"):
            raise Refused(one_line(str(error))) from None
        flag = " --fahrenheit" if number[2].lower() == "f" or int(number[1]) > 1500 else ""
        raise Refused(
            f"{one_line(text)} is no cone; for a temperature: "
            f"clearover cone --temperature {number[1]}{flag}"
        ) from None


def _usual_rate(cone: Cone, kind: str) -> float:
    """60 °C/h, or the only rate the chart has for this kind."""
    rates = [rate for rate, _ in published(cone, kind)]
    return rates[0] if len(rates) == 1 else USUAL_RATE


def _doubt_the_unit(temperature: float, in_fahrenheit: bool) -> None:
    """Refuse what is no temperature at all; ask where the other unit fits better."""
    degrees = celsius(temperature) if in_fahrenheit else temperature
    if not math.isfinite(degrees) or degrees < -273.15:
        raise Refused(f"{temperature:g} is no temperature")
    if degrees > TOO_HOT_C:
        other = celsius(temperature)
        hint = (
            ""
            if in_fahrenheit or other > TOO_HOT_C
            else (f"; if it is °F, add --fahrenheit: {temperature:g} °F is {other:.0f} °C")
        )
        raise Refused(f"no kiln of a pottery reaches {degrees:.0f} °C{hint}")
    low, high = LIKE_CELSIUS
    if in_fahrenheit and low <= temperature <= high:
        tell(
            f"{temperature:g} °F is only {degrees:.0f} °C; "
            f"if {temperature:g} °C is meant, leave out --fahrenheit"
        )


def _both(degrees: float) -> str:
    return f"{degrees:.0f} °C, {fahrenheit(degrees):.0f} °F"


def _say_cone(report: dict[str, Any], hold: float | None) -> None:
    cone = parse_cone(report["cone"])
    at = f"at {report['rate_c_per_h']:g} °C/h"
    if report["temperature_c"] is None:
        say(f"Cone {cone.shown} {at}: {report['reason']}")
    else:
        far = " (extrapolated: outside the chart's rates)" if report["extrapolated"] else ""
        say(f"Cone {cone.shown}: {_both(report['temperature_c'])} {at}{far}")
    for key, word in (("half_way", "half way"), ("half_cone_up", "Half a cone more is half way")):
        half = report[key]
        if half is not None:
            low, high = (parse_cone(one).shown for one in half["between"])
            start = word if key == "half_cone_up" else f"Cone {cone.shown} taken as {word}"
            say(f"{start} between {low} and {high}: {_both(half['temperature_c'])}")
    if report["kind"] == "small":
        say("Small cones: the chart's text has them 7 to 10 °C earlier than self-supporting ones")
        say("when stood upright; a dealer's text says later. Trust your own witness cones.")
    _say_chart(report)
    _say_older(report)
    if report["hold"] is not None:
        _say_hold(report["hold"], hold)
    other = report["not_to_confuse_with"]
    if other is not None:
        name = parse_cone(other["cone"]).shown
        say()
        say(f"{name} is another cone: {name} and {cone.shown} are {other['apart_c']:.0f} °C apart.")
    if report["source"]:
        say()
        say(f"Source: {one_line(report['source'])}")


def _say_chart(report: dict[str, Any]) -> None:
    if not report["published"]:
        return
    say()
    say(f"In the {report['edition']} chart (the rate is that of the last 100 °C):")
    for row in report["published"]:
        memory = "" if row["known"] == "seen" else "   from memory"
        celsius_, fahrenheit_ = row["temperature_c"], row["temperature_f"]
        say(f"  {row['rate_c_per_h']:>4g} °C/h {celsius_:>7.0f} °C {fahrenheit_:>6.0f} °F{memory}")


def _say_older(report: dict[str, Any]) -> None:
    if not report["older_chart"]:
        return
    say()
    beside = "large" if "large" in report["kind"] else "self-supporting"
    say(f"An older chart (large cones) says, beside today's {beside} ones:")
    for row in report["older_chart"]:
        less = row["less_current_c"]
        memory = "" if row["known"] == "seen" else ", from memory"
        if less is None:
            far = "not in today's chart"
        elif less == 0:
            far = "the same"
        else:
            far = f"{abs(less):.0f} °C {'less' if less < 0 else 'more'}"
        say(f"  {row['rate_c_per_h']:>4g} °C/h {row['temperature_c']:>7.0f} °C  ({far}{memory})")
    _say_readings(report)


def _say_readings(report: dict[str, Any]) -> None:
    """Where one temperature stands for several cones, say which."""
    today = [one for one in report["same_temperature"] if one["edition"] == report["edition"]]
    printed = {(one["rate_c_per_h"], one["cone"]) for one in today}
    older = [
        one
        for one in report["same_temperature"]
        if one not in today and (one["rate_c_per_h"], one["cone"]) not in printed
    ]
    found = [*today, *older]
    if len(found) < 2:
        return
    words = [
        f"cone {parse_cone(one['cone']).shown} at {one['rate_c_per_h']:g} °C/h"
        f"{'' if one['edition'] == report['edition'] else ' in the older chart'}"
        for one in found
    ]
    say(f"So {report['temperature_c']:.0f} °C is {', '.join(words[:-1])} and {words[-1]}.")


def _say_hold(hold: dict[str, Any], asked: float | None) -> None:
    from ..firing.holds import words_for

    cones, half = hold["cones"], hold["minutes_for_half_a_cone"]
    if cones["value"] is None:
        if asked is not None:
            say()
            say(f"A hold of {hold['minutes']:g} minutes: {cones['reason']}")
        return
    say()
    say(
        f"{hold['minutes']:g} minutes held there add {words_for(cones['value'])} "
        f"({cones['low']:.1f} to {cones['high']:.1f}; extrapolated, the chart knows no holds)."
    )
    if half["value"] is not None:
        say(f"Half a cone more takes about {half['value']:.0f} minutes.")
    if hold["peak_with_hold_c"] is not None and hold["minutes"]:
        say(
            f"To end at the same cone with {hold['minutes']:g} minutes' hold: "
            f"stop at {_both(hold['peak_with_hold_c'])}."
        )


def _say_temperature(report: dict[str, Any]) -> None:
    start = f"{_both(report['temperature_c'])} at {report['rate_c_per_h']:g} °C/h"
    if report.get("hold_min"):
        start += f", held {report['hold_min']:g} minutes"
    say(f"{start}: {_reached(report)}")
    if report.get("uncertainty_cones"):
        say(f"Give or take {report['uncertainty_cones']:.1f} cones.")
    for note in report.get("notes", ()):
        say(one_line(note[0].upper() + note[1:]))
    if report["extrapolated"] and not report.get("notes"):
        say("Extrapolated: the rate is outside those of the chart.")
    _say_readings(report)
    if report["source"]:
        say()
        say(f"Source: {one_line(report['source'])}")


def _reached(report: dict[str, Any]) -> str:
    if report["cone"] is None:
        return str(report["reason"])
    cone = parse_cone(report["cone"]).shown
    if report["between"]:
        after = parse_cone(report["between"][1]).shown
        return f"cone {cone} and {100 * report['fraction']:.0f} % of the way to cone {after}"
    if report["reason"]:
        return f"cone {cone} and more; {report['reason']}"
    return f"cone {cone}, just down"
