"""The table of symptoms uses words a record may hold, and leaves none of the bad ones out."""

from __future__ import annotations

from pathlib import Path

from clearover.evidence.wishes import wishes
from clearover.finder.symptoms import symptoms
from clearover.pages.site import FIXED
from clearover.records import words

GUIDE = Path(__file__).parents[2] / "site_src"
KNOWN = {
    *(f"colour:{word}" for word in words.COLOUR_VERDICTS if word != "shifted"),
    *(f"colour:shifted {toward}" for toward in words.SHIFTS),
    *(f"line:{word}" for word in words.LINE_VERDICTS),
    *(f"cover:{word}" for word in words.COVER_VERDICTS),
    *(f"surface:{word}" for word in words.SURFACE_VERDICTS),
}


def test_every_verdict_is_one_a_record_may_hold() -> None:
    assert {verdict for one in symptoms() for verdict in one.verdicts} <= KNOWN


def test_everything_that_counts_as_bad_is_a_symptom() -> None:
    named = {verdict for one in symptoms() for verdict in one.verdicts}
    for key in KNOWN - named:
        prop, word = key.split(":")
        bad = {word for wish in wishes().values() if wish.prop == prop for word in wish.bad}
        assert word.split()[0] not in bad, key


def test_each_has_a_sentence_a_source_and_a_page() -> None:
    for one in symptoms():
        assert one.behind.endswith("."), one.id
        assert one.source
        page = one.href.partition("#")[0]
        assert page in FIXED or (GUIDE / page.replace(".html", ".md")).is_file(), page


def test_no_verdict_is_told_twice() -> None:
    told = [verdict for one in symptoms() for verdict in one.verdicts]
    assert len(told) == len(set(told))
