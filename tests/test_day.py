"""The one place that says what day it is, and the one rule that depends on it."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
from clearover.day import NoDay, today
from clearover.records.fields import as_date
from pydantic_core import PydanticCustomError

PACKAGE = Path(__file__).parents[1] / "plugins" / "clearover"
NOON = 12 * 3600
MARCH_10 = dt.date(2026, 3, 10)


def seconds(day: dt.date) -> str:
    return str((day - dt.date(1970, 1, 1)).days * 86_400 + NOON)


@pytest.fixture
def on(monkeypatch: pytest.MonkeyPatch):
    return lambda text: monkeypatch.setenv("SOURCE_DATE_EPOCH", text)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("0", "1970-01-01"),
        ("86399", "1970-01-01"),
        ("86400", "1970-01-02"),
        ("1700000000", "2023-11-14"),  # 22:13:20 UTC, as any table of such seconds says
        ("253402300799", "9999-12-31"),
    ],
)
def test_the_environment_sets_the_day(on, text: str, day: str) -> None:
    on(text)
    assert today().isoformat() == day


@pytest.mark.parametrize("text", ["yesterday", "-1", "1.5", "²", "253402300800", "9" * 5000, " "])
def test_what_is_no_day_is_said(on, text: str) -> None:
    on(text)
    with pytest.raises(NoDay, match="SOURCE_DATE_EPOCH must be seconds"):
        today()


@pytest.mark.parametrize("text", [None, ""])
def test_else_the_clock_says_it(monkeypatch: pytest.MonkeyPatch, text: str | None) -> None:
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    if text is not None:
        monkeypatch.setenv("SOURCE_DATE_EPOCH", text)
    before = dt.date.today()
    assert before <= today() <= dt.date.today()


def test_a_day_lies_far_off_when_it_is_more_than_a_year_ahead_of_that(on) -> None:
    on(seconds(MARCH_10))
    assert as_date("2027-03-11") == dt.date(2027, 3, 11)
    with pytest.raises(PydanticCustomError) as found:
        as_date("2027-03-12")
    assert found.value.type == "day-far-off"
    on(seconds(MARCH_10 + dt.timedelta(days=1)))
    assert as_date("2027-03-12") == dt.date(2027, 3, 12)


def test_nothing_else_asks_for_the_day() -> None:
    asks = re.compile(r"date\.today\(|datetime\.(now|today|utcnow)\(|localtime\(|gmtime\(")
    found = {p.name for p in PACKAGE.rglob("*.py") if asks.search(p.read_text(encoding="utf-8"))}
    assert found == {"day.py"}
