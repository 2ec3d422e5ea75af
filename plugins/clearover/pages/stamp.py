"""One shell rendered once, then cut at its slots and joined with each page's parts.

In: a shell as HTML whose slots are marked, and the parts of a page. Out: the page's bytes. Text of
a record can never be taken for a slot: it is joined, not searched, and the mark holds a character
that no record may hold. It must not know what a page is about.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from markupsafe import Markup, escape

SLOTS = ("title", "description", "address", "body")
_MARK = re.compile("\x00([a-z]+)\x00")


def marked() -> dict[str, Markup]:
    """The values that leave a mark in each slot when a shell is rendered with them."""
    return {name: Markup(f"\x00{name}\x00") for name in SLOTS}


@dataclass(frozen=True, slots=True)
class Shell:
    """A shell cut at its slots. `still` are the fixed bytes, `slots` what comes between them."""

    still: tuple[bytes, ...]
    slots: tuple[str, ...]

    @property
    def size(self) -> int:
        """What the shell adds to a page, in bytes."""
        return sum(map(len, self.still))

    def stamp(self, *, title: str, description: str, address: str, body: str) -> bytes:
        """The page. Everything but `body` is plain text and is escaped here."""
        parts = {
            "title": str(escape(title)).encode(),
            "description": str(escape(description)).encode(),
            "address": str(escape(address)).encode(),
            "body": body.encode(),
        }
        out = [self.still[0]]
        for slot, still in zip(self.slots, self.still[1:], strict=True):
            out.append(parts[slot])
            out.append(still)
        return b"".join(out)


def cut(html: str) -> Shell:
    """Cut a rendered shell. Raises ValueError when a slot's name is not known."""
    pieces = _MARK.split(html)
    slots = tuple(pieces[1::2])
    unknown = set(slots) - set(SLOTS)
    if unknown:
        raise ValueError(f"no such slot: {', '.join(sorted(unknown))}")
    return Shell(tuple(piece.encode() for piece in pieces[0::2]), slots)
