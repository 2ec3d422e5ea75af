"""The page on which one marks a photo's corners and copies the lines for the record.

In: nothing of the studio. Out: `photo.html`; what it does is done by its scripts, one for each
part of the page, in the order in which they need each other.
"""

from __future__ import annotations

from collections.abc import Iterator

from .environment import body_environment
from .page import Page, Site

PARTS = ("lines", "notes", "clean", "board", "save", "take", "photo")
SCRIPTS = tuple(f"assets/clearover/js/mark-{part}.js" for part in PARTS)


def pages(site: Site) -> Iterator[Page]:
    """The one page."""
    del site  # the same for every studio
    yield Page(
        address="photo.html",
        kind="photo",
        title="Mark a photo",
        description="Clean a tile's photo, touch its corners, and copy the lines for its record. "
        "The photo stays on the device.",
        nav="guide",
        body_html=body_environment().get_template("mark_photo.html").render(),
        scripts=SCRIPTS,
    )
