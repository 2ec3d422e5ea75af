"""Whether a clear fits a body: the part of a clear's page and of a body's page that says so.

In: the look-ups of the site. Out: plain values for `_fit.html`. It decides nothing: chances and
words come from `glass/crazing.py`, what was seen from `evidence/crazed.py`. What was seen on fired
tiles comes first, then what the numbers make likely, last what nobody can tell.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from ..evidence.crazed import (
    CRAZED,
    SHIVERED,
    Agreement,
    Pair,
    Sighting,
    agreement,
    is_early,
    sightings,
)
from ..glass.crazing import (
    CANNOT_TELL,
    UNLIKELY,
    CrazeRisk,
    body_expansion,
    risk,
    share_a_cone,
)
from ..glass.results import Estimate
from ..records.catalogue import Catalogue
from ..records.models import Body, Clear
from . import words
from .lookup import Lookup

MINUS = "−"
MOST_TILES = 4
"""How many crazed tiles a row names; the others are counted."""

_last: list[tuple[Catalogue, dict[Pair, tuple[Sighting, ...]]]] = []


def seen_of(catalogue: Catalogue) -> dict[Pair, tuple[Sighting, ...]]:
    """What tiles show of every clear on every body, gone through once a build."""
    if not (_last and _last[0][0] is catalogue):
        _last[:] = [(catalogue, sightings(catalogue))]
    return _last[0][1]


def on_bodies(known: Lookup, clear: Clear) -> dict[str, Any]:
    """The part of a clear's page: its bodies."""
    seen = seen_of(known.catalogue)
    rows = [
        _row(known, "body", body.id, risk(known.findings.expansion(clear.id), body_expansion(body)))
        | {"seen": _seen(known, seen.get((clear.id, body.id), ()))}
        for body in known.catalogue.bodies.values()
        if _in_question(clear, body) or (clear.id, body.id) in seen
    ]
    return _part(rows, known.findings.expansion(clear.id), "Body", "Will it craze or shiver?")


def under_clears(known: Lookup, body: Body) -> dict[str, Any]:
    """The part of a body's page: the clears it meets."""
    seen = seen_of(known.catalogue)
    figure = body_expansion(body)
    rows = [
        _row(known, "clear", clear.id, risk(known.findings.expansion(clear.id), figure))
        | {"seen": _seen(known, seen.get((clear.id, body.id), ()))}
        for clear in known.catalogue.clears.values()
        if _in_question(clear, body) or (clear.id, body.id) in seen
    ]
    return _part(rows, None, "Clear", "Which clears craze or shiver on it?")


def agreed(known: Lookup, fault: str = CRAZED) -> Agreement:
    """How often the predictions of a fault agreed with the studio's own tiles."""
    total = Agreement()
    for (clear, body), seen in seen_of(known.catalogue).items():
        if clear in known.catalogue.clears and body in known.catalogue.bodies:
            figure = body_expansion(known.catalogue.bodies[body])
            total += agreement(risk(known.findings.expansion(clear), figure), seen, fault)
    return total


def _in_question(clear: Clear, body: Body) -> bool:
    used = clear.status == body.status == "in use"
    return used and share_a_cone(clear, body)


def _part(
    rows: list[dict[str, Any]], estimate: Estimate | None, column: str, heading: str
) -> dict[str, Any]:
    """Rows sorted by what matters: what was seen or is likely, what is open, what has no number.

    A tile judged sound soon after the firing tells too little to bring its row to the front.
    """
    told = [row for row in rows if row["matters"] < OPEN or row["seen"]["tells"]]
    told.sort(key=lambda row: (not row["seen"]["faults"], row["matters"]))
    rest = [row for row in rows if row not in told]
    return {
        "heading": heading,
        "column": column,
        "expansion": None if estimate is None else _figure(estimate),
        "told": told,
        "open": [row for row in rest if row["numbers"]],
        "blank": _by_reason(row for row in rest if not row["numbers"]),
    }


OPEN = 2
"""From this place on a row only says that nobody can tell."""


def _row(known: Lookup, kind: str, id_: str, found: CrazeRisk) -> dict[str, Any]:
    likely = found.word not in (CANNOT_TELL, UNLIKELY)
    return {
        "to": known.link(kind, id_),
        "word": _in_words(found),
        "edge": "expected" if found.word != CANNOT_TELL else "unknown",
        "matters": 0 if likely else 1 if found.word == UNLIKELY else OPEN,
        "reason": found.reason,
        "numbers": None if found.reason else _numbers(found),
        "notes": [words.first_upper(note) + "." for note in found.notes if "nobody" not in note],
    }


def _in_words(found: CrazeRisk) -> str:
    """`crazing likely`, `cannot tell, but shivering unlikely`."""
    if found.word == UNLIKELY:
        return "crazing and shivering unlikely"
    if found.word == CANNOT_TELL and found.reason is None:
        for fault, word in (("shivering", found.shivering), ("crazing", found.crazing)):
            if word == UNLIKELY:
                return f"cannot tell; {fault} unlikely"
    return found.word


def _numbers(found: CrazeRisk) -> dict[str, str]:
    difference = found.difference
    return {
        "difference": _signed(difference.value),
        "low": _signed(difference.low),
        "high": _signed(difference.high),
        "tension": chance(found.tension),
        "too_little": chance(found.too_little),
        "too_much": chance(found.too_much),
    }


def _figure(estimate: Estimate) -> dict[str, str]:
    if estimate.value is None or estimate.low is None or estimate.high is None:
        return {"reason": estimate.reason or "not computed"}
    return {
        "value": f"{estimate.value:.1f}",
        "low": f"{estimate.low:.1f}",
        "high": f"{estimate.high:.1f}",
        "reason": "",
    }


def _seen(known: Lookup, seen: tuple[Sighting, ...]) -> dict[str, Any]:
    """What the tiles of one pair show: those with a fault named, the sound ones counted."""
    faults = [one for one in seen if CRAZED in one.saw or SHIVERED in one.saw]
    sound = [one for one in seen if one not in faults]
    return {
        "tells": any(one in faults or not is_early(one) for one in seen),
        "faults": [
            {
                "to": known.link("tile", one.tile),
                "saw": words.joined(one.saw),
                "when": _when(one),
            }
            for one in faults[:MOST_TILES]
        ],
        "more": max(0, len(faults) - MOST_TILES),
        "sound": words.count(len(sound), "tile") if sound else "",
        "sound_when": _looked_at(sound),
    }


def _when(one: Sighting) -> str:
    if one.on is None:
        return "day not written down"
    after = "" if one.days is None else f", {_days(one.days)} after the firing"
    return f"{words.day(one.on)}{after}"


def _looked_at(sound: list[Sighting]) -> str:
    """When the sound tiles were last looked at, and that it may have been too soon."""
    days = [one.days for one in sound if one.days is not None]
    if not days:
        return "nobody wrote down when"
    span = _days(days[0]) if min(days) == max(days) else f"{min(days)} to {max(days)} days"
    early = sum(is_early(one) for one in sound)
    if early == len(sound):
        return f"last looked at {span} after the firing, too soon to tell"
    partly = f", {early} of them too soon to tell" if early else ""
    return f"last looked at {span} after the firing{partly}"


def _days(number: int) -> str:
    return "on the day" if number == 0 else words.count(number, "day")


def _by_reason(rows: Iterable[dict[str, Any]]) -> list[tuple[str, list[Any]]]:
    """Rows without a number, those of one reason together."""
    told: dict[str, list[Any]] = {}
    for row in rows:
        told.setdefault(words.first_upper(row["reason"] or ""), []).append(row["to"])
    return list(told.items())


def _signed(value: float | None) -> str:
    if value is None:
        return "–"
    rounded = round(value, 1)
    return f"{'+' if rounded > 0 else MINUS if rounded < 0 else ''}{abs(rounded):.1f}"


def chance(share: float | None) -> str:
    """A chance for people: `35 %`, `under 1 %`, `over 99 %`."""
    if share is None:
        return "–"
    if share < 0.01:
        return "under 1 %"
    return "over 99 %" if share > 0.99 else f"{100 * share:.0f} %"
