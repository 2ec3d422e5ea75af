"""`clearover answer`: which clear over these underglazes, at this cone.

In: one or several underglazes, a cone, wishes. Out: the clears in order of rank, each with its
standing, one sentence why, and the tiles it rests on. The answer comes from the same function as
the site's.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..evidence.results import WISHES, Answer, Question
from ..evidence.wishes import wishes
from ..evidence.wording import standing
from ..export.plain import flag_json
from ..firing.cone import Cone
from ..pages import words as said
from ..records.words import ATMOSPHERES
from ..suggest import hint
from .console import one_line, say, say_json, tell
from .opening import ConeType, combos_option, find_id, json_option, open_catalogue, usual_cone

if TYPE_CHECKING:
    from ..records.catalogue import Catalogue

    _WishParam = click.ParamType[str]
else:
    # Older releases of click cannot be subscripted.
    _WishParam = click.ParamType

_SHORT = {"true": "true_colour", "crisp": "crisp_line", "clean": "clean_surface"}


class WishType(_WishParam):
    """A wish: true-colour, crisp-line, clean-surface, opaque, or its first word."""

    name = "wish"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The wish in the spelling of the data."""
        word = re.sub(r"[\s-]+", "_", str(value).strip().lower())
        word = _SHORT.get(word, word)
        if word not in WISHES:
            known = ", ".join(wish.replace("_", "-") for wish in WISHES)
            near = hint(str(value), [wish.replace("_", "-") for wish in WISHES])
            self.fail(f"{value} is not a wish{near} (wishes: {known})", param, ctx)
        return word


@click.command("answer", epilog="Example: clearover answer hedge-bottom brick-dust --cone 6")
@click.argument("underglazes", metavar="UNDERGLAZE...", nargs=-1, required=True)
@click.option("--cone", type=ConeType(), help="05, 5, 5.5; else the studio's usual cone.")
@click.option(
    "--wish",
    "wished",
    type=WishType(),
    multiple=True,
    help="true-colour (unless said otherwise), crisp-line, clean-surface, opaque; may be repeated.",
)
@click.option("--atmosphere", type=click.Choice(ATMOSPHERES), help="Else the studio's.")
@click.option("--all", "include_all", is_flag=True, help="Also clears that are not in use here.")
@json_option
@combos_option
def command(
    underglazes: tuple[str, ...],
    cone: Cone | None,
    wished: tuple[str, ...],
    atmosphere: str | None,
    include_all: bool,
    as_json: bool,
    combos: Path,
) -> None:
    """Say which clear to take over one underglaze, or over several together.

    An underglaze is named by its id or, in quotes, by its name. Over several, a clear counts
    for as much as it does over the colour that suffers most.
    """
    catalogue = open_catalogue(combos)
    ids = dict.fromkeys(find_id(catalogue, "underglaze", word) for word in underglazes)
    question = Question(
        underglazes=tuple(ids),
        cone=usual_cone(catalogue, cone),
        wishes=tuple(dict.fromkeys(wished)) or ("true_colour",),
        atmosphere=atmosphere or catalogue.studio.atmosphere,
        include_all=include_all,
    )
    from ..catalogue import compute

    answers = compute(catalogue).answer(question)
    if as_json:
        say_json(report(question, answers))
        return
    _say_answers(catalogue, question, answers)


def report(question: Question, answers: list[Answer]) -> dict[str, Any]:
    """Question and answers as scripts rely on them, in order of rank."""
    return {
        "question": {
            "underglazes": list(question.underglazes),
            "cone": question.cone.label,
            "wishes": list(question.wishes),
            "atmosphere": question.atmosphere,
        },
        "answers": [answer_json(answer) for answer in answers],
    }


def answer_json(answer: Answer) -> dict[str, Any]:
    """One clear's place as scripts rely on it."""
    return {
        "clear": answer.clear,
        "standing": answer.standing,
        "reason": answer.reason,
        "probability": answer.probability,
        "low": answer.low,
        "high": answer.high,
        "cells": {
            "good": answer.cells.good,
            "bad": answer.cells.bad,
            "unclear": answer.cells.unclear,
        },
        "tiles": list(answer.tiles),
        "verdicts": dict(answer.verdicts),
        "flags": [flag_json(flag) for flag in answer.flags],
        "worst_underglaze": answer.worst_underglaze,
    }


def _say_answers(catalogue: Catalogue, question: Question, answers: list[Answer]) -> None:
    names = [_name(catalogue, "underglaze", id) for id in question.underglazes]
    wished = said.joined([wishes()[wish].name for wish in question.wishes])
    say(
        f"Which clear over {said.joined(names)} at cone {question.cone.shown}, "
        f"{question.atmosphere}? Wished: {wished}."
    )
    _tell_unused(catalogue, question)
    if not answers:
        say("\nNo clear of this studio comes into question at this cone.")
    for rank, answer in enumerate(answers, start=1):
        say()
        _say_answer(catalogue, question, rank, answer)


def _tell_unused(catalogue: Catalogue, question: Question) -> None:
    for id in question.underglazes:
        record = catalogue.underglazes[id]
        if record.status != "in use":
            tell(f"{one_line(record.name)} is not in use here ({record.status}).")


def _say_answer(catalogue: Catalogue, question: Question, rank: int, answer: Answer) -> None:
    stands = standing([wishes()[wish] for wish in question.wishes], answer)
    say(f"{rank:2}. {_name(catalogue, 'clear', answer.clear)}  -  {stands}")
    say(f"    {one_line(answer.reason)}")
    if len(question.underglazes) > 1 and answer.worst_underglaze:
        say(f"    Decided by {_name(catalogue, 'underglaze', answer.worst_underglaze)}.")
    rests = said.rests_on(answer)
    if rests:
        shown = [one_line(_tile(catalogue, id)) for id in answer.tiles[:4]]
        more = len(answer.tiles) - len(shown)
        say(f"    {rests}: {said.joined([*shown, *([f'{more} more'] if more else [])])}")


def _name(catalogue: Catalogue, kind: str, id: str) -> str:
    record = catalogue.of(kind).get(id)
    return one_line(str(getattr(record, "name", id)))


def _tile(catalogue: Catalogue, id: str) -> str:
    tile = catalogue.tiles.get(id)
    return f"{id} (mark {tile.mark})" if tile is not None and tile.mark else id
