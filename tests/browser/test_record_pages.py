"""Record pages on a phone and on a desk: the answer first, no script needed, fit for wet hands."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

PHONE = {"viewport": {"width": 360, "height": 740}}
OURS = ("underglaze 1", "clear 1", "tile 1", "body 1", "firing 1", "matrix 1", "list 1")
PLAIN = ("rules 0", "methods 0", "data 0")

HEADINGS = "[...document.querySelectorAll('main :is(h1,h2,h3,h4)')].map((h) => +h.tagName[1])"
TWICE = """(() => { const ids = [...document.querySelectorAll('[id]')].map((e) => e.id);
  return ids.filter((id, i) => ids.indexOf(id) !== i); })()"""
UNNAMED = """[...document.querySelectorAll('main svg')].filter((one) =>
  one.getAttribute('aria-hidden') !== 'true' && !one.getAttribute('aria-label') &&
  !document.getElementById((one.getAttribute('aria-labelledby') || '-').split(' ')[0])).length
  + [...document.querySelectorAll('main img')].filter((one) =>
  !one.alt || !one.width || !one.height).length"""
LEADING_NOWHERE = """[...document.querySelectorAll('main a[href^="#"]')].map((a) =>
  a.getAttribute('href').slice(1)).filter((id) => !document.getElementById(id))"""
SMALL = """(names) => [...document.querySelectorAll(names)].filter((one) => {
  const box = one.getBoundingClientRect();
  return box.width && (box.height < 43.5 || box.width < 24); }).map((one) => one.outerHTML)"""
TARGETS = (
    ".tile-list a, .answer h3 a, a.strip, .swatches b a, .swatches .whole, .boards a, .jump a, "
    ".grid-on + label, .board tbody td a, .board th a, .face th > a"
)


@pytest.mark.parametrize("kind", (*OURS, *PLAIN))
def test_markup_is_sound(page_file: Any, kinds: dict[str, str], kind: str) -> None:
    page = page_file(kinds[kind])
    levels = page.evaluate(HEADINGS)
    assert levels.count(1) == 1 and levels[0] == 1
    assert all(later - former <= 1 for former, later in pairwise(levels))
    assert page.evaluate(TWICE) == []
    assert page.evaluate(UNNAMED) == 0
    assert page.evaluate(LEADING_NOWHERE) == []
    assert page.locator("main th:not([scope])").count() == 0
    assert page.locator("main [style], main style, main script").count() == 0


@pytest.mark.parametrize("kind", OURS)
def test_targets_are_large_enough_for_wet_hands(
    page_file: Any, kinds: dict[str, str], kind: str
) -> None:
    page = page_file(kinds[kind], **PHONE)
    assert page.evaluate(SMALL, TARGETS) == []


def test_the_answer_is_on_the_first_screen_of_a_phone(page_file: Any) -> None:
    colour = page_file("underglazes/hedge-bottom.html", **PHONE)
    strip = colour.locator("a.strip").first.bounding_box()
    assert strip["y"] + strip["height"] / 2 < 740
    assert "Tested" in colour.locator(".standing").first.inner_text()
    tile = page_file("tiles/hedge-bottom-four-clears.html", **PHONE)
    photo = tile.locator(".photo img").first.bounding_box()
    assert photo["y"] + photo["height"] < 740
    assert "Lantern Pane" in tile.locator(".happened").inner_text()


def test_a_tile_reads_without_script_and_its_grid_can_be_put_away(page_file: Any) -> None:
    page = page_file("tiles/hedge-bottom-four-clears.html", java_script_enabled=False)
    assert page.locator(".face tbody td").count() == 12
    assert page.locator("svg.grid").is_visible()
    page.locator("label[for=grid-on]").click()
    assert not page.locator("svg.grid").is_visible()
    assert "Drawn, not photographed." in page.locator("figcaption").first.inner_text()


def test_the_grid_lies_on_the_photo(page_file: Any) -> None:
    page = page_file("tiles/hedge-bottom-four-clears.html")
    photo = page.locator(".photo img").first.bounding_box()
    grid = page.locator("svg.grid").bounding_box()
    for side in ("x", "y", "width", "height"):
        assert abs(photo[side] - grid[side]) < 1


def test_a_link_to_a_cell_points_at_it(page_file: Any) -> None:
    page = page_file("tiles/hedge-bottom-four-clears.html#r2c1")
    outline = "getComputedStyle(document.getElementById('r2c1')).outlineStyle"
    assert page.evaluate(outline) == "solid"


def test_the_board_scrolls_in_its_own_box_and_keeps_its_headings(page_file: Any) -> None:
    page = page_file("matrix/cone-6.html", **PHONE)
    board = page.locator(".board")
    board.evaluate("(box) => box.scrollTo(250, 300)")
    box = board.bounding_box()
    colour = page.locator(".board th[scope=row]").nth(4).bounding_box()
    clear = page.locator(".board th[scope=col]").nth(3).bounding_box()
    assert abs(colour["x"] - box["x"]) < 12
    assert abs(clear["y"] - box["y"]) < 12
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_words_to_jump_to_never_lie_on_each_other(page_file: Any) -> None:
    for address in ("matrix/cone-6.html", "underglazes/index.html"):
        page = page_file(address, **PHONE)
        boxes = [one.bounding_box() for one in page.locator(".jump").first.locator("a").all()]
        assert all(one["x"] + one["width"] <= two["x"] + 1 for one, two in pairwise(boxes))


def test_certainty_is_the_edge_and_the_words(page_file: Any) -> None:
    page = page_file("matrix/cone-6.html")
    for state, style in (("expected", "dashed"), ("unknown", "dotted")):
        cell = page.locator(f".board td.{state} span").first
        assert cell.evaluate("(one) => getComputedStyle(one).borderTopStyle") == style
        assert cell.inner_text().strip()
    tested = page.locator(".board td.tested").first
    assert tested.locator("svg.crop").count() == 1
    assert tested.inner_text().strip()


def test_on_paper_there_is_no_navigation_and_every_verdict(page_file: Any) -> None:
    page = page_file("matrix/cone-6.html")
    page.emulate_media(media="print")
    assert not page.locator(".top").first.is_visible()
    assert page.locator(".board td.tested").last.is_visible()
    page = page_file("clears/lantern-pane.html")
    page.emulate_media(media="print")
    assert page.locator(".food").is_visible()
    assert not page.locator(".its-tiles").is_visible()
