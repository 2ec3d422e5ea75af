"""“Did you mean …?”: the nearest known word to a misspelt one."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from difflib import get_close_matches


def nearest(
    word: str,
    known: Iterable[str],
    fold: Callable[[str], str] = str.casefold,
    likeness: float = 0.6,
) -> str | None:
    """The known word that is most like this one, or None when nothing is near.

    Words are compared as `fold` makes them; `likeness` (0 to 1) is the least that counts.
    """
    by_fold = {fold(each): each for each in known}
    match = get_close_matches(fold(word), list(by_fold), n=1, cutoff=likeness)
    return by_fold[match[0]] if match else None


def hint(word: str, known: Iterable[str]) -> str:
    """`; did you mean “…”?` or nothing, ready to stand inside a sentence."""
    near = nearest(word, known)
    return f"; did you mean `{near}`?" if near else ""
