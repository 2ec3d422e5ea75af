"""Nothing leaves: not one request from any kind of page, no violation of the policy, no error."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from clearover.pages.shell import POLICY

LEAKS = {
    "a script in the page": ("<script>document.title = 'ran'</script>", "script-src"),
    "a style attribute": ("<p style='color: red'>x</p>", "style-src"),
    "a style sheet in the page": ("<style>p { color: red }</style>", "style-src"),
    "a handler in an attribute": (
        "<img alt='' src='data:,' onerror='document.title = 1'>",
        "script-src",
    ),
    "a picture from elsewhere": ("<img alt='' src='https://example.org/a.png'>", "img-src"),
    "a script from elsewhere": ("<script src='https://example.org/a.js'></script>", "script-src"),
    "a sheet from elsewhere": (
        "<link rel='stylesheet' href='https://example.org/a.css'>",
        "style-src",
    ),
}


def _rummage(page: Any) -> None:
    """What a reader does: scroll, press keys, switch light and dark."""
    page.keyboard.press("End")
    for key in ("f", "s", "p", "n", "/", ".", ",", "Escape"):
        page.keyboard.press(key)
    toggle = page.locator("[data-scheme-toggle]")
    toggle.click()
    toggle.click()
    page.wait_for_timeout(50)


def test_from_a_stick_nothing_leaves_any_kind_of_page(
    page_file: Any, kinds: dict[str, str]
) -> None:
    assert {"home 0", "tile 1", "clear 1", "underglaze 1", "guide guide.html"} <= set(kinds)
    page = page_file(offline=True)
    for address in kinds.values():
        _rummage(page_file.turn(page, address))
        assert page.url.startswith(page_file.base + address), "a key led to another page"


def test_over_http_nothing_leaves_any_kind_of_page(page_http: Any, kinds: dict[str, str]) -> None:
    page = page_http()
    for address in kinds.values():
        _rummage(page_http.turn(page, address))


def test_every_page_of_the_site_carries_the_policy(site: Path) -> None:
    pages = list(site.rglob("*.html"))
    assert len(pages) > 20
    lacking = [page.name for page in pages if f'content="{POLICY}"' not in page.read_text()]
    assert lacking == []


@pytest.mark.parametrize("leak", LEAKS)
def test_the_detector_sees_each_leak(watched: Any, tmp_path: Path, leak: str) -> None:
    body, directive = LEAKS[leak]
    meta = f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
    (tmp_path / "leak.html").write_text(f"<!doctype html><html><head>{meta}</head>{body}</html>")
    opener = watched(tmp_path)
    page = opener("leak.html")
    assert opener.told(page, f"policy: {directive}"), opener.faults
    assert page.title() == ""


def test_the_detector_sees_a_request_that_no_policy_stops(watched: Any, tmp_path: Path) -> None:
    (tmp_path / "open.html").write_text("<img alt='' src='https://example.org/a.png'>")
    opener = watched(tmp_path)
    page = opener("open.html")
    assert opener.told(page, "request to https://example.org/a.png"), opener.faults


def test_the_detector_sees_a_script_error(watched: Any, tmp_path: Path) -> None:
    (tmp_path / "error.html").write_text("<script>nothing.at.all()</script>")
    opener = watched(tmp_path)
    page = opener("error.html")
    assert opener.told(page, "script error"), opener.faults
