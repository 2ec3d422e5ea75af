"""The matrix: crops and words where a tile shows it, dashed or dotted edges where none does."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from clearover.pages import matrix, matrix_cells
from clearover.pages.page import Page, Site
from clearover.photos.results import Sprite


@pytest.fixture(scope="module")
def made(site) -> dict[str, Page]:
    with pytest.MonkeyPatch.context() as patch:
        # The strip is made by the photo part and tested there; here no file is opened.
        def strip(crops, cell, cache, stamps):
            image = replace(crops[0][0].sprite.image, name="row.webp")
            return Sprite(image, 1, len(crops), *cell)

        patch.setattr(matrix_cells, "strip", strip)
        return {page.address: page for page in matrix.pages(site)}


def row(page: Page, name: str) -> list[str]:
    line = page.body_html.split(name)[1].split("</tr>")[0]
    return re.findall(r"<td.*?</td>", line)


def test_there_is_a_board_for_each_cone(made) -> None:
    assert {"matrix/index.html", "matrix/cone-6.html", "matrix/cone-05.html"} <= set(made)
    assert 'href="cone-6.html"><b>Cone 6</b>' in made["matrix/index.html"].body_html


def test_a_tested_cell_is_the_crop_with_its_verdict(made) -> None:
    cells = row(made["matrix/cone-6.html"], "Hedge Bottom</a>")
    by_text = {re.sub("<[^>]+>", "", cell): cell for cell in cells}
    assert set(by_text) == {"shifted brown", "true 1, faded 1", ""}
    brown = by_text["shifted brown"]
    assert '<td class="tested"><a href="../tiles/hedge-bottom-clears.html#r2c1">' in brown
    assert "row.webp" in brown and 'aria-label="tile 114, Hedge Bottom, Lantern Pane' in brown
    assert by_text[""].startswith('<td class="unknown"><span role="img" aria-label="unknown')


def test_an_untested_cell_says_what_to_expect(made) -> None:
    page = made["matrix/cone-6.html"]
    assert '<td class="expected"><span>expect true</span></td>' in page.body_html


def test_headings_have_their_scope_and_columns_say_zinc(made) -> None:
    body = made["matrix/cone-6.html"].body_html
    assert body.count('<th scope="col">') == 3
    assert body.count('<th scope="row">') == 2
    assert "<small>zinc unknown</small>" in body and "<small>no zinc</small>" in body


def test_many_colours_are_split_by_their_word(site, monkeypatch) -> None:
    monkeypatch.setattr(matrix, "MOST_ROWS", 1)
    bare = Site(site.findings, {}, site.cache)
    made = {page.address: page.body_html for page in matrix.pages(bare)}
    assert "matrix/cone-6-green.html" in made and "matrix/cone-6-turquoise.html" in made
    assert 'href="cone-6-green.html">green (1)</a>' in made["matrix/cone-6.html"]
    assert "tile, no photo" in made["matrix/cone-6-green.html"]


def test_an_empty_studio_is_told_what_to_do(bare_site) -> None:
    (page,) = matrix.pages(bare_site)
    assert 'class="empty"' in page.body_html


def test_names_are_never_markup(made) -> None:
    assert not any("<script" in page.body_html for page in made.values())
