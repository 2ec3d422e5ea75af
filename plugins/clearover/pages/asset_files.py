"""Which styles, scripts and pictures of our own the site holds, and which styles a page loads.

In: the package's two asset folders. Out: addresses and paths. It must not know what they do.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

FOLDERS = (
    Path(__file__).with_name("assets"),
    Path(__file__).parent.with_name("finder") / "assets",
)
BASE = "assets/clearover/"
EVERYWHERE = (BASE + "finder/find-box.js",)
"""Scripts of every page, guide pages included."""
FIRST = ("css/tokens.css", "css/frame.css", "css/shell.css")


@cache
def assets() -> tuple[tuple[str, Path], ...]:
    """Address below the site and file of each asset, sorted."""
    found = [
        (BASE + path.relative_to(folder).as_posix(), path)
        for folder in FOLDERS
        for path in folder.rglob("*")
        if path.is_file() and path.suffix != ".md"
    ]
    return tuple(sorted(found))


def styles() -> tuple[str, ...]:
    """Styles of a record page: tokens first, then frame and shell, then all others by name."""
    all_styles = [address for address, _ in assets() if address.endswith(".css")]
    first = [BASE + name for name in FIRST]
    others = [style for style in all_styles if style not in {*first, BASE + "css/guide.css"}]
    return (*first, *others)
