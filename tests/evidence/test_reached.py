"""The cone a tile reached: its shelf's witness, else the log, else the aim."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from clearover.evidence.findings import Findings

Ask = Callable[[dict[str, str]], Findings]

FIRING = """fired: 2026-03-12
atmosphere: oxidation
aimed: 6
witness:
  top: {5: down, 6: half, 7: standing}
  bottom: {5: half, 6: standing}
"""


def record(shelf: str | None, firing: str = "load") -> str:
    line = f"shelf: {shelf}\n" if shelf else ""
    return f"firings: [{firing}]\n{line}all: {{underglaze: green, clear: plain}}\n"


@pytest.mark.parametrize(("shelf", "cone"), [("top", "6"), ("bottom", "5")])
def test_the_witness_on_its_own_shelf_tells(ask: Ask, shelf: str, cone: str) -> None:
    reached = ask({"firings/load.yml": FIRING, "a": record(shelf)}).reached["a"]
    assert reached.cone is not None
    assert (reached.cone.label, reached.by) == (cone, "witness")


def test_falling_short_is_said(ask: Ask) -> None:
    note = ask({"firings/load.yml": FIRING, "a": record("bottom")}).reached["a"].note
    assert note == "aimed at 6, reached 5"


def test_without_a_shelf_the_aim_counts(ask: Ask) -> None:
    reached = ask({"firings/load.yml": FIRING, "a": record(None)}).reached["a"]
    assert reached.cone is not None
    assert (reached.cone.label, reached.by) == ("6", "aim")


def test_a_leaning_cone_is_a_little_over(ask: Ask) -> None:
    firing = FIRING.replace("7: standing", "7: leaning")
    note = ask({"firings/load.yml": firing, "a": record("top")}).reached["a"].note
    assert "a little over 6" in note


def test_cones_that_all_stood_say_nobody_knows(ask: Ask) -> None:
    firing = "fired: 2026-03-12\naimed: 6\nwitness:\n  top: {5: standing, 6: standing}\n"
    reached = ask({"firings/load.yml": firing, "a": record("top")}).reached["a"]
    assert (reached.cone, reached.by) == (None, "unknown")
    assert "stood" in reached.note


def test_no_firing_at_all(ask: Ask) -> None:
    reached = ask({"a": "all: {underglaze: green, clear: plain}\n"}).reached["a"]
    assert (reached.cone, reached.by) == (None, "unknown")


def logged(peak: int) -> str:
    """150 °C/h to 200 °C below the peak, 60 °C/h to it, off: minutes and °C."""
    start = (peak - 220) / 2.5
    rows = [(0.0, 20), *((start + 10 * n, peak - 200 + 10 * n) for n in range(21))]
    rows += [(rows[-1][0] + 5 * n, peak - 60 * n) for n in range(1, 8)]
    return "\n".join(["minutes,temp", *(f"{m:.0f},{t}" for m, t in rows)])


@pytest.mark.parametrize(
    ("witness", "cone", "by"),
    [
        ("", "5", "log"),
        ("witness: {top: {6: half}}\n", "6", "witness"),
        ("witness: {low: {6: half}, high: {7: half}}\n", "5", "log"),
    ],
)
def test_the_log_outranks_the_aim_and_the_witness_the_log(
    ask: Ask, witness: str, cone: str, by: str
) -> None:
    # 1186 °C at 60 °C/h is cone 5: Orton chart of 2016, self-supporting cones.
    firing = f"fired: 2026-03-12\natmosphere: oxidation\naimed: 6\nlog: load.csv\n{witness}"
    files = {"firings/load.yml": firing, "firings/load.csv": logged(1186)}
    files["a"] = record("top" if "top" in witness else None)
    reached = ask(files).reached["a"]
    assert reached.cone is not None
    assert (reached.cone.label, reached.by) == (cone, by)
    assert reached.note.startswith("log suggests cone 5" if by == "log" else "")


def test_the_aim_tells_a_log_with_the_wrong_unit(ask: Ask) -> None:
    """1186 under a heading of °F would be 641 °C; the cone aimed at says what is meant."""
    text = logged(1186).replace("temp", "temp °F")
    firing = "fired: 2026-03-12\natmosphere: oxidation\naimed: 5\nlog: load.csv\n"
    reached = ask({"firings/load.yml": firing, "firings/load.csv": text, "a": record(None)})
    assert reached.reached["a"].by == "log"
    assert reached.reached["a"].cone is not None
    assert reached.reached["a"].cone.label == "5"
    assert any("taken as °C" in note for note in reached.logs["load"].notes)
