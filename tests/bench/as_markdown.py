"""A finished page's text as Markdown, so that another program can be given the same pages.

In: the HTML of a page we built. Out: Markdown with the same words and links: headings, lists,
tables, emphasis, text.
"""

from __future__ import annotations

import re
from html.parser import HTMLParser

_BREAKS = {"p", "div", "section", "ul", "ol", "dl", "table", "header", "figure"}
_HEADINGS = {"h1": "# ", "h2": "## ", "h3": "### "}
_MARKS = {"b": "**", "strong": "**", "i": "*", "em": "*"}
_SKIPPED = {"script", "style", "svg"}


def as_markdown(html: str) -> str:
    """The text between `<main>` and `</main>`."""
    main = re.search(r"<main\b[^>]*>(.*?)</main>", html, re.S)
    reader = _Reader()
    reader.feed(main[1] if main else html)
    return re.sub(r"\n{3,}", "\n\n", "".join(reader.out)).strip() + "\n"


class _Reader(HTMLParser):
    """Writes Markdown while the page is read."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.out: list[str] = []
        self._skip = 0
        self._cells = 0
        self._rows = 0
        self._links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._skip += tag in _SKIPPED
        if tag == "table":
            self._rows = 0
        if tag == "tr":
            self._cells = 0
            self.out.append("\n|")
        elif tag in ("td", "th"):
            self._cells += 1
        elif tag in _HEADINGS:
            self.out.append(f"\n\n{_HEADINGS[tag]}")
        elif tag == "li":
            self.out.append("\n- ")
        elif tag == "a":
            self._links.append(dict(attrs).get("href") or "")
            self.out.append("[")
        elif tag in _MARKS:
            self.out.append(_MARKS[tag])
        elif tag in _BREAKS and not self._in_row:
            self.out.append("\n\n")

    def handle_endtag(self, tag: str) -> None:
        self._skip -= tag in _SKIPPED
        if tag in ("td", "th"):
            self.out.append(" |")
        elif tag == "a" and self._links:
            self._close(f"]({self._links.pop()}) ")
        elif tag in _MARKS:
            self._close(f"{_MARKS[tag]} ")
        elif tag == "tr":
            self._rows += 1
            if self._rows == 1:
                self.out.append("\n|" + "---|" * self._cells)
            self._cells = 0
        elif tag in _HEADINGS or tag == "table":
            self.out.append("\n\n")

    def _close(self, mark: str) -> None:
        """A closing mark stands at the word, not after the space behind it."""
        self.out[-1] = self.out[-1].rstrip()
        self.out.append(mark)

    @property
    def _in_row(self) -> bool:
        return self._cells > 0

    def handle_data(self, data: str) -> None:
        if not self._skip and data.strip():
            self.out.append(" ".join(data.split()) + " ")
