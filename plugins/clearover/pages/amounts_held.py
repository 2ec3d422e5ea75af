"""How much of what decides a flag each clear holds, in weight per cent and as part of the flux.

In: flags and the chemistry of some clears. Out: one line an oxide that the flags' rules ask for;
clears one by one, many as a range. A class nobody could compute is told as declared, or unknown.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from ..chemistry.amounts import ALKALI, NAMES, Amount, Asked, how_much
from ..chemistry.asking import OF_CLEARS
from ..chemistry.classes import limits
from ..chemistry.oxides import is_flux
from ..chemistry.results import ClearChemistry, Flag
from ..chemistry.rules import rule_book
from . import words
from .lookup import Lookup

SHOWN = 5
"""Clears told one by one; more of them as a range."""


@dataclass(frozen=True, slots=True)
class Kind:
    """What is asked for: its name, its oxides, and the class that speaks where none is computed."""

    name: str
    oxides: tuple[str, ...]
    by_class: str | None


def held(
    flags: Iterable[Flag], chemistry: Mapping[str, ClearChemistry], known: Lookup
) -> list[dict[str, str]]:
    """One line for each oxide that decides any of these flags; none where nobody knows any."""
    kinds = dict.fromkeys(kind for flag in flags for kind in decided_by(flag.rule))
    return [
        {"name": words.first_upper(kind.name), "amounts": _line(kind, chemistry, known)}
        for kind in kinds
        if any(_is_known(kind, chem) for chem in chemistry.values())
    ]


def _is_known(kind: Kind, chem: ClearChemistry) -> bool:
    if chem.oxides_weight_percent is not None:
        return True
    return kind.by_class is not None and getattr(chem, kind.by_class).value != "unknown"


@cache
def decided_by(rule: str) -> tuple[Kind, ...]:
    """The oxides that a rule asks for; none for one that hangs on the fire alone."""
    found: dict[Kind, None] = {}
    for one in rule_book().rules:
        if one.id != rule:
            continue
        for key, wanted in (*one.when, *((None, asked) for asked, _ in one.grades)):
            if isinstance(wanted, Asked):
                found[_kind(wanted.amount.oxides)] = None
            elif key in OF_CLEARS:
                found[_kind((limits()[key].oxide,))] = None
    return tuple(found)


def _kind(oxides: tuple[str, ...]) -> Kind:
    classes = {limits()[name].oxide: name for name in OF_CLEARS}
    name = "alkali" if oxides == ALKALI else words.joined([NAMES.get(o, o) for o in oxides])
    return Kind(name, oxides, classes.get(oxides[0]) if len(oxides) == 1 else None)


def _line(kind: Kind, chemistry: Mapping[str, ClearChemistry], known: Lookup) -> str:
    """`Ferry Glass 3.4 % (0.14 of the flux), Mill Race none; Old Shopfront: bearing, declared`."""
    figures = {}
    others: dict[str, list[str]] = {}
    for id_, chem in chemistry.items():
        share = how_much(Amount("weight", kind.oxides), chem)
        name = known.link("clear", id_).text
        if share is None:
            others.setdefault(_declared(kind, chem), []).append(name)
        else:
            figures[name] = (share, how_much(Amount("unity", kind.oxides), chem))
    parts = [_figures(kind, figures)] if figures else []
    parts += [f"{_few(names)}: {said}" for said, names in others.items()]
    return "; ".join(parts)


def _figures(kind: Kind, figures: Mapping[str, tuple[float, float | None]]) -> str:
    if not any(weight for weight, _ in figures.values()):
        return "none" if len(figures) == 1 else f"none in {_few(list(figures))}"
    if len(figures) <= SHOWN:
        return ", ".join(f"{name} {_amount(kind, *pair)}" for name, pair in figures.items())
    least, most = min(figures.values(), key=_weight), max(figures.values(), key=_weight)
    span = f"{_amount(kind, *least)} to {_amount(kind, *most)}"
    return f"{span if least[0] != most[0] else _amount(kind, *least)} in {len(figures)} clears"


def _weight(pair: tuple[float, float | None]) -> float:
    return pair[0]


def _amount(kind: Kind, weight: float, unity: float | None) -> str:
    """`3.4 % (0.14 of the flux)`; `none` where there is none at all."""
    if weight == 0:
        return "none"
    text = f"{weight:.1f} %" if weight >= 0.05 else "a trace"
    if unity is None:
        return text
    of_flux = all(is_flux(oxide) for oxide in kind.oxides)
    return f"{text} ({unity:.2f}{' of the flux' if of_flux else ' to one of flux'})"


def _few(names: list[str]) -> str:
    if len(names) <= SHOWN:
        return words.joined(names)
    return f"{', '.join(names[:SHOWN])} and {len(names) - SHOWN} more"


def _declared(kind: Kind, chem: ClearChemistry) -> str:
    if kind.by_class is None:
        return "not computed"
    found: Any = getattr(chem, kind.by_class)
    if found.guessed:
        return f"nobody knows; a guess says {found.guessed}"
    return "nobody knows" if found.value == "unknown" else f"{found.value}, {found.known_from}"
