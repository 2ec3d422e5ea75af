"""The page on which one marks a photo's corners and copies the lines for the record.

In: nothing of the studio. Out: `photo.html`; what it does is done by its two scripts.
"""

from __future__ import annotations

from collections.abc import Iterator

from .environment import body_environment
from .page import Page, Site

SCRIPTS = ("assets/clearover/js/mark-lines.js", "assets/clearover/js/mark-photo.js")


def pages(site: Site) -> Iterator[Page]:
    """The one page."""
    del site  # the same for every studio
    yield Page(
        address="photo.html",
        kind="photo",
        title="Mark a photo",
        description="Touch the corners of a tile's photo and copy the lines for its record. "
        "The photo stays on the device.",
        nav="guide",
        body_html=body_environment().get_template("mark_photo.html").render(),
        scripts=SCRIPTS,
    )
