"""What a forge shows beside a pull request: annotation lines and the run's summary.

In: problems. Out: lines in the form that the forge's runner reads from standard output, and a
Markdown summary appended to the file it names. Knows the forge by its environment alone.
"""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from .console import one_line

if TYPE_CHECKING:
    from ..records.problem import Problem

MOST_IN_SUMMARY = 200


def in_ci() -> bool:
    """Whether a forge's runner is listening."""
    return os.environ.get("GITHUB_ACTIONS") == "true"


def annotation(problem: Problem, file: str) -> str:
    """`::error file=…,line=…,col=…,title=…::message`, with nothing a record can break out of."""
    places = [f"file={_value(file)}"]
    if problem.place.line:
        places.append(f"line={problem.place.line}")
    if problem.place.column:
        places.append(f"col={problem.place.column}")
    places.append(f"title={_value(problem.rule)}")
    level = "error" if problem.is_error else "warning"
    text = f"{one_line(problem.message)}\nfix: {one_line(problem.remedy)}"
    return f"::{level} {','.join(places)}::{_data(text)}"


def _data(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _value(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")


def write_summary(problems: Sequence[Problem], sentence: str) -> None:
    """Append the summary to the file the runner names; without one, do nothing."""
    target = os.environ.get("GITHUB_STEP_SUMMARY")
    if target:
        with Path(target).open("a", encoding="utf-8") as file:
            file.write(summary_text(problems, sentence))


def summary_text(problems: Sequence[Problem], sentence: str) -> str:
    """The problems as a Markdown table, the first 200 of them."""
    lines = ["## Records", "", _escaped(sentence), ""]
    if problems:
        lines += ["| where | what | fix |", "|---|---|---|"]
    for problem in problems[:MOST_IN_SUMMARY]:
        cells = (str(problem.place), f"{problem.rule}: {problem.message}", problem.remedy)
        lines.append(f"| {' | '.join(_escaped(cell) for cell in cells)} |")
    left = len(problems) - MOST_IN_SUMMARY
    if left > 0:
        lines += ["", f"and {left} more, in the log."]
    return "\n".join(lines) + "\n\n"


def _escaped(text: str) -> str:
    """Text of a record as Markdown that shows it and does nothing else."""
    flat = one_line(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return re.sub(r"([\\`*_{}\[\]()#+!|~@:])", r"\\\1", flat)
