"""The finder's words: where an answer stands, as a potter would say it.

In: a wish and an answer. Out: plain text, made of the words in `data/wishes.yml`. It decides
nothing; standings come from `evidence`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ..evidence.results import Answer
from ..evidence.wishes import Wish

_WENT_WRONG = {
    "colour": {"faded": "faded", "gone": "colour gone"},
    "line": {"dragged": "line dragged", "bled": "line bled", "gone": "line gone"},
}


def standing(wish: Wish, answer: Answer) -> str:
    """Where an answer stands for one wish: `Tested: stays true`, `Tested: turned brown`."""
    match answer.standing:
        case "tested":
            return f"Tested: {wish.good_expected}"
        case "mixed":
            return f"Mixed: {wish.good_words} on some tiles"
        case "expected":
            return f"Expected: {wish.good_expected}"
        case "doubtful":
            return f"Doubtful: {wish.bad_expected}"
        case "avoid":
            return f"Tested: {_wrong(wish, answer.verdicts) or wish.bad_words}"
    return "Unknown: test it"


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


def layered_name(parts: Iterable[str], names: Mapping[str, str], joint: str) -> str:
    """A stack or mix in words: `Hedge Bottom over Whitewash Wall`, `Gorse Path with Brick Dust`."""
    return joint.join(names.get(part, part.replace("-", " ")) for part in parts)


def sentence(text: str) -> str:
    """The text as a sentence of its own: a large first letter, a stop at the end."""
    ended = text if text.endswith((".", "!", "?")) else f"{text}."
    return ended[:1].upper() + ended[1:]
