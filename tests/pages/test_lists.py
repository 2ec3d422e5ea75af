"""Lists, bodies, loads and old names; and what an empty studio reads there."""

from __future__ import annotations

import re

import pytest
from clearover.pages import body, firing, lists


@pytest.fixture(scope="module")
def made(site) -> dict[str, str]:
    return {page.address: page.body_html for page in lists.pages(site)}


def test_every_record_is_listed_with_its_page(made, site) -> None:
    for folder, table in (
        ("underglazes", site.catalogue.underglazes),
        ("clears", site.catalogue.clears),
        ("tiles", site.catalogue.tiles),
        ("bodies", site.catalogue.bodies),
        ("firings", site.catalogue.firings),
    ):
        linked = re.findall(rf'href="\.\./{folder}/([^"]+)\.html"', made[f"{folder}/index.html"])
        assert set(table) <= set(linked)


def test_colours_stand_under_their_word_with_a_crop(made) -> None:
    page = made["underglazes/index.html"]
    assert page.index('id="turquoise"') > page.index('id="green"')
    assert 'viewBox="' in page and "no tile yet" in page


def test_tiles_say_mark_day_and_cone(made) -> None:
    assert "<b>Tile 114</b>" in made["tiles/index.html"]
    assert "cone 6 · 10 March 2026" in made["tiles/index.html"]
    assert "set aside" in made["tiles/index.html"]


def test_clears_say_where_nobody_knows_the_zinc(made) -> None:
    assert "zinc unknown: test it" in made["clears/index.html"]


def test_an_old_name_leads_to_the_new_one(made) -> None:
    assert (
        'href="../underglazes/hedge-bottom.html">Hedge Bottom'
        in (made["underglazes/hedge-green.html"])
    )


def test_an_empty_studio_is_told_what_to_do(bare_site) -> None:
    made = {page.address: page.body_html for page in lists.pages(bare_site)}
    assert len(made) == 5
    assert all('class="empty"' in text and "contribute.html" in text for text in made.values())


def test_a_load_says_which_shelf_fell_short(site) -> None:
    (page,) = firing.pages(site)
    assert page.description == (
        "Aimed at cone 6: the top shelf reached cone 6 and the bottom shelf only reached cone 5."
    )
    assert "cone 7 <b>standing</b>" in page.body_html
    assert "tin white" in page.body_html
    assert "../tiles/hedge-bottom-clears.html" in page.body_html


def test_a_body_says_what_was_seen_on_it(site) -> None:
    (page,) = body.pages(site)
    assert "true 3, shifted brown 2, faded 1" in page.body_html
    assert "<dt>Expansion</dt><dd>unknown</dd>" in page.body_html
