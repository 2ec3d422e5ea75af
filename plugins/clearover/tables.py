"""The published tables beside the code: a file's name in, its rows as text out.

Knows nothing of what the columns mean. Every table has a `source` column; `known` says whether a
row was read in its source (`seen`), `computed`, or is from `memory`.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from functools import lru_cache
from importlib.resources import files

from . import suggest

_PARTS = re.compile(r"[\W_]+")
_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")


def read_text(name: str) -> str:
    """The text of one file of the data folder."""
    return files("clearover").joinpath("data", name).read_text(encoding="utf-8")


@lru_cache(maxsize=32)
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of a table, each column by its heading."""
    return tuple(csv.DictReader(read_text(name).splitlines()))


@lru_cache(maxsize=8192)
def plain(name: str) -> str:
    """A name as it is compared: lower case, hyphens and marks as single spaces."""
    return " ".join(_PARTS.sub(" ", name.translate(_SUBSCRIPTS).casefold()).split())


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name most like this one, or None: for “did you mean”."""
    return suggest.nearest(name, known, fold=plain, likeness=0.72)
