"""The explanation on a colour's page: what reacts with what, how much, who says so, own tiles."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from clearover.catalogue import compute, read
from clearover.chemistry.results import Flag
from clearover.pages import amounts_held, reactions, tile, underglaze
from clearover.pages.page import Site

COMBOS = Path(__file__).parents[2] / "combos"
MOST = 9_000
"""Bytes of the section in the demo's fullest page; a page without it has about as many less."""


@pytest.fixture(scope="module")
def demo() -> Site:
    return Site(compute(read(COMBOS)), {}, Path("cache"))


@pytest.fixture(scope="module")
def pages(demo: Site) -> dict[str, str]:
    return {page.address: page.body_html for page in underglaze.pages(demo)}


def section(body: str) -> str:
    found = re.search(r'<section class="reactions.*?</section>', body, re.S)
    assert found
    return found.group(0)


def text(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def fold(body: str, opening: str) -> str:
    """The fold whose line begins so."""
    folds = section(body).split("<details")[1:]
    (found,) = (one for one in folds if f"<summary><span><b>{opening}</b>" in one)
    return found


def test_a_fold_tells_what_how_much_why_and_what_would_change_it(pages: dict[str, str]) -> None:
    told = fold(pages["underglazes/hedge-bottom.html"], "chromium oxide: toward brown or grey")
    said = text(told)
    assert "under Harbour Lamp and Lantern Pane cone 6" in said
    assert "Zinc by weight: Harbour Lamp 5.5 % (0.22 of the flux), Lantern Pane 7.6 %" in said
    assert "by zinc; colour, strong" in said
    assert "Chromium and the zinc of the clear grow a brown spinel together" in said
    assert "from memory" in said and "But: A 2002 posting" in said
    assert "What would change it: A clear with no zinc in any material, frits included" in said
    assert 'href="../methods.html#chromium-green-zinc"' in told


def test_own_tiles_speak_for_or_against_with_links_to_their_cells(pages: dict[str, str]) -> None:
    told = fold(pages["underglazes/hedge-bottom.html"], "chromium oxide: toward brown or grey")
    assert "<i>Speak for it:</i> did not stay true in" in told
    links = re.findall(r'href="\.\./tiles/([a-z0-9-]+)\.html#r\d+c\d+"', told)
    assert 1 <= len(links) <= reactions.MOST_TILES
    steady = fold(pages["underglazes/hedge-bottom.html"], "chromium oxide: stays green")
    assert "<i>Speak for it:</i> stayed true in" in steady


def test_the_counts_are_those_of_the_cells(demo: Site, pages: dict[str, str]) -> None:
    """Counted again, straight from what was seen."""
    cells = [
        seen
        for seen in demo.findings.seen
        if seen.underglaze == "hedge-bottom"
        and seen.clear in ("harbour-lamp", "lantern-pane")
        and seen.cone is not None
        and (seen.cone.shown, seen.atmosphere) == ("6", "oxidation")
        and seen.alone
        and seen.counts
        and seen.opinions.get("true_colour") is False
    ]
    tiles = {seen.tile for seen in cells}
    told = fold(pages["underglazes/hedge-bottom.html"], "chromium oxide: toward brown or grey")
    assert f"did not stay true in {len(cells)} cells, {len(tiles)} tiles" in told


def test_a_reason_is_told_once_and_later_folds_lead_back(pages: dict[str, str]) -> None:
    for body in pages.values():
        if "reactions" not in body:
            continue
        ids = re.findall(r' id="(said-\d+)"', body)
        assert len(ids) == len(set(ids))
        assert set(re.findall(r'href="#(said-\d+)"', body)) <= set(ids)
        sources = set(re.findall(r' id="(source-\d+)"', body))
        assert set(re.findall(r'href="#(source-\d+)"', body)) == sources


def test_every_colour_has_its_explanation_and_stays_small(pages: dict[str, str]) -> None:
    sizes = {address: len(section(body).encode()) for address, body in pages.items()}
    assert len(sizes) >= 20
    # The fullest is a blend of two pigments with two sorts of rules each.
    assert sorted(sizes.values())[-3] < MOST and max(sizes.values()) < 1.4 * MOST


def test_what_nobody_knows_is_said(pages: dict[str, str]) -> None:
    told = text(fold(pages["underglazes/hedge-bottom.html"], "chromium oxide: unknown: test it"))
    assert "Nobody knows whether this clear holds zinc" in told
    assert "Its recipe, an analysis or the maker can tell" in told
    assert "Speak" not in told


def test_names_and_flags_from_records_are_text(site: Site) -> None:
    body = "".join(page.body_html for page in underglaze.pages(site))
    assert "<script" not in body and "toward brown" in body


def flag(direction: str, effect: str = "e") -> Flag:
    return Flag("r", "p", None, effect, direction, "colour", "some", "b.", "s", "memory")


def test_what_cells_speak_for() -> None:
    assert reactions.speaks((flag("harm"),), True) == "against it"
    assert reactions.speaks((flag("harm"),), False) == "for it"
    assert reactions.speaks((flag("none"),), True) == "for it"
    assert reactions.speaks((flag("unknown"),), True) == ""
    mixed = (flag("harm", "faded"), flag("help", "steadier"))
    assert reactions.speaks(mixed, False) == "against “steadier”, for “faded”"


def test_amounts_of_many_clears_are_a_range(demo: Site) -> None:
    from clearover.pages.lookup import lookup

    zinc = flag("harm")
    rule = Flag(**{**{f: getattr(zinc, f) for f in zinc.__slots__}, "rule": "chromium-green-zinc"})
    chemistry = dict(demo.findings.chemistry)
    (line,) = amounts_held.held([rule], chemistry, lookup(demo))
    assert line["name"] == "Zinc"
    assert re.match(r"none to \d+\.\d % \(0\.\d\d of the flux\) in \d+ clears", line["amounts"])
    assert "Neighbour's Bucket: nobody knows" in line["amounts"]
    assert amounts_held.decided_by("colour-too-hot") == ()


def test_a_tile_names_the_neighbours_its_flags_speak_of(demo: Site) -> None:
    said = {page.address: page.body_html for page in tile.pages(demo)}
    beside = said["tiles/greens-beside-tin-white.html"]
    assert "Beside it: tin white" in beside
    assert "What would change it: A load without tin." not in beside  # it changes nothing here
    assert "What would change it: A clear with no zinc in any material" in beside
