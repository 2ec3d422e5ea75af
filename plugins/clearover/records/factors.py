"""What may differ from cell to cell, and how each factor's value is read.

In: a factor's name and the text a record gives. Out: an id, a number or an agreed word.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from . import words
from .fields import as_cone, as_id, as_text, fault, number, one_of, whole

Value = str | int | float


def _application(value: Any) -> str:
    """`brush`, `sponge then brush`, `dip 3 s`."""
    text = as_text(value).lower()
    for step in re.split(r"\s+then\s+", text):
        bare = re.sub(r"\s+\d+(\.\d+)?\s*s$", "", step)
        if bare not in words.APPLICATIONS:
            raise fault("unknown-word", word=bare, allowed=list(words.APPLICATIONS))
    return text


def _body_was(value: Any) -> str:
    """`leather hard`, `bone dry`, `bisque 04`, `bisque`."""
    text = as_text(value).lower()
    if text in words.BODY_STATES:
        return text
    if text.startswith("bisque "):
        return f"bisque {as_cone(text.removeprefix('bisque ')).label}"
    raise fault("unknown-word", word=text, allowed=["leather hard", "bone dry", "bisque 04"])


def _fired(value: Any) -> str:
    """The cone a colour was fired on at before the clear, or `no`."""
    text = as_text(value).lower()
    return text if text in ("no", words.UNKNOWN) else as_cone(text).label


_coats = whole(0, 12, "coats")

READERS: dict[str, Callable[[Any], Value]] = {
    "underglaze": as_id,
    "clear": as_id,
    "underglaze coats": _coats,
    "clear coats": _coats,
    "underglaze by": _application,
    "clear by": _application,
    "clear brushed": one_of(*words.BRUSHED),
    "ground": one_of(*words.GROUNDS),
    "body": as_id,
    "body was": _body_was,
    "underglaze fired": _fired,
    "line": one_of(*words.LINE_WIDTHS),
    "line width mm": number(0.05, 100, "mm"),
    "specific gravity": number(1, 3, "g/ml over water"),
    "clear batch": as_text,
}


def read_factor(name: str, value: Any) -> Value:
    """One value of one factor; raises a fault. `name` must be one of `words.FACTORS`."""
    return READERS[name](value)
