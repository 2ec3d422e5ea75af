"""What a member says went wrong, as a table of verdicts that record it.

In: `data/symptoms.yml`. Out: rows for the browser. It explains nothing that the table does not.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import yaml

from ..tables import read_text

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class Symptom:
    """One thing that goes wrong. `verdicts` are keys such as `colour:shifted brown`."""

    id: str
    says: str
    verdicts: tuple[str, ...]
    behind: str
    href: str
    link: str
    source: str

    def row(self) -> dict[str, object]:
        """What the browser gets."""
        return {
            "id": self.id,
            "says": self.says,
            "verdicts": list(self.verdicts),
            "behind": self.behind,
            "href": self.href,
            "link": self.link,
        }


@cache
def symptoms() -> tuple[Symptom, ...]:
    """All symptoms in the table's order."""
    text = read_text("symptoms.yml")
    return tuple(
        Symptom(
            id=ident,
            says=row["says"],
            verdicts=tuple(one.replace(": ", ":", 1) for one in row["verdicts"]),
            behind=" ".join(row["behind"].split()),
            href=row["read on"][0],
            link=row["read on"][1],
            source=row["source"],
        )
        for ident, row in yaml.load(text, _LOADER)["symptoms"].items()
    )
