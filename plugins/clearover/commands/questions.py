"""The few questions that `clearover new tile` asks on a terminal.

In: what somebody types; an empty answer means not known yet. Out: the same values that the
command's options give.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

import click

from ..firing.cone import parse_cone


def ask_about_tile(today: dt.date) -> dict[str, Any]:
    """Ask, and give back what the options of `new` would hold."""
    click.echo("Leave empty what you do not know yet. Several at once: with commas.", err=True)
    given: dict[str, Any] = {
        "mark": _ask("What is scratched into the clay"),
        "made": _ask("When was it made", today.isoformat()),
        "underglazes": _several("Which underglaze"),
        "clears": _several("Which clear"),
        "coats": _ask("How many coats of clear, for example 1,2,3"),
        "body": _ask("Which body"),
        "firings": _several("Which firings, the glaze firing last"),
        "cone": None,
        "atmosphere": None,
    }
    if not given["firings"]:
        cone = _ask("Which cone")
        given["cone"] = _cone(cone) if cone else None
    return given


def _ask(question: str, default: str = "") -> str:
    return str(click.prompt(question, default=default, show_default=bool(default), err=True))


def _several(question: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in _ask(question).split(",") if part.strip())


def _cone(text: str) -> Any:
    try:
        return parse_cone(text)
    except ValueError as error:
        raise click.UsageError(str(error)) from None
