"""A clear's page: what stays true under it, what is in it, and the sentence about food."""

from __future__ import annotations

from dataclasses import replace

import pytest
from clearover.chemistry.results import Flag
from clearover.pages import clear
from clearover.pages.answers import told_flags
from clearover.records.models import Clear

TOLD = "Its recipe or the maker can tell."
GREEN = Flag(
    rule="chromium-green-zinc",
    pigment="chromium oxide",
    underglaze=None,
    effect="unknown: test it",
    direction="unknown",
    property="colour",
    strength="strong",
    because="Nobody knows whether this clear holds zinc.",
    source="common practice",
    evidence="common practice",
    would_change=TOLD,
)


@pytest.fixture(scope="module")
def made(site) -> dict[str, str]:
    return {page.address: page.body_html for page in clear.pages(site)}


def test_the_reverse_question(made) -> None:
    zinc, free = made["clears/lantern-pane.html"], made["clears/ferry-glass.html"]
    assert "Do not stay true" in zinc and "Hedge Bottom" in zinc
    assert zinc.index("What stays true at cone 6") < zinc.index("What is in it")
    assert "True on some tiles, not on others" not in zinc
    assert "True on some tiles, not on others" in free  # one judge saw it fade


def test_a_clear_is_not_asked_about_cones_it_is_not_meant_for(made) -> None:
    assert 'id="cone-05"' not in made["clears/lantern-pane.html"]
    assert 'id="cone-05"' in made["clears/ferry-glass.html"]


def test_classes_are_three_valued_and_say_how_they_are_known(made) -> None:
    zinc, free, nobody = (
        made[f"clears/{name}.html"] for name in ("lantern-pane", "ferry-glass", "bucket")
    )
    assert "<dd>zinc-bearing <small>from the recipe, 6.0 % by weight</small></dd>" in zinc
    assert "<dd>zinc-free <small>declared" in free
    assert nobody.count("unknown: test it") >= 3
    assert "Not computed: no recipe and no analysis is written down" in nobody


def test_recipe_and_formula(made) -> None:
    zinc = made["clears/lantern-pane.html"]
    assert '<th scope="row">zinc oxide</th><td>8</td><td>13.8</td>' in zinc
    assert '<th scope="row">ZnO</th><td>0.17</td><td>5.0</td><td>6.0</td>' in zinc
    assert zinc.index(">CaO<") < zinc.index(">Al2O3<") < zinc.index(">SiO2<")
    assert "10 February 2026" in zinc


def test_the_food_sentence_is_on_every_clear(made) -> None:
    from markupsafe import escape

    sentence = str(escape(clear.food_sentence()))
    assert len(sentence) > 40
    assert all(sentence in body for body in made.values())


def test_the_chemistry_goes_by_pigment(made) -> None:
    assert "<b>chromium oxide: toward brown</b>" in made["clears/lantern-pane.html"]
    assert "In use here: Hedge Bottom." in made["clears/lantern-pane.html"]


def test_each_flag_says_what_would_change_it(made) -> None:
    turn = "What would change it: A clear with less zinc (under 1 weight %)."
    assert made["clears/lantern-pane.html"].count(turn) == 1
    assert turn not in made["clears/ferry-glass.html"]


def test_what_would_settle_several_unknowns_is_said_once(site, monkeypatch) -> None:
    """Under a bucket whose label says nothing a dozen pigments wait for the same answer."""
    rows = [("Hedge", GREEN), ("Brick", replace(GREEN, pigment="iron zircon", because="Iron."))]
    for several in (False, True):
        flags = told_flags(rows if several else rows[:1])
        monkeypatch.setattr(clear, "_flags", lambda known, record, flags=flags: flags)
        body = next(page.body_html for page in clear.pages(site) if "bucket" in page.address)
        assert body.count(TOLD) == 1
        whose = " for chromium oxide and iron zircon" if several else ""
        assert f"What would change it{whose}: {TOLD}" in body


def test_names_are_never_markup(made) -> None:
    assert "<script" not in "".join(made.values())


def test_additions_stand_apart_over_the_hundred() -> None:
    keys = {"@id": "a", "@file": "a.yml", "name": "A", "recipe": {"quartz": "150", "whiting": "50"}}
    by_weight = Clear.model_validate({**keys, "additions": {"tin oxide": "10"}})
    assert clear._recipe(by_weight)[-1] == ("+ tin oxide", "10", "+5.0")
    moles = Clear.model_validate({**keys, "recipe in": "moles", "additions": {"tin oxide": "10"}})
    assert clear._recipe(moles)[-1] == ("+ tin oxide", "10", "+10.0")
