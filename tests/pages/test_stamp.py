"""Stamped pages are, byte for byte, what rendering each of them in full would give."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from clearover.pages.page import Page
from clearover.pages.shell import Frame
from clearover.pages.stamp import cut, marked

NASTY = "</title><script>alert(1)</script>\"'& \x00body\x00 {{ 7 * 7 }} ½ \U0001f3fa"
FRAME = Frame(
    site_name="Weir Lane <Pottery> & Co",
    version="0.1.0",
    tiles=60,
    wrong_verdict="ask <the> technician",
    site_url="https://example.org/tiles/",
    styles=("assets/clearover/css/tokens.css", "assets/clearover/css/shell.css"),
)
PAGE = Page("tiles/one.html", "tile", NASTY, NASTY, "tiles", f"<h1>x</h1><p>{NASTY}</p>")


def _pages() -> list[Page]:
    addresses = ("index.html", "tiles/one.html", "tiles/2026/one.html")
    scripts: tuple[tuple[str, ...], ...] = ((), ("assets/clearover/x.js", "data/y.js"))
    return [
        replace(PAGE, address=address, kind=kind, nav=nav, scripts=given)
        for address, kind, nav, given in product(
            addresses, ("tile", "home"), ("tiles", "find", ""), scripts
        )
    ]


@pytest.mark.parametrize("page", _pages(), ids=lambda p: f"{p.address}-{p.kind}-{p.nav}")
@pytest.mark.parametrize("frame", [FRAME, replace(FRAME, strict=False, site_url="")])
def test_a_stamped_page_equals_the_page_rendered_in_full(frame: Frame, page: Page) -> None:
    assert frame.stamp(page) == frame.render(page)


def test_text_that_looks_like_a_slot_is_only_text() -> None:
    shell = cut("<a>{title}</a><b>{body}</b>".format(**marked()))
    made = shell.stamp(title="\x00body\x00", description="", address="", body="real")
    assert made == b"<a>\x00body\x00</a><b>real</b>"


def test_a_title_cannot_leave_its_place() -> None:
    html = FRAME.stamp(PAGE).decode()
    head = html[: html.index("</head>")]
    assert "<script>alert" not in head
    assert head.count("</title>") == 1


def test_a_slot_nobody_fills_is_refused() -> None:
    with pytest.raises(ValueError, match="nonsense"):
        cut("a\x00nonsense\x00b")


def test_one_shell_serves_all_pages_of_its_sort() -> None:
    frame = replace(FRAME)
    for number in range(20):
        frame.stamp(replace(PAGE, address=f"tiles/{number}.html"))
    assert len(frame._shells) == 1


def test_a_shell_weighs_at_most_8_kb() -> None:
    sizes = [FRAME.shell(page).size for page in _pages()]
    assert max(sizes) <= 8_000, f"the heaviest shell has {max(sizes)} bytes"
