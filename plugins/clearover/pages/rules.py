"""The rules every record is held to, one page made from the table that the check itself uses.

In: the rule table. Out: `rules.html`, a rule an anchor.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from markupsafe import Markup, escape

from ..records.problem import Rule
from ..records.problem import rules as all_rules
from . import words
from .environment import body_environment
from .page import Page, Site

FILLED_IN = re.compile(r"\{[a-z_]*[^}]*\}")
SEVERITY = {
    "error": "An error: it stops the build.",
    "warning": "A warning: it is told and stops nothing.",
}


def pages(site: Site) -> Iterator[Page]:
    """The one page."""
    del site  # the same for every studio
    rows = [_row(rule) for rule in all_rules().values()]
    body = body_environment().get_template("rules.html").render(rules=rows, root="")
    yield Page(
        address="rules.html",
        kind="rules",
        title="Rules for records",
        description="Every rule a record is held to, with how to put it right and why.",
        nav="guide",
        body_html=body,
    )


def _row(rule: Rule) -> dict[str, Any]:
    return {
        "id": rule.id,
        "severity": SEVERITY[rule.severity],
        "says": _open(words.first_upper(rule.says)),
        "fix": _open(rule.fix),
        "why": rule.why,
    }


def _open(sentence: str) -> Markup:
    """A sentence with `…` where the check fills in what it found, and code as code."""
    parts = escape(FILLED_IN.sub("…", sentence)).split("`")
    written = [Markup("<code>{}</code>").format(p) if i % 2 else p for i, p in enumerate(parts)]
    return Markup("").join(written)
