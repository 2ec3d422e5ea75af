"""What a maker of record pages hands to the shell: one `Page` for each page.

In: nothing. Out: the type only. It must not know MkDocs, templates or files.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Page:
    """One stamped page of the site.

    `address` is the path below the site, with `/` and the ending `.html`
    (`tiles/2026-03-ferry.html`). `kind` is one word (`tile`, `clear`, `home` ...): it becomes a
    class of the body. `title` and `description` are plain text, escaped by the shell. `nav` names
    the entry of the header that is lit: find, matrix, colours, clears, tiles, guide, or `""`.
    `body_html` is finished, escaped HTML of the main part, its `<h1>` included; links in it are
    relative to the page itself. `scripts` are addresses below the site of classic scripts, loaded
    with `defer` in the order given.
    """

    address: str
    kind: str
    title: str
    description: str
    nav: str
    body_html: str
    scripts: tuple[str, ...] = ()

    @property
    def depth(self) -> int:
        """How many folders the page lies below the site: 0 for `index.html`."""
        return self.address.count("/")
