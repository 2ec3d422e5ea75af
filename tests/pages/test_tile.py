"""A tile's page: what happened, who differs, how the cone is known, and nothing unescaped."""

from __future__ import annotations

import re

import pytest
from clearover.pages import tile
from clearover.pages.page import Page


@pytest.fixture(scope="module")
def made(site) -> dict[str, Page]:
    return {page.address: page for page in tile.pages(site)}


@pytest.fixture(scope="module")
def grid(made) -> str:
    return made["tiles/hedge-bottom-clears.html"].body_html


@pytest.fixture(scope="module")
def stack(made) -> str:
    return made["tiles/white-under-green.html"].body_html


def test_the_head_says_what_it_is_and_what_happened(made, grid: str) -> None:
    page = made["tiles/hedge-bottom-clears.html"]
    assert page.title == "Tile 114: Hedge Bottom under Lantern Pane and Ferry Glass"
    assert "Lantern Pane: shifted brown" in page.description
    head = grid[: grid.index("</header>")]
    assert "<b>Lantern Pane</b> shifted brown" in head
    assert "<b>Ferry Glass</b> true, faded" in head


def test_people_who_differ_stand_side_by_side(grid: str) -> None:
    cell = grid[grid.index('id="r2c2"') :].split("</td>")[0]
    assert "true</span> <small>R. A., 22 March 2026</small>" in cell
    assert "faded</span> <small>M. B., 2 April 2026</small>" in cell
    agreed = grid[grid.index('id="r1c2"') :].split("</td>")[0]
    assert "R. A." not in agreed


def test_each_cell_has_its_crop_words_and_flag(grid: str) -> None:
    cell = grid[grid.index('id="r1c1"') :].split("</td>")[0]
    assert 'viewBox="0 0 120 96"' in cell
    assert 'aria-label="tile 114, Hedge Bottom, Lantern Pane, 1 coat, shifted brown"' in cell
    head = grid[grid.index("<thead>") : grid.index("</thead>")].split("</th>")
    assert 'href="#why-1">chemistry: toward brown' in head[0]
    assert "chemistry" not in head[1]
    assert 'id="why-1"' in grid


def test_the_cone_says_how_it_is_known(grid: str, stack: str) -> None:
    assert "Cone 6: witness cone on its shelf." in grid
    assert "bottom shelf" in grid
    assert "Cone 05: as the record says, no firing recorded." in stack


def test_drawn_photos_say_so_and_keep_their_size(grid: str) -> None:
    assert "Drawn, not photographed." in grid
    assert 'width="960" height="720"' in grid
    assert "a-480.jpg 480w" in grid
    assert '<svg class="grid" viewBox="0 0 960 720"' in grid


def test_every_link_has_a_page(grid: str) -> None:
    linked = set(re.findall(r'href="\.\./([^"#]+)', grid)) - {"methods.html"}
    assert {
        "underglazes/hedge-bottom.html",
        "clears/lantern-pane.html",
        "clears/ferry-glass.html",
        "bodies/white-stoneware.html",
        "firings/march-glaze-2.html",
    } <= linked
    assert all(
        one.startswith(("assets/photos/", "underglazes/", "clears/", "bodies/", "firings/"))
        for one in linked
    )


def test_a_stack_is_spelled_out_and_set_aside_is_said(stack: str) -> None:
    assert "<b>white first</b>, layers, bottom first" in stack
    assert "Set aside:" in stack
    assert "No photo of this tile yet." in stack
    assert "Nobody has judged this tile yet." in stack


def test_record_text_is_never_markup(stack: str) -> None:
    assert "<script" not in stack
    assert "&lt;script&gt;" in stack
    assert "{{7*7}}" in stack


def test_the_record_s_own_path_is_named(grid: str) -> None:
    assert "combos/tiles/hedge-bottom-clears.yml" in grid


def test_no_tiles_no_pages(bare_site) -> None:
    assert list(tile.pages(bare_site)) == []
