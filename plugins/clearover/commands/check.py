"""`clearover check`: every problem of every record, with what would be right.

In: the records. Out: one block a problem, or one JSON value; in a forge's CI also annotation
lines and the run's summary. Ends with 1 where there is an error.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..pages.words import count, first_upper, joined
from .annotations import annotation, in_ci, write_summary
from .console import one_line, say, say_json
from .group import DONE, RECORDS_AT_FAULT
from .opening import combos_option, json_option, read_catalogue

if TYPE_CHECKING:
    from ..records.catalogue import Catalogue
    from ..records.problem import Problem


@click.command("check", epilog="Example: clearover check")
@json_option
@click.option("--strict", is_flag=True, help="Warnings count as errors.")
@combos_option
@click.pass_context
def command(ctx: click.Context, as_json: bool, strict: bool, combos: Path) -> None:
    """Find every problem in the records, and say what would be right."""
    catalogue = with_photos(read_catalogue(combos))
    if as_json:
        say_json(report(catalogue))
    else:
        _say_problems(catalogue)
    if in_ci():
        if not as_json:
            for problem in catalogue.problems:
                say(annotation(problem, _from_here(catalogue, problem)))
        write_summary(catalogue.problems, summary(catalogue))
    failed = bool(catalogue.errors) or (strict and bool(catalogue.warnings))
    ctx.exit(RECORDS_AT_FAULT if failed else DONE)


def with_photos(catalogue: Catalogue) -> Catalogue:
    """The catalogue with the problems that decoding its photos shows, all in order."""
    from dataclasses import replace

    from ..records.problem import in_order
    from .decoding import broken_photos

    found = list(broken_photos(catalogue))
    problems = tuple(in_order([*catalogue.problems, *found])) if found else catalogue.problems
    return replace(catalogue, problems=problems)


def report(catalogue: Catalogue) -> dict[str, Any]:
    """The problems and the numbers of records, as scripts rely on them."""
    return {
        "problems": [problem_json(problem) for problem in catalogue.problems],
        "records": counts(catalogue),
    }


def problem_json(problem: Problem) -> dict[str, Any]:
    """One problem as scripts rely on it."""
    return {
        "rule": problem.rule,
        "severity": problem.severity,
        "file": problem.place.file,
        "line": problem.place.line,
        "column": problem.place.column,
        "message": problem.message,
        "found": problem.found,
        "wanted": problem.wanted,
        "remedy": problem.remedy,
    }


def counts(catalogue: Catalogue) -> dict[str, int]:
    """How many sound records there are of each kind."""
    return {
        "tiles": len(catalogue.tiles),
        "cells": sum(len(tile.cells) for tile in catalogue.tiles.values()),
        "underglazes": len(catalogue.underglazes),
        "clears": len(catalogue.clears),
        "bodies": len(catalogue.bodies),
        "firings": len(catalogue.firings),
        "materials": len(catalogue.materials),
    }


def summary(catalogue: Catalogue) -> str:
    """One sentence: what is wrong, and what there is."""
    errors, warnings = len(catalogue.errors), len(catalogue.warnings)
    found = [
        count(number, word) for number, word in ((errors, "error"), (warnings, "warning")) if number
    ]
    return f"{first_upper(joined(found)) or 'No problems'}. {_stock(counts(catalogue))}"


def _stock(numbers: dict[str, int]) -> str:
    if not any(numbers.values()):
        return "No sound records yet."
    tiles = f"{count(numbers['tiles'], 'tile')} with {count(numbers['cells'], 'cell')}"
    others = [
        count(numbers[key], *nouns)
        for key, nouns in (
            ("underglazes", ["underglaze"]),
            ("clears", ["clear"]),
            ("bodies", ["body", "bodies"]),
            ("firings", ["firing"]),
            ("materials", ["material"]),
        )
        if numbers[key]
    ]
    return f"Sound records: {joined([tiles, *others])}."


def _say_problems(catalogue: Catalogue) -> None:
    problems: Sequence[Problem] = catalogue.problems
    for problem in problems:
        place = str(problem.place).replace(problem.place.file, _from_here(catalogue, problem), 1)
        mark = "" if problem.is_error else "warning: "
        say(f"{one_line(place)}: {problem.rule} {mark}{one_line(problem.message)}")
        say(f"    fix: {one_line(problem.remedy)}")
    if problems:
        say()
    say(summary(catalogue))


def _from_here(catalogue: Catalogue, problem: Problem) -> str:
    """The file's path as an editor opened here would follow it."""
    path = catalogue.root.parent / problem.place.file
    here = Path.cwd()
    return (path.relative_to(here) if path.is_relative_to(here) else path).as_posix()
