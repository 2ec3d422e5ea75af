"""The names a person may type, for the finder and for the find box of every page.

In: the records, and the guide's pages. Out: plain lists in a fixed order; a place in one of them
is the number by which all other finder data names a record. Holds no evidence, so that it stays
small enough to be loaded by any page.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from ..records.catalogue import Catalogue


@dataclass(frozen=True, slots=True)
class Names:
    """Rows to send, and the place of each id. `guide` rows are (address, title)."""

    underglazes: list[tuple[str, str, str]]
    clears: list[tuple[str, str, str]]
    bodies: list[tuple[str, str, str]]
    tiles: list[tuple[str, str]]
    guide: list[tuple[str, str]] = field(default_factory=list)
    underglaze_at: dict[str, int] = field(default_factory=dict)
    clear_at: dict[str, int] = field(default_factory=dict)
    body_at: dict[str, int] = field(default_factory=dict)
    tile_at: dict[str, int] = field(default_factory=dict)

    def rows(self) -> dict[str, object]:
        """What the browser gets."""
        return {
            "underglazes": self.underglazes,
            "clears": self.clears,
            "bodies": self.bodies,
            "tiles": self.tiles,
            "guide": self.guide,
        }


def names_of(catalogue: Catalogue, guide: Iterable[tuple[str, str]] = ()) -> Names:
    """Names of all records, sorted as people sort them, with what else finds them."""
    under = sorted(
        (one.name.casefold(), one.id, one.name, _more(one.maker, one.colour, *one.pigment))
        for one in catalogue.underglazes.values()
    )
    clears = sorted(
        (one.name.casefold(), one.id, one.name, _more(one.maker, one.surface))
        for one in catalogue.clears.values()
    )
    bodies = sorted(
        (one.name.casefold(), one.id, one.name, _more(one.maker, one.colour))
        for one in catalogue.bodies.values()
    )
    tiles = sorted((one.id, one.mark or "") for one in catalogue.tiles.values())
    return Names(
        underglazes=[row[1:] for row in under],
        clears=[row[1:] for row in clears],
        bodies=[row[1:] for row in bodies],
        tiles=tiles,
        guide=list(guide),
        underglaze_at={row[1]: at for at, row in enumerate(under)},
        clear_at={row[1]: at for at, row in enumerate(clears)},
        body_at={row[1]: at for at, row in enumerate(bodies)},
        tile_at={row[0]: at for at, row in enumerate(tiles)},
    )


def _more(*texts: str | None) -> str:
    return " ".join(text for text in texts if text)
