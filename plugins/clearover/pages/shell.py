"""What surrounds every page: head, header, footer, the Content-Security-Policy.

In: facts of the studio and of this build. Out: HTML of the parts (the theme's pages take header
and footer from here too) and one shell for each sort of record page. It must not know records
beyond those facts, and no host.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from markupsafe import Markup

from . import words
from .environment import body_environment
from .page import Page, Site
from .stamp import Shell, cut, marked

ASSETS = "assets/clearover/"
BOOT = ASSETS + "js/boot.js"
ICON = ASSETS + "icon.svg"

# No inline script or style, no other origin, no request at all: what a page needs lies beside it.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "font-src 'self'; connect-src 'none'; worker-src 'none'; object-src 'none'; "
    "base-uri 'none'; form-action 'none'"
)

NAVIGATION = (
    ("find", "Find", "index.html"),
    ("matrix", "Matrix", "matrix/index.html"),
    ("colours", "Colours", "underglazes/index.html"),
    ("clears", "Clears", "clears/index.html"),
    ("tiles", "Tiles", "tiles/index.html"),
    ("guide", "Guide", "guide.html"),
)


@dataclass(frozen=True, slots=True)
class Frame:
    """The facts that header, footer and head show.

    `newest` is the newest day any record names: the site's date, whenever it was built. `strict`
    is off only while serving, where the host injects a script of its own. `problems` are shown
    above the page while serving. `styles` and `scripts` are addresses below the site, of every
    page.
    """

    site_name: str
    version: str
    newest: dt.date | None = None
    tiles: int = 0
    wrong_verdict: str | None = None
    site_url: str = ""
    styles: tuple[str, ...] = ()
    scripts: tuple[str, ...] = ()
    strict: bool = True
    problems: tuple[str, ...] = ()
    _shells: dict[tuple[str, str, str, tuple[str, ...]], Shell] = field(
        default_factory=dict, init=False, compare=False
    )

    @property
    def date(self) -> str:
        """The site's date in words: `12 March 2026`."""
        return words.day(self.newest) or ""

    @property
    def whom_to_tell(self) -> str:
        """What to do about a wrong verdict, as a sentence that begins with a capital."""
        said = (self.wrong_verdict or "Tell the studio").strip().rstrip(".")
        return f"{said[:1].upper()}{said[1:]}."

    @property
    def policy(self) -> str:
        """The Content-Security-Policy of every page, empty while serving."""
        return POLICY if self.strict else ""

    def header(self, root: str, nav: str) -> Markup:
        """The header; `root` leads from the page to the site, `nav` names the lit entry."""
        return self._part("header", root=root, nav=nav, navigation=NAVIGATION)

    def footer(self, root: str) -> Markup:
        """The footer."""
        return self._part("footer", root=root)

    def shell(self, page: Page) -> Shell:
        """The shell this page wears, rendered at the first page of its sort."""
        key = (page.kind, page.root, page.nav, page.scripts)
        if key not in self._shells:
            self._shells[key] = cut(self._whole(page, **marked()))
        return self._shells[key]

    def stamp(self, page: Page) -> bytes:
        """The whole page."""
        return self.shell(page).stamp(
            title=page.title,
            description=page.description,
            address=page.address,
            body=page.body_html,
        )

    def render(self, page: Page) -> bytes:
        """The same page rendered in one go: slow, the measure that stamping is tested against."""
        return self._whole(
            page,
            title=page.title,
            description=page.description,
            address=page.address,
            body=Markup(page.body_html),
        ).encode()

    def _whole(self, page: Page, **slots: str) -> str:
        return self._part(
            "page",
            root=page.root,
            kind=page.kind,
            scripts=(*self.scripts, *page.scripts),
            header=self.header(page.root, page.nav),
            footer=self.footer(page.root),
            boot=BOOT,
            icon=ICON,
            **slots,
        )

    def _part(self, name: str, **values: object) -> Markup:
        template = body_environment().get_template(f"shell/{name}.html")
        return Markup(template.render(frame=self, **values))


def newest_day(site: Site) -> dt.date | None:
    """The newest day that any record names: fired, made or judged."""
    catalogue = site.catalogue
    days = [firing.fired for firing in catalogue.firings.values()]
    for tile in catalogue.tiles.values():
        days += [tile.made] if tile.made else []
        days += [judged.on for judged in tile.judged if judged.on]
    return max(days, default=None)
