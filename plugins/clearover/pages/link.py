"""Names that lead somewhere: a thing's name as text, and as a link to its page.

In: text and an address made of ids. Out: values that a template writes as they are, escaped once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

_LINK = Markup('<a href="{}">{}</a>')


class Link:
    """A thing's name, and its page where it has one. Templates write it as a link: `{{ link }}`."""

    __slots__ = ("_html", "href", "text")

    def __init__(self, text: str, href: str | None = None) -> None:
        self.text = text
        self.href = href
        self._html = _LINK.format(href, text) if href else escape(text)

    def __html__(self) -> str:
        return self._html

    def __repr__(self) -> str:
        return f"Link({self.text!r}, {self.href!r})"


@dataclass(frozen=True, slots=True)
class TileRow:
    """A tile in a list: what it is called, its page, what lies on it, cone and day."""

    called: str
    href: str
    title: str
    facts: str


def linked(links: Sequence[Link], last: str = "and") -> Markup:
    """`a`, `a and b`, `a, b and c`, each a link."""
    written = [Markup(link.__html__()) for link in links]
    if len(written) < 2:
        return Markup("").join(written)
    return Markup("{} {} {}").format(Markup(", ").join(written[:-1]), last, written[-1])
