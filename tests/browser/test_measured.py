"""A tile's measured pictures in a real browser: slider, box to tick, and the photo from nearer."""

from __future__ import annotations

from typing import Any

TILE = "tiles/hedge-bottom-four-clears.html"
CLIP = "getComputedStyle(document.querySelector('.compare .taken')).clipPath"
HEIGHT = "document.querySelector('.compare').getBoundingClientRect().height"


def test_the_slider_moves_by_keyboard(page_file: Any) -> None:
    page = page_file(TILE)
    slide = page.locator(".compare input[type=range]")
    slide.scroll_into_view_if_needed()
    assert page.evaluate(CLIP) == "inset(0px 0px 0px 50%)"
    slide.focus()
    for _ in range(10):
        page.keyboard.press("ArrowRight")
    assert page.evaluate(CLIP) == "inset(0px 0px 0px 60%)"
    assert not page.locator("#as-taken").is_visible()


def test_without_script_a_box_switches_in_the_same_room(page_file: Any) -> None:
    tall = page_file(TILE).evaluate(HEIGHT)
    page = page_file(TILE, java_script_enabled=False)
    assert page.locator(".compare input[type=range]").is_hidden()
    taken = page.locator(".compare .taken")
    assert taken.is_hidden()
    page.locator(".compare .by-hand").click()
    assert taken.is_visible()
    box = page.locator(".compare").bounding_box()
    assert box is not None and abs(box["height"] - tall) < 1


def test_the_photo_comes_nearer_and_goes_away(page_file: Any) -> None:
    page = page_file(TILE)
    page.locator(".photo a.picture").first.click()
    box, picture = page.locator("dialog.zoom"), page.locator("dialog.zoom img")
    page.locator("dialog.zoom img[style*=width]").wait_for()
    whole = picture.bounding_box()
    page.get_by_role("button", name="Nearer").click()
    nearer = picture.bounding_box()
    assert whole and nearer and abs(nearer["width"] / whole["width"] - 1.5) < 0.02
    page.keyboard.press("-")
    again = picture.bounding_box()
    assert again and abs(again["width"] - whole["width"]) < 2
    page.keyboard.press("Escape")
    assert box.is_hidden()


def test_cells_carry_measured_words_and_the_page_stays_within_a_phone(page_file: Any) -> None:
    page = page_file(TILE, viewport={"width": 360, "height": 740})
    assert page.locator(".face .m").count() >= 12
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
