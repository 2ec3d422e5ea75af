"""The numbers that measuring is done with, from `data/measuring-limits.csv`.

In: the table. Out: a number by its name. Knows nothing of photos.
"""

from __future__ import annotations

from functools import cache

from ..tables import rows


@cache
def limit(name: str) -> float:
    """One limit; the table says in which unit it is and where it comes from."""
    return {row["name"]: float(row["value"]) for row in rows("measuring-limits.csv")}[name]
