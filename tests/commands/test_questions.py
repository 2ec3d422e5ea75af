"""The questions of `clearover new tile`, as somebody at a terminal answers them."""

from __future__ import annotations

import datetime as dt

import click
import pytest
from clearover.commands.questions import ask_about_tile

TODAY = dt.date(2026, 3, 10)


@pytest.fixture
def typed(monkeypatch):
    """Answers, one a question, in order."""

    def answers(*words):
        left = iter(words)
        monkeypatch.setattr(click, "prompt", lambda text, default="", **_: next(left) or default)
        return ask_about_tile(TODAY)

    return answers


def test_empty_answers_leave_everything_open_but_the_day(typed):
    given = typed("", "", "", "", "", "", "", "")
    assert given["made"] == "2026-03-10"
    assert not any(value for key, value in given.items() if key != "made")


def test_several_come_with_commas(typed):
    given = typed("114", "", "hedge-bottom", "lantern-pane, ferry-glass", "1,2", "", "", "05")
    assert given["clears"] == ("lantern-pane", "ferry-glass")
    assert given["cone"].label == "05"


def test_with_a_firing_no_cone_is_asked(typed):
    given = typed("", "", "", "", "", "", "bisque-3, march-glaze")
    assert given["firings"] == ("bisque-3", "march-glaze")
    assert given["cone"] is None


def test_a_cone_that_is_none_is_refused(typed):
    with pytest.raises(click.UsageError, match="not a cone"):
        typed("", "", "", "", "", "", "", "hot")
