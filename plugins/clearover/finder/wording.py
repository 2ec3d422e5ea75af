"""The finder's words: names of layers, and reasons as sentences of their own.

In: parts of names, a reason. Out: plain text. Where an answer stands is worded in `evidence`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping


def layered_name(parts: Iterable[str], names: Mapping[str, str], joint: str) -> str:
    """A stack or mix in words: `Hedge Bottom over Whitewash Wall`, `Gorse Path with Brick Dust`."""
    return joint.join(names.get(part, part.replace("-", " ")) for part in parts)


def sentence(text: str) -> str:
    """The text as a sentence of its own: a large first letter, a stop at the end."""
    ended = text if text.endswith((".", "!", "?")) else f"{text}."
    return ended[:1].upper() + ended[1:]
