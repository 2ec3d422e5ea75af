"""Header, footer and ground of every kind of page, on a phone and on a desk."""

from __future__ import annotations

from typing import Any

PHONE = {"viewport": {"width": 360, "height": 740}}
PAPER = "getComputedStyle(document.body).backgroundColor"


def test_the_header_costs_little_of_a_phone_and_shows_where_one_is(
    page_file: Any, kinds: dict[str, str]
) -> None:
    for kind in ("home 0", "tile 1", "guide guide.html", "guide safety.html"):
        page = page_file(kinds[kind], **PHONE)
        assert page.locator(".top").bounding_box()["height"] <= 60, kind
        lit = page.locator(".top-nav [aria-current]").bounding_box()
        assert lit["x"] >= 0, kind
        assert lit["x"] + lit["width"] <= 360, kind
        assert lit["height"] >= 44, kind


def test_no_page_is_wider_than_a_phone(page_file: Any, kinds: dict[str, str]) -> None:
    wide = []
    page = page_file(viewport={"width": 320, "height": 740})  # WCAG 2.2, 1.4.10
    for kind, address in kinds.items():
        page_file.turn(page, address)
        if page.evaluate("document.documentElement.scrollWidth") > 320:
            wide.append(kind)
    assert wide == []


def test_light_and_dark_follow_the_system_and_a_choice_is_kept(
    page_file: Any, kinds: dict[str, str]
) -> None:
    page = page_file(kinds["tile 1"], color_scheme="dark")
    dark = page.evaluate(PAPER)
    page.locator("[data-scheme-toggle]").click()
    light = page.evaluate(PAPER)
    assert light != dark
    for kind in ("guide guide.html", "home 0"):  # the theme's pages and ours, in one browser
        page.goto(page_file.base + kinds[kind])
        assert page.evaluate(PAPER) == light, kind
    page.locator("[data-scheme-toggle]").click()
    assert page.evaluate(PAPER) == dark


def test_what_one_test_stored_the_next_does_not_see(page_file: Any) -> None:
    page = page_file("guide.html", color_scheme="dark")
    dark = page.evaluate(PAPER)
    page.locator("[data-scheme-toggle]").click()
    assert page_file("guide.html", color_scheme="dark").evaluate(PAPER) != dark
    page_file.afresh()
    assert page_file("guide.html", color_scheme="dark").evaluate(PAPER) == dark


def test_the_skip_link_is_first_and_leads_to_the_content(
    page_file: Any, kinds: dict[str, str]
) -> None:
    for kind in ("tile 1", "guide guide.html"):
        page = page_file(kinds[kind])
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.classList.contains('skip')"), kind
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "main", kind
        assert page.locator("#main").count() == 1


def test_header_and_letters_have_one_size_on_theme_and_record_pages(
    page_file: Any, kinds: dict[str, str]
) -> None:
    sizes = []
    for kind in ("tile 1", "guide guide.html"):
        page = page_file(kinds[kind], viewport={"width": 2200, "height": 900})
        sizes.append(
            page.evaluate(
                "['.top-name', '.top-nav a', '#main', 'h1'].map((name) => "
                "getComputedStyle(document.querySelector(name)).fontSize)"
            )
        )
    assert sizes[0] == sizes[1]


def test_the_scheme_is_set_before_anything_is_painted(page_file: Any) -> None:
    page = page_file("guide.html", color_scheme="light")
    page.locator("[data-scheme-toggle]").click()
    page.add_init_script(
        "new MutationObserver(() => { if (document.body && !window.atBody) "
        "window.atBody = document.documentElement.dataset.scheme || 'none'; })"
        ".observe(document, {childList: true, subtree: true});"
    )
    page.reload()
    assert page.evaluate("window.atBody") == "dark"
    page.close()  # with its script
