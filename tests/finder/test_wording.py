"""The finder's own words."""

from __future__ import annotations

from clearover.finder import wording


def test_a_reason_is_a_sentence() -> None:
    assert wording.sentence("true on 1 tile") == "True on 1 tile."
    assert wording.sentence("Is it?") == "Is it?"
