"""What a photo says, on the pages: beside the verdicts, named where it differs, never by colour."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import pytest
from clearover.colour.srgb import hex_of
from clearover.measuring.against import Against
from clearover.measuring.disagree import disagreements, rules
from clearover.measuring.remedies import help_for
from clearover.measuring.results import (
    Balance,
    CellColour,
    Cover,
    LineMeasure,
    Surface,
    TileMeasurement,
)
from clearover.pages import clear, matrix, measured, tile, underglaze
from clearover.pages.measured_words import drag_of
from clearover.pages.page import Site
from clearover.photos.results import Image
from clearover.records.words import PROPERTIES
from clearover.tables import rows

TILE = "hedge-bottom-clears"
GREEN, BROWN = (45.0, -25.0, 22.0), (40.0, 12.0, 24.0)


def line(row: int, column: int, kind: str | None, drag: float | None) -> LineMeasure:
    low, high = (drag - 0.2, drag + 0.2) if drag is not None else (None, None)
    return LineMeasure(
        row, column, 2.0, 0.4, 0.05, 0.8, 0.3, 0.5, drag, low, high, 0.15, kind, "measured"
    )


def measurement(**keys: object) -> TileMeasurement:
    """Two rows of three: brown where it was judged shifted brown, one glared, the last bare."""
    cells = tuple(
        CellColour(row, column, lab, 0.5, 900, 0.0, "measured" if lab else status)
        for (row, column), lab, status in (
            ((1, 1), BROWN, ""),
            ((1, 2), GREEN, ""),
            ((1, 3), GREEN, ""),
            ((2, 1), BROWN, ""),
            ((2, 2), None, "not measured: glare covers it"),
            ((2, 3), GREEN, ""),
        )
    )
    balance = Balance("grey card", 0.18, True, evened_by=("the backdrop",), light_ratio=1.2)
    made = TileMeasurement(TILE, "front.jpg", 9.5, balance, 0.7, cells)
    return dataclasses.replace(made, **keys)


@pytest.fixture(scope="module")
def measured_site(site: Site) -> Site:
    """The small studio, its first tile measured; without the base class's own differences."""
    image = Image("a-balanced.webp", Path("cache") / "a-balanced.webp", 600, 320)
    photos = dict(site.photos)
    photos[TILE] = dataclasses.replace(photos[TILE], balanced=image, measured=measurement())
    found = dataclasses.replace(site.findings, measured={TILE: measurement()})
    return dataclasses.replace(site, findings=found, photos=photos)


@pytest.fixture(scope="module")
def page(measured_site: Site):
    return next(one for one in tile.pages(measured_site) if TILE in one.address)


def test_each_cell_shows_its_measured_colour_in_colour_and_words(page) -> None:
    cell = page.body_html[page.body_html.index('id="r1c1"') :].split("</td>")[0]
    assert f'fill="{hex_of(BROWN)}"' in cell
    assert "measured brown" in cell and "shifted brown" in cell


def test_what_was_not_measured_says_why_and_what_would_help(page) -> None:
    cell = page.body_html[page.body_html.index('id="r2c2"') :].split("</td>")[0]
    assert "not measured: glare covers it" in cell and "fill=" not in cell
    whys = page.body_html[page.body_html.index('class="whys"') :].split("</details>")[0]
    assert "row 2, column 2" in whys and "open shade" in whys


def test_balance_and_noise_are_told(page) -> None:
    assert "Balanced by the grey card of 18 % reflectance, assumed" in page.body_html
    assert "Colours nearer than ΔE 0.7" in page.body_html


def told_of(site: Site, made: TileMeasurement) -> str:
    """The tile's page with another measurement of its photo."""
    photos = dict(site.photos)
    photos[TILE] = dataclasses.replace(photos[TILE], measured=made)
    found = dataclasses.replace(site.findings, measured={TILE: made})
    other = dataclasses.replace(site, findings=found, photos=photos)
    return next(one for one in tile.pages(other) if TILE in one.address).body_html


def test_a_card_in_another_light_is_doubted_on_the_page(measured_site: Site, page) -> None:
    doubt = "the card lies in another light than the tile: as made up"
    balance = dataclasses.replace(measurement().balance, doubt=doubt)
    said = told_of(measured_site, measurement(balance=balance))
    assert "The card lies in another light than the tile: as made up. Take the photo again" in said
    assert "in another light" not in page.body_html
    cells = [page.body_html, said]
    plain, doubted = (one[one.index('id="r1c1"') :].split("</td>")[0] for one in cells)
    assert "measured brown" in plain and f'fill="{hex_of(BROWN)}"' in plain
    assert "measured brown" not in doubted and hex_of(BROWN) not in doubted


def test_a_contrast_ratio_has_its_range(measured_site: Site) -> None:
    ends = {"ratio_low": 0.934, "ratio_high": 1.012, "hides": "cannot tell yet"}
    cover = (Cover(1, 2, 0.972, 0.02, "measured", **ends),)
    said = told_of(measured_site, measurement(cover=cover))
    assert "hides 97 % of its ground" in said and "93 to 100 %: cannot tell yet" in said
    assert "0.97 (0.93 to 1.01)" in said
    whys = said[said.index('class="whys"') :].split("</details>")[0]
    assert "Whether it hides its ground: cannot tell yet" in whys and "free of glare" in whys


def test_the_two_views_lie_on_each_other_and_need_no_script(page) -> None:
    figure = page.body_html[page.body_html.index('class="compare"') :].split("</figure>")[0]
    pictures = re.findall(r"<img[^>]+>", figure)
    assert len(pictures) == 2
    assert all('width="600" height="320" loading="lazy"' in one for one in pictures)
    assert 'type="checkbox"' in figure and 'by-slide" hidden><input type="range"' in figure
    assert page.scripts == (measured.COMPARE, measured.ZOOM)


def test_nothing_is_styled_or_scripted_in_place(page) -> None:
    assert not re.search(r"<style|<script|\sstyle=|\son[a-z]+=", page.body_html)


def test_without_a_measurement_the_page_is_as_it_was(site: Site) -> None:
    page = next(one for one in tile.pages(site) if TILE in one.address)
    assert 'id="measured"' not in page.body_html and page.scripts == (measured.ZOOM,)
    assert 'class="band"' not in page.body_html


def test_other_pages_carry_the_band_too(measured_site: Site) -> None:
    pages = [*underglaze.pages(measured_site), *clear.pages(measured_site)]
    assert sum(one.body_html.count('class="band"') for one in pages) > 2


def test_true_and_far_off_is_a_contradiction() -> None:
    off = {(1, 1): Against(9.0, "different colour", ("browner",), of=(TILE, 2, 3))}
    told = disagreements({(1, 1): {"colour": ("true",)}}, measurement(), off)
    assert [one.text for one in told[1, 1]] == ["judged true, measured browner: ΔE 9"]


def test_across_photos_more_is_needed_and_about_is_said() -> None:
    near = {(1, 1): Against(7.0, "different colour", ("paler",), same_photo=False)}
    far = {(1, 1): Against(12.0, "different colour", ("paler",), same_photo=False)}
    verdicts = {(1, 1): {"colour": ("true",)}}
    assert disagreements(verdicts, measurement(), near) == {}
    (one,) = disagreements(verdicts, measurement(), far)[1, 1]
    assert one.text == "judged true, measured paler: ΔE about 12"


@pytest.mark.parametrize(
    ("verdict", "changes", "differs"),
    [
        ("shifted paler", ("darker",), True),
        ("shifted paler", ("paler",), False),
        ("shifted brown", ("browner",), False),
        ("faded", ("more saturated",), True),
    ],
)
def test_the_opposite_direction_is_a_contradiction(verdict, changes, differs) -> None:
    off = {(1, 1): Against(6.0, "different colour", changes)}
    told = disagreements({(1, 1): {"colour": (verdict,)}}, measurement(), off)
    assert bool(told) is differs


@pytest.mark.parametrize(
    ("verdict", "kind", "drag", "differs"),
    [
        ("crisp", "dragged", 2.0, True),
        ("crisp", "crisp", 0.0, False),
        ("dragged", "dragged", 2.0, False),
        ("dragged", "softened or bled", 0.05, True),
        ("dragged", "smudged", None, False),
        ("bled", "softened or bled", 0.0, False),
        ("smudged", "crisp", 0.0, True),
    ],
)
def test_lines_judged_and_measured(verdict, kind, drag, differs) -> None:
    seen = measurement(lines=(line(1, 1, kind, drag),))
    assert bool(disagreements({(1, 1): {"line": (verdict,)}}, seen, {})) is differs


def covered(column: int, ratio: float) -> Cover:
    ends = {"ratio_low": ratio / 1.07, "ratio_high": ratio * 1.07, "hides": "not wholly"}
    return Cover(1, column, ratio, 0.02, "measured", **ends)


def test_cover_and_surface_judged_and_measured() -> None:
    seen = measurement(
        cover=(covered(1, 0.55), covered(2, 0.87)),
        surface=(Surface(1, 1, 0.01, 0.0, 0.0, None, "measured"),),
    )
    verdicts = {
        (1, 1): {"cover": ("opaque",), "surface": ("hazy and pinholed",)},
        (1, 2): {"cover": ("opaque",)},
    }
    told = disagreements(verdicts, seen, {})
    assert {one.prop for one in told[1, 1]} == {"cover", "surface"} and (1, 2) not in told
    assert told[1, 1][0].text == "judged opaque, measured at most 59% hidden"


def test_a_value_nobody_measured_contradicts_nothing() -> None:
    verdicts = {(2, 2): dict.fromkeys(PROPERTIES, ("true",))}
    assert disagreements(verdicts, measurement(), {(2, 2): Against(None)}) == {}


def test_every_rule_names_a_verdict_of_the_records() -> None:
    from clearover.records import words

    lists = {name: getattr(words, f"{name.upper()}_VERDICTS") for name in PROPERTIES}
    for rule in rules():
        first, _, toward = rule.judged.partition(" ")
        assert first in lists[rule.prop]
        assert not toward or toward in words.SHIFTS


def test_help_is_known_for_what_photos_lack() -> None:
    assert "open shade" in help_for("not measured: glare covers it")
    assert "grey card" in help_for("there is no grey card or chart in the photo to tell")
    assert help_for("something nobody thought of") == ""
    assert all(row["help"].endswith(".") for row in rows("not-measured-help.csv"))


def test_small_drags_are_told_as_a_limit() -> None:
    assert drag_of(line(1, 1, "crisp", 0.01)) == "less than 0.1 mm"
    assert drag_of(line(1, 1, "dragged", 3.4)) == "3.4 mm (3.2 to 3.6)"
    assert drag_of(line(1, 1, "smudged", None)) == ""


def test_the_matrix_carries_the_band(measured_site: Site, monkeypatch) -> None:
    from clearover.pages import matrix_cells
    from clearover.photos.results import Sprite

    image = Image("strip.webp", Path("cache") / "strip.webp", 160, 120)
    monkeypatch.setattr(matrix_cells, "strip", lambda *_: Sprite(image, 1, 9, 160, 120))
    pages = [one.body_html for one in matrix.pages(measured_site)]
    assert any('class="band"' in one for one in pages)
