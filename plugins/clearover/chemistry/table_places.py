"""Where a fault lies in a table of analyses: a line and a cell in, a column for the cursor out.

Knows nothing of oxides.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a table: line and column from 1, a rule's id, what was found, what would
    be right."""

    line: int
    column: int
    rule: str
    says: str
    fix: str


def column_of(line: str, index: int, parting: str) -> int:
    """The column (from 1) of the first character of a cell; of the last cell where it has fewer."""
    at, cell, quoted = 0, 0, False
    for place, char in enumerate(line):
        if cell == index:
            break
        if char == '"':
            quoted = not quoted
        elif char == parting and not quoted:
            cell, at = cell + 1, place + 1
    while at < len(line) and line[at] == " ":
        at += 1
    return at + 1
