"""The conditions of a rule as its file writes them, read and checked.

In: a key and a value, both text (`zinc: [bearing]`, `unity ZnO: 0.05..`). Out: the typed condition,
or a `RuleFault` that says what would be right. Knows nothing of what a rule says.
"""

from __future__ import annotations

from typing import Any

from ..firing.cone import parse_range
from ..records import words
from ..tables import nearest, plain
from . import amounts
from .amounts import Asked

CLASSES = {
    "zinc": ("bearing", "free", "unknown"),
    "lime": ("high", "between", "low", "unknown"),
    "magnesia": ("high", "between", "low", "unknown"),
    "boron": ("high", "between", "low", "unknown"),
    "atmosphere": words.ATMOSPHERES,
    "surface": words.SURFACES,
}
OF_CLEARS = ("zinc", "lime", "magnesia", "boron")
SPANS = (
    "cooler than the clear's cones by",
    "hotter than the clear's cones by",
    "hotter than the colour's cones by",
)
YES_OR_NO = ("melting", "fluid")
ANSWERS = {"yes": True, "no": False, "not known": None}
KNOWN = (*CLASSES, "cones", *SPANS, *YES_OR_NO, "near")
STRENGTHS = ("slight", "some", "strong")
"""From weak to strong."""


class RuleFault(ValueError):
    """Something in the rule file is wrong; the message says which rule and what would be right."""


def listed(name: str, key: str, value: Any, allowed: tuple[str, ...] = ()) -> tuple[str, ...]:
    """A word or a list of words, each one of `allowed` where that is given."""
    found = [value] if isinstance(value, str) else value
    if not isinstance(found, list) or not all(isinstance(word, str) for word in found):
        raise RuleFault(f"rule “{name}”: {key} is a word or a list of words")
    for word in found:
        if allowed and word not in allowed:
            raise RuleFault(f"rule “{name}”: {key} has “{word}”; it may be {', '.join(allowed)}")
    return tuple(found)


def conditions(name: str, key: str, value: Any) -> tuple[tuple[str, Any], ...]:
    """All conditions of one set: ((factor, what it must be), …)."""
    if not isinstance(value, dict):
        raise RuleFault(f"rule “{name}”: `{key}` is a set of conditions in braces")
    return tuple((factor, condition(name, factor, wanted)) for factor, wanted in value.items())


def condition(name: str, key: str, wanted: Any) -> Any:
    """One condition: a set of words, a span of cones or cone steps, an `Asked`, or a yes or no."""
    if amounts.is_amount(key):
        return asked(name, key, wanted)
    if key in CLASSES:
        return frozenset(listed(name, key, wanted, CLASSES[key]))
    if key == "cones":
        try:
            cones = parse_range(wanted)
        except (ValueError, TypeError) as error:
            raise RuleFault(f"rule “{name}”: cones: {error}") from None
        return (cones.low.step, cones.high.step)
    if key in SPANS:
        return _steps(name, key, wanted)
    if key in YES_OR_NO:
        return ANSWERS[listed(name, key, wanted, tuple(ANSWERS))[0]]
    if key == "near":
        return frozenset(plain(word) for word in listed(name, key, wanted))
    raise RuleFault(f"rule “{name}”: “{key}” is no condition; {_right(key)}")


def _right(key: str) -> str:
    meant = nearest(key, KNOWN)
    hint = f"did you mean “{meant}”? " if meant else ""
    return f"{hint}there are {', '.join(KNOWN)}, and amounts like `unity ZnO` or `weight CaO`"


def asked(name: str, key: str, wanted: Any) -> Asked:
    """A condition on an amount."""
    try:
        return Asked(amounts.parse_amount(key), amounts.parse_span(wanted))
    except ValueError as error:
        raise RuleFault(f"rule “{name}”: {key}: {error}") from None


def grades(name: str, value: Any) -> tuple[tuple[Asked, str], ...]:
    """How strong a rule is by amount: `{weight ZnO: {0: slight, 1: some, 2: strong}}`.

    Each figure says from which amount on; the amounts rise, and so does the strength.
    """
    if value is None:
        return ()
    if not isinstance(value, dict) or len(value) != 1 or not amounts.is_amount(next(iter(value))):
        raise RuleFault(
            f"rule “{name}”: `by amount` holds one amount and its steps, like "
            "{weight ZnO: {0: slight, 1: some, 2: strong}}"
        )
    ((key, steps),) = value.items()
    if not isinstance(steps, dict) or not steps:
        raise RuleFault(f"rule “{name}”: {key}: give the steps in braces, like {{1: some}}")
    lows = list(steps)
    highs = [*lows[1:], ""]
    found = []
    for low, high in zip(lows, highs, strict=True):
        strength = listed(name, key, steps[low], STRENGTHS)[0]
        found.append((asked(name, key, f"{low}..{high}"), strength))
    ranks = [STRENGTHS.index(strength) for _, strength in found]
    if ranks != sorted(set(ranks)):
        raise RuleFault(f"rule “{name}”: {key}: more of it must be stronger, step by step")
    return tuple(found)


def _steps(name: str, key: str, wanted: Any) -> tuple[float, float]:
    low, dots, high = str(wanted).partition("..")
    try:
        if not dots:
            raise ValueError
        span = float(low), float(high) if high else float("inf")
    except ValueError:
        raise RuleFault(f"rule “{name}”: {key}: write a span like 0.5..2 or 2.5..") from None
    if span[0] > span[1] or span[0] <= 0:
        raise RuleFault(f"rule “{name}”: {key}: the span must rise from above 0")
    return span
