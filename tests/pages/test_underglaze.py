"""A colour's page: the answers in order, with pictures, and what is known of the colour."""

from __future__ import annotations

import pytest
from clearover.pages import underglaze


@pytest.fixture(scope="module")
def made(site) -> dict[str, str]:
    return {page.address: page.body_html for page in underglaze.pages(site)}


@pytest.fixture(scope="module")
def green(made) -> str:
    return made["underglazes/hedge-bottom.html"]


def test_the_usual_cone_comes_first(green: str) -> None:
    assert green.index('id="cone-6"') < green.index('id="cone-05"')


def test_a_tested_clear_shows_its_cells_and_what_happened(green: str) -> None:
    six = green[green.index('id="cone-6"') : green.index('id="cone-05"')]
    assert "Tested: turned brown" in six
    assert "Zinc takes the chromium out of the green." in six
    assert 'href="../tiles/hedge-bottom-clears.html#r1c1"' in six
    assert "2 tiles" not in six and "1 tile, 2 cells" in six


def test_the_untested_are_named_with_their_certainty(green: str) -> None:
    assert '<div class="names unknown"><b>Unknown: test it under</b>' in green
    assert "Neighbour&#39;s Bucket" in green


def test_facts(made, green: str) -> None:
    assert "chromium oxide" in green
    assert '<dt>Can be replaced by</dt><dd><a href="../underglazes/skylark.html">' in green
    assert (
        '<dt>Can stand in for</dt><dd><a href="../underglazes/hedge-bottom.html">'
        in (made["underglazes/skylark.html"])
    )
    assert "unknown: ask the maker, or test it" in made["underglazes/skylark.html"]


def test_the_chemistry_is_said_once_with_its_source(green: str) -> None:
    assert green.count("<b>chromium oxide: toward brown</b>") == 1
    assert "But: One writer saw green stay green." in green
    assert "methods.html#zinc-chromium-green" in green


def test_a_colour_in_a_stack_names_that_tile(made) -> None:
    assert "../tiles/white-under-green.html" in made["underglazes/skylark.html"]


def test_names_are_never_markup(made) -> None:
    assert "<script" not in "".join(made.values())


def test_an_empty_studio_has_no_page(bare_site) -> None:
    assert list(underglaze.pages(bare_site)) == []
