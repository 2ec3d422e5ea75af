"""The numbers and the words by which a kiln log is read, from their two tables.

Out: limits by name, and what a word in a heading means. Knows no file and no log. Correct them in
`data/kiln-log-limits.csv` and `data/kiln-log-words.csv`.
"""

from __future__ import annotations

from functools import cache

from ..tables import rows


@cache
def limit(name: str) -> float:
    """One limit, in the unit its row gives."""
    return float(next(row["value"] for row in rows("kiln-log-limits.csv") if row["name"] == name))


@cache
def words(means: str) -> frozenset[str]:
    """The words of a heading that mean this: `time`, `temperature`, `set`, `other`, `C` …"""
    return frozenset(row["word"] for row in rows("kiln-log-words.csv") if row["means"] == means)
