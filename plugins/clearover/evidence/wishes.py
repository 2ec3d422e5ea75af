"""What a member may wish for, and what a verdict says of it: good, bad, or neither.

In: the table `data/wishes.yml`. Out: `Wish` values. Pure words, no cells.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import yaml

from ..records.tile import Verdict
from ..tables import read_text


@dataclass(frozen=True, slots=True)
class Wish:
    """One wish. `judge` reads a verdict for it."""

    id: str
    name: str
    prop: str
    good: frozenset[str]
    bad: frozenset[str]
    unclear_toward: frozenset[str]
    good_words: str
    bad_words: str
    good_expected: str
    bad_expected: str

    def judge(self, verdict: Verdict) -> bool | None:
        """True for good, False for bad, None where the verdict decides neither way."""
        if verdict.toward in self.unclear_toward:
            return None
        if self.bad.intersection(verdict.words):
            return False
        return True if self.good.intersection(verdict.words) else None


@cache
def wishes() -> dict[str, Wish]:
    """Every wish by id, in the table's order; the first is the default."""
    text = read_text("wishes.yml")
    return {
        ident: Wish(
            id=ident,
            name=row["name"],
            prop=row["property"],
            good=frozenset(row["good"]),
            bad=frozenset(row["bad"]),
            unclear_toward=frozenset(row.get("unclear toward", ())),
            good_words=row["good in words"],
            bad_words=row["bad in words"],
            good_expected=row["good expected"],
            bad_expected=row["bad expected"],
        )
        for ident, row in yaml.safe_load(text)["wishes"].items()
    }
