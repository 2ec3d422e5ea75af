"""What would change a flag: a rule's own conditions in, one sentence out.

Each condition is turned round: `zinc: bearing` becomes “a clear with no zinc in any material, frits
included”. The phrases stand among the `sentences` of the rule file; a rule that says more writes
its own `changes`. Decides nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

from ..firing.cone import Cone
from . import amounts
from .amounts import Asked
from .asking import CLASSES
from .results import Flag

COOLEST, HOTTEST = -22.0, 13.0
"""Cones 022 and 14: the ends of the table of cones."""
NOTHING = "nothing that is known: a test tile decides"


def would_change(when: Iterable[tuple[str, Any]], sentences: Mapping[str, str]) -> str:
    """One sentence: whatever would break one of the conditions."""
    found: dict[str, None] = {}
    for factor, wanted in when:
        found |= dict.fromkeys(_turned(factor, wanted, sentences))
    text = "; or ".join(found) or sentences.get("toward nothing", NOTHING)
    return f"{text[0].upper()}{text[1:]}."


def said_often(told: Iterable[tuple[str, Flag]]) -> dict[str, list[str]]:
    """What would settle several things that nobody knows alike: sentence -> whom it is said of.

    `told` pairs a subject with each of its flags; the sentences of this table are better said once,
    after all flags.
    """
    found: dict[str, list[str]] = {}
    for subject, flag in told:
        if flag.direction == "unknown" and flag.would_change:
            found.setdefault(flag.would_change, []).append(subject)
    return {said: list(dict.fromkeys(of)) for said, of in found.items() if len(of) > 1}


def _turned(factor: str, wanted: Any, sentences: Mapping[str, str]) -> list[str]:
    if isinstance(wanted, Asked):
        return _amount(wanted)
    if factor == "cones":
        return _cones(*wanted)
    if factor == "near":
        what = " or ".join(sorted(wanted))
        return [sentences.get("toward alone", "a load without {what}").format(what=what)]
    if isinstance(wanted, frozenset):
        left = [word for word in CLASSES[factor] if word not in wanted and word != "unknown"]
        # Away from `high` there is `low`, away from `reduction` there is `oxidation`: what lies
        # between them need not be named too.
        ends = [word for word in left if word not in ("between", "neutral")] or left
        return _said(sentences, [f"{factor} {word}" for word in ends])
    if isinstance(wanted, tuple):
        return _said(sentences, [f"within {factor.split()[3]} cones"])
    return _said(sentences, [f"{factor} {'not known' if wanted is None else wanted}".lower()])


def _said(sentences: Mapping[str, str], keys: Iterable[str]) -> list[str]:
    """The phrases of these, as far as the file has them."""
    return [sentences[f"toward {key}"] for key in keys if f"toward {key}" in sentences]


def _cones(low: float, high: float) -> list[str]:
    found = []
    if low > COOLEST:
        cooler = f"cone {Cone(math.ceil(low) - 1.0).shown} or cooler"
        found.append(f"the low fire, {cooler}" if low == 0 else cooler)
    if high < HOTTEST:
        found.append(f"cone {Cone(math.floor(high) + 1.0).shown} or hotter")
    return found


def _amount(asked: Asked) -> list[str]:
    """`less zinc (under 1 weight %)`, `more lime (8 weight % or more)`."""
    (amount, span) = asked
    found = []
    if span.low > 0:
        text = amounts.in_words(Asked(amount, amounts.Span(0, span.low)))
        found.append(f"less {amount.called} ({text.removeprefix(amount.called).strip()})")
    if span.high < amounts.INFINITE:
        text = amounts.in_words(Asked(amount, amounts.Span(span.high, amounts.INFINITE)))
        found.append(f"more {amount.called} ({text.removeprefix(amount.called).strip()})")
    return found
