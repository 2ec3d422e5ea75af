"""A kiln load's page: the answer first, the log's suggestion, and the firing drawn."""

from __future__ import annotations

import dataclasses
import itertools
import re
from typing import Any
from xml.etree import ElementTree

import pytest
from clearover.evidence.results import Reached
from clearover.firing.cone import parse_cone
from clearover.firing.log import parse_log, reading_of
from clearover.firing.temperatures import cone_temperature
from clearover.pages import firing, firing_plot
from clearover.pages.firing_note import missed
from clearover.pages.polyline import MOST_POINTS, TOLERANCE_C, simplified
from hypothesis import given, settings
from hypothesis import strategies as st


def rows(peak: int, hold: int = 15) -> list[tuple[int, float]]:
    """A reading every five minutes: 150 °C/h, the last 200 °C at 60 °C/h, a hold, off."""
    found: list[tuple[int, float]] = []
    minute, t = 0, 20.0
    while t < peak:
        found.append((minute, t))
        t += 12.5 if t < peak - 200 else 5
        minute += 5
    found += [(minute + n, peak) for n in range(0, hold + 1, 5)]
    return found + [(found[-1][0] + 5 * n, peak - 25.0 * n) for n in range(1, 30)]


def log_of(found: list[tuple[int, float]]) -> Any:
    text = "\n".join(["minutes,temp C", *(f"{m},{t:g}" for m, t in found)])
    return parse_log(text.encode())


def page(site: Any, log: Any, **changed: Any) -> str:
    """The page of the only load, with this log."""
    (load,) = site.catalogue.firings.values()
    load = load.model_copy(update={"log": "kiln.csv" if log else None, **changed})
    catalogue = dataclasses.replace(site.catalogue, firings={load.id: load})
    findings = dataclasses.replace(
        site.findings, catalogue=catalogue, logs={load.id: log} if log else {}
    )
    (one,) = firing.pages(dataclasses.replace(site, findings=findings))
    return one.body_html


def svgs(html: str) -> list[str]:
    return re.findall(r"<svg viewBox.*?</svg>", html, flags=re.S)


def test_the_answer_comes_before_the_log(site: Any) -> None:
    html = page(site, log_of(rows(1222)))
    assert html.index("Aimed at cone 6: the top shelf reached cone 6") < html.index(
        "Shelf by shelf"
    )
    assert html.index("Shelf by shelf") < html.index("What the log suggests")
    said = re.search(r'class="said">([^<]*)<', html)
    assert said is not None
    assert re.fullmatch(r"The log suggests cone 6 and .* of the way to 7 \(± .*\)\.", said[1])
    assert re.search(r"The 1\d minutes at the top are worth 0\.\d of a cone\.", html)


def test_a_shelf_that_the_log_contradicts_is_named(site: Any) -> None:
    html = page(site, log_of(rows(1222)))
    assert "On the bottom shelf the witness says 5" in html
    assert "that shelf was cooler than where the thermocouple sits" in html


def test_a_log_above_every_witness_speaks_of_the_thermocouple(site: Any) -> None:
    html = page(site, log_of(rows(1285)))
    assert "above the witness cones on every shelf" in html
    assert "reads high" in html


def test_without_a_log_there_is_no_drawing(site: Any) -> None:
    html = page(site, None)
    assert "What the log suggests" not in html
    assert svgs(html) == []


def test_a_log_that_cannot_be_read_says_why(site: Any) -> None:
    html = page(site, parse_log(b""))
    assert "The log suggests no cone: the log is empty." in html
    assert svgs(html) == []


def test_the_drawings_are_small_sound_and_told_in_words(site: Any) -> None:
    drawn = svgs(page(site, log_of(rows(1222))))
    assert len(drawn) == 2
    assert sum(len(one.encode()) for one in drawn) < 4000
    for one in drawn:
        root = ElementTree.fromstring(one)
        assert root.get("role") == "img"
        title = root.find("title")
        assert title is not None and title.get("id") == root.get("aria-labelledby")
        assert "a peak of 1222 °C" in (title.text or "") and "held 1" in (title.text or "")
        assert "style" not in one


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=20, deadline=None)
def test_a_restless_log_stays_small(seed: int) -> None:
    import random

    noise = random.Random(seed)
    log = log_of([(m, t + noise.randint(-3, 3)) for m, t in rows(1222)])
    cones = [parse_cone(text) for text in ("5", "5½", "6", "7")]
    for plot in firing_plot.plots(log, reading_of(log), cones, parse_cone("6")):
        assert len(plot.curve) < 12 * MOST_POINTS


def test_cones_stand_where_they_fall_at_the_firings_own_rate() -> None:
    log = log_of(rows(1222))
    reading = reading_of(log)
    six, seven = parse_cone("6"), parse_cone("7")
    top, whole = firing_plot.plots(log, reading, [six, seven], six)
    assert [mark.text for mark in top.cones] == ["cone 7", "cone 6"]
    assert [mark.aimed for mark in top.cones] == [False, True]
    assert [mark.text for mark in whole.cones] == ["cone 6"]
    at = {text: y for y, text in top.up}
    per_degree = (at["1200"] - at["1225"]) / 25
    rate = firing_plot.rate_for_cones(reading)
    assert rate == pytest.approx(60, abs=1)
    fallen = cone_temperature(six, rate or 60)
    assert fallen is not None
    assert at["1200"] - top.cones[1].y == pytest.approx((fallen - 1200) * per_degree, abs=0.3)


def test_labels_of_near_cones_do_not_cover_each_other() -> None:
    log = log_of(rows(1222))
    cones = [parse_cone(text) for text in ("5", "5½", "6", "7", "8")]
    top, _ = firing_plot.plots(log, reading_of(log), cones, None)
    ys = [mark.label_y for mark in top.cones]
    assert len(ys) == 5
    assert all(b - a >= firing_plot.LINE - 0.1 for a, b in itertools.pairwise(ys))


def test_a_gap_is_dashed_and_said(site: Any) -> None:
    whole = rows(1222)
    log = log_of([row for row in whole if not 1100 < row[1] < 1130 or row[0] > 500])
    assert log.gaps
    html = page(site, log)
    assert 'class="gap"' in html and "Dashed: no reading" in html


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(-40, 40), min_size=3, max_size=90))
def test_no_point_left_out_lies_far_from_the_line(steps: list[int]) -> None:
    points = [(float(i), float(sum(steps[: i + 1]))) for i in range(len(steps))]
    kept = simplified(points)
    assert kept[0] == points[0] and kept[-1] == points[-1]
    for hour, t in points:
        a, b = next((a, b) for a, b in itertools.pairwise(kept) if a[0] <= hour <= b[0])
        line = a[1] + (b[1] - a[1]) * (hour - a[0]) / (b[0] - a[0])
        assert abs(line - t) <= TOLERANCE_C + 1e-9


@pytest.mark.parametrize(
    ("cone", "by", "says"),
    [
        ("5", "witness", "this shelf only reached 5 by its witness: counted as cone 5."),
        ("8", "witness", "this shelf went on to 8 by its witness: counted as cone 8."),
        (
            "5",
            "log",
            "no witness cone on the low shelf told, and the log suggests 5: counted as cone 5.",
        ),
        (None, "unknown", "what it reached nobody knows, so the tile counts for no cone."),
        ("6", "witness", None),
        ("6", "aim", None),
        ("5", "tile", None),
    ],
)
def test_a_tile_says_where_its_firing_missed(
    site: Any, cone: str | None, by: str, says: str | None
) -> None:
    (load,) = site.catalogue.firings.values()
    reached = Reached(parse_cone(cone) if cone else None, by, "oxidation")
    assert missed(load, reached, "low") == (says and f"Aimed at cone 6; {says}")


def test_a_tile_that_states_its_cone_claims_no_firing() -> None:
    assert missed(None, Reached(parse_cone("5"), "tile", "oxidation"), None) is None
