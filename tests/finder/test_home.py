"""The home page before any script runs, for a full, a young and an empty studio."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from clearover import catalogue
from clearover.evidence.findings import Findings
from clearover.pages import home
from clearover.pages.asset_files import assets
from clearover.pages.page import Page, Site

UNDERGLAZE = "name: Hedge <Bottom>\ncolour: green\npigment: [chromium oxide]\n"
CLEAR = "name: Ferry Glass\nzinc: free\ncones: 5..6\n"
Studio = Callable[..., Site]


@pytest.fixture
def studio(tmp_path: Path) -> Studio:
    """Writes a small studio: file below `combos` -> text."""

    def make(**files: str) -> Site:
        combos = tmp_path / "combos"
        texts = {"studio": "name: A Shed\nusual cone: 6\n", **files}
        for name, text in texts.items():
            path = combos / f"{name.replace('__', '/')}.yml"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return Site(catalogue.compute(catalogue.read(combos)), {}, tmp_path)

    return make


def page_of(site: Site) -> Page:
    return next(one for one in home.pages(site) if isinstance(one, Page))


def test_every_colour_is_a_link_even_without_script(findings: Findings, tmp_path: Path) -> None:
    page = page_of(Site(findings, {}, tmp_path))
    for id_ in findings.catalogue.underglazes:
        assert page.body_html.count(f'href="underglazes/{id_}.html"') == 1
    assert page.address == "index.html"
    assert page.body_html.count("<h1") == 1


def test_every_script_it_asks_for_is_there(findings: Findings, tmp_path: Path) -> None:
    made = list(home.pages(Site(findings, {}, tmp_path)))
    there = {address for address, _ in assets()} | {one.address for one in made}
    page = next(one for one in made if isinstance(one, Page))
    assert page.scripts
    assert set(page.scripts) <= there


def test_an_empty_studio_is_told_what_to_do(studio: Studio) -> None:
    site = studio()
    page = page_of(site)
    assert 'href="contribute.html"' in page.body_html
    assert 'href="first-day.html"' in page.body_html
    assert page.scripts == ()
    assert len(list(home.pages(site))) == 1


def test_a_studio_without_tiles_says_that_rules_alone_speak(studio: Studio) -> None:
    site = studio(underglazes__hedge=UNDERGLAZE, clears__ferry=CLEAR)
    page = page_of(site)
    assert "No tile is recorded yet" in page.body_html
    assert 'href="contribute.html"' in page.body_html
    assert page.scripts


def test_a_name_is_text_never_markup(studio: Studio) -> None:
    site = studio(underglazes__hedge=UNDERGLAZE, clears__ferry=CLEAR)
    assert "<Bottom>" not in page_of(site).body_html
    assert "Hedge &lt;Bottom&gt;" in page_of(site).body_html
    scripts = [one.content for one in home.pages(site) if not isinstance(one, Page)]
    assert all(b"<" not in script for script in scripts)


def test_a_studio_without_a_usual_cone_still_has_a_first_question(studio: Studio) -> None:
    site = studio(
        studio="name: A Shed\ncones: [05, 6]\n", underglazes__hedge=UNDERGLAZE, clears__ferry=CLEAR
    )
    script = next(one for one in home.pages(site) if one.address.endswith("finder.js"))
    assert not isinstance(script, Page)
    assert json.dumps({"usual_cone": "05"})[1:-1].replace(": ", ":") in script.content.decode()
