"""Where an answer stands, in words a potter would say."""

from __future__ import annotations

import pytest
from clearover.evidence.results import STANDINGS, Answer, Counts
from clearover.evidence.wishes import Wish, wishes
from clearover.evidence.wording import standing


def answer(standing: str, **verdicts: int) -> Answer:
    words = {key.replace("_", " "): number for key, number in verdicts.items()}
    return Answer("glass", standing, "because", Counts(), (), words, (), None)


@pytest.mark.parametrize("wish", wishes().values(), ids=list(wishes()))
def test_each_standing_of_each_wish_reads_apart(wish: Wish) -> None:
    said = [standing((wish,), answer(one)) for one in STANDINGS]
    assert len(set(said)) == len(STANDINGS)
    assert said[STANDINGS.index("unknown")] == "Unknown: test it"
    assert all(text.startswith("Tested: ") for text in (said[0], said[-1]))


@pytest.mark.parametrize(
    ("wish", "verdicts", "said"),
    [
        ("true_colour", {"shifted_brown": 4, "true": 1}, "Tested: turned brown"),
        ("true_colour", {"true": 5, "faded": 1}, "Tested: faded"),
        ("true_colour", {"shifted_paler": 9, "gone": 1}, "Tested: colour gone"),
        ("true_colour", {"shifted_paler": 9}, "Tested: did not stay true"),
        ("crisp_line", {"dragged": 2, "crisp": 1}, "Tested: line dragged"),
        ("clean_surface", {"hazy_and_bubbled": 2}, "Tested: hazy and bubbled"),
        ("opaque", {"sheer": 2}, "Tested: sheer"),
    ],
)
def test_a_bad_one_says_what_happened(wish: str, verdicts: dict[str, int], said: str) -> None:
    assert standing((wishes()[wish],), answer("avoid", **verdicts)) == said


def test_several_wishes_are_all_named() -> None:
    both = [wishes()["true_colour"], wishes()["clean_surface"]]
    assert standing(both, answer("tested")) == "Tested: stays true and comes out clean"
    assert standing(both, answer("avoid", faded=1)) == "Tested: not all of that held"
