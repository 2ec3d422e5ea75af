"""Where an answer stands, as a potter would say it: one wording for finder, pages and commands.

In: the wishes and an answer. Out: plain text, made of the words in `data/wishes.yml`. It decides
nothing; standings come from `answers`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from .results import Answer
from .wishes import Wish

_WENT_WRONG = {
    "colour": {"faded": "faded", "gone": "colour gone"},
    "line": {"dragged": "line dragged", "bled": "line bled", "gone": "line gone"},
}


def standing(wished: Sequence[Wish], answer: Answer) -> str:
    """`Tested: stays true`, `Tested: turned brown`; of several wishes all are named."""
    match answer.standing:
        case "unknown":
            return "Unknown: test it"
        case "mixed":
            return f"Mixed: {_joined([wish.good_words for wish in wished])} on some tiles"
        case "doubtful" if len(wished) == 1:
            return f"Doubtful: {wished[0].bad_expected}"
        case "doubtful":
            return "Doubtful: not all of that is likely"
        case "avoid" if len(wished) == 1:
            return f"Tested: {_wrong(wished[0], answer.verdicts) or wished[0].bad_words}"
        case "avoid":
            return "Tested: not all of that held"
    certainty = "Tested" if answer.standing == "tested" else "Expected"
    return f"{certainty}: {_joined([wish.good_expected for wish in wished])}"


def _joined(parts: list[str]) -> str:
    return " and ".join(filter(None, [", ".join(parts[:-1]), parts[-1]]))


def _wrong(wish: Wish, verdicts: Mapping[str, int]) -> str | None:
    """What was seen most often among what counts as bad for the wish, in words."""
    for text in sorted(verdicts, key=lambda text: -verdicts[text]):
        word, _, toward = text.partition(" ")
        if word not in wish.bad or toward in wish.unclear_toward:
            continue
        if word == "shifted":
            return f"turned {toward}"
        return _WENT_WRONG.get(wish.prop, {}).get(word, text)
    return None
