"""Head, header and footer: the policy, what is lit, what is said, and that it can be read."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from clearover.pages.asset_files import FOLDERS
from clearover.pages.page import Page
from clearover.pages.shell import NAVIGATION, POLICY, Frame

FRAME = Frame(
    site_name="Weir Lane Pottery",
    version="0.1.0",
    newest=dt.date(2026, 3, 12),
    tiles=60,
    wrong_verdict="ask the technician",
    styles=("assets/clearover/css/tokens.css",),
)
PAGE = Page("tiles/one.html", "tile", "Tile 114", "A tile", "tiles", "<h1>Tile 114</h1>")
TOKENS = (FOLDERS[0] / "css/tokens.css").read_text(encoding="utf-8")


class Tags(HTMLParser):
    """Collects what a page may not have, and the order of what it must have."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.inline: list[str] = []
        self.order: list[str] = []
        self.links: list[tuple[str, dict[str, str | None]]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = dict(attrs)
        if tag == "meta" and values.get("http-equiv") == "Content-Security-Policy":
            self.order.append("policy")
        if tag in ("script", "link", "style"):
            self.order.append(tag)
        if tag == "style" or (tag == "script" and not values.get("src")):
            self.inline.append(tag)
        self.inline += [name for name in values if name == "style" or name.startswith("on")]
        if tag == "a":
            self.links.append((str(values.get("href")), values))


def test_the_policy_comes_before_anything_it_governs() -> None:
    tags = Tags(FRAME.stamp(PAGE).decode())
    assert tags.order[0] == "policy"
    assert {"script", "link"} <= set(tags.order)
    assert tags.inline == []


def test_the_policy_allows_nothing_inline_and_no_request() -> None:
    rules = dict(part.strip().split(" ", 1) for part in POLICY.split(";"))
    assert rules["default-src"] == "'none'"
    assert rules["connect-src"] == "'none'"
    assert rules["script-src"] == rules["style-src"] == "'self'"
    assert "unsafe" not in POLICY
    assert "http" not in POLICY


def test_while_serving_the_host_may_inject_its_reload_script() -> None:
    tags = Tags(replace(FRAME, strict=False).stamp(PAGE).decode())
    assert "policy" not in tags.order


@pytest.mark.parametrize("nav", [name for name, _, _ in NAVIGATION])
def test_exactly_the_entry_of_the_page_is_lit(nav: str) -> None:
    links = Tags(FRAME.header("../", nav)).links
    lit = [href for href, values in links if "aria-current" in values]
    assert lit == [f"../{address}" for name, _, address in NAVIGATION if name == nav]


def test_every_address_begins_at_the_page() -> None:
    for href, _ in Tags(FRAME.stamp(PAGE).decode()).links:
        assert href.startswith(("../", "#")), href


def test_the_footer_tells_date_count_whom_to_tell_and_about_food() -> None:
    said = re.sub(r"<[^>]+>", "", FRAME.footer(""))
    assert "60 tiles, records to 12 March 2026." in said
    assert "Ask the technician." in said
    assert "fit for food" in said
    assert "Clearover 0.1.0" in said


def test_a_studio_without_tiles_has_a_footer_too() -> None:
    said = Frame(site_name="New", version="0.1.0").footer("")
    assert "0 tiles." in said
    assert "Tell the studio." in said


def test_problems_are_shown_while_serving_and_are_escaped() -> None:
    html = replace(FRAME, problems=("combos/a.yml:1:2: <b>",)).header("", "")
    assert "&lt;b&gt;" in html
    assert "<b>" not in html
    assert 'role="alert"' in html


def _blocks() -> dict[str, dict[str, str]]:
    """The colours of each scheme, as the sheet has them."""
    patterns = {
        "light": r"^:root \{(.*?)^\}",
        "chosen dark": r'^:root\[data-scheme="dark"\] \{(.*?)^\}',
        "system dark": r'^  :root:not\(\[data-scheme="light"\]\) \{(.*?)^  \}',
    }
    found = {}
    for name, pattern in patterns.items():
        match = re.search(pattern, TOKENS, re.M | re.S)
        assert match, name
        found[name] = dict(re.findall(r"--([a-z0-9-]+): (#[0-9a-f]{3,6});", match[1]))
    return found


def _luminance(colour: str) -> float:
    """Relative luminance. Source: W3C, WCAG 2.2, 2023, definition of relative luminance."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return sum(weight * c for weight, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21. Source: W3C, WCAG 2.2, 2023, definition of contrast ratio."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_formula_gives_its_known_ends() -> None:
    assert contrast("#ffffff", "#000000") == pytest.approx(21.0)
    assert contrast("#777777", "#777777") == pytest.approx(1.0)


@pytest.mark.parametrize("scheme", ["light", "chosen dark"])
@pytest.mark.parametrize("paper", ["paper", "paper-2"])
def test_text_and_edges_can_be_seen(scheme: str, paper: str) -> None:
    colours = _blocks()[scheme]
    for name in ("ink", "ink-soft", "change", "follow"):  # WCAG 2.2, 1.4.3: 4.5 to 1
        assert contrast(colours[name], colours[paper]) >= 4.5, name
    # WCAG 2.2, 1.4.11: 3 to 1 for the edges of controls
    assert contrast(colours["edge"], colours[paper]) >= 3.0


def test_dark_is_the_same_whether_chosen_or_of_the_system() -> None:
    blocks = _blocks()
    assert blocks["chosen dark"] == blocks["system dark"]
    assert blocks["chosen dark"].keys() == blocks["light"].keys()


def test_no_sheet_fetches_anything() -> None:
    for folder in FOLDERS:
        for sheet in folder.rglob("*.css"):
            text = sheet.read_text(encoding="utf-8")
            assert "@import" not in text, sheet
            assert not re.search(r"url\(\s*['\"]?(?:https?:)?//", text), sheet
