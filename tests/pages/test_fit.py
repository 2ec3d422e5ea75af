"""The part of a page that says whether a clear crazes: order, words, tiles seen, agreement."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from clearover.evidence.crazed import Agreement, Sighting, agreement, sightings
from clearover.glass.crazing import body_expansion, risk
from clearover.glass.results import Estimate, not_computed
from clearover.pages import body, clear, fit
from clearover.pages.lookup import Lookup, lookup
from clearover.pages.page import Site
from clearover.records.models import Body, Firing
from clearover.records.tile import Cell, Judged, Tile, Verdict

HOSTILE = "<script>alert(1)</script>"


def record(model: type, id_: str, **keys: Any) -> Any:
    written = {key.replace("_", " "): value for key, value in keys.items()}
    return model.model_validate({"@id": id_, "@file": f"combos/{id_}.yml", **written})


def tile(id_: str, body_id: str, *judged: tuple[str, str | None], **keys: Any) -> Tile:
    where = {"underglaze": "hedge-bottom", "clear": "lantern-pane", "body": body_id}
    blocks = tuple(
        Judged(None, on and dt.date.fromisoformat(on), surface={(1, 1): Verdict((word,))})
        for word, on in judged
    )
    cells = (Cell(1, 1, where),)
    return record(Tile, id_, firings=["march"], judged=blocks, **{"@cells": cells}, **keys)


@pytest.fixture(scope="module")
def studio(findings: Any) -> Site:
    bodies = {
        "white": record(Body, "white", name="White", expansion="6.2", expansion_from="maker"),
        "hot": record(Body, "hot", name="Hot", expansion="3.5", expansion_from="measured"),
        "blank": record(Body, "blank", name="Blank " + HOSTILE),
        "low": record(Body, "low", name="Low", cones="06..03", expansion="6"),
        "gone": record(Body, "gone", name="Gone", status="retired"),
    }
    bodies["white"] = bodies["white"].model_copy(update={"absorption": 11.0})
    tiles = [
        tile("one", "white", ("clean", "2026-03-15"), ("crazed", "2026-04-11"), mark="1"),
        tile("two", "white", ("clean", "2026-03-20"), mark="2"),
        tile("three", "hot", ("clean", "2026-06-20"), mark="3"),
        tile("four", "hot", ("crazed", None), mark="4", set_aside="overfired"),
    ]
    catalogue = replace(
        findings.catalogue,
        bodies=bodies,
        tiles={**findings.catalogue.tiles, **{one.id: one for one in tiles}},
        firings={
            **findings.catalogue.firings,
            "march": record(Firing, "march", fired="2026-03-12"),
        },
    )
    made = replace(findings, catalogue=catalogue)
    made._expansions.update(
        {
            "lantern-pane": Estimate(6.5, 5.9, 7.1, "model", "source"),
            "ferry-glass": not_computed("a matte clear crystallises"),
            "bucket": not_computed("nobody knows what is in it"),
        }
    )
    return Site(made, {}, Path("cache"))


@pytest.fixture
def known(studio: Site) -> Lookup:
    return lookup(studio)


def part(known: Lookup) -> dict[str, Any]:
    return fit.on_bodies(known, known.catalogue.clears["lantern-pane"])


def test_what_was_seen_comes_first_then_what_is_likely(known: Lookup) -> None:
    told = part(known)["told"]
    assert [row["to"].text for row in told] == ["White", "Hot"]
    assert told[0]["seen"]["faults"][0]["saw"] == "crazed"
    assert told[0]["seen"]["faults"][0]["when"] == "11 April 2026, 30 days after the firing"
    assert told[1]["word"] == "crazing likely"


def test_bodies_of_other_cones_and_retired_ones_are_left_out(known: Lookup) -> None:
    made = part(known)
    named = [row["to"].text for row in made["told"] + made["open"]]
    named += [link.text for _, links in made["blank"] for link in links]
    assert "Low" not in named and "Gone" not in named


def test_a_body_without_a_figure_is_named_with_the_reason(known: Lookup) -> None:
    ((reason, links),) = part(known)["blank"]
    assert "how much this body expands" in reason and links[0].text.startswith("Blank")


def test_a_verdict_soon_after_the_firing_is_said_to_be_early(known: Lookup) -> None:
    seen = part(known)["told"][0]["seen"]
    assert seen["sound"] == "1 tile"
    assert seen["sound_when"] == "last looked at 8 days after the firing, too soon to tell"


def test_a_clear_that_is_not_computed_says_why_once(known: Lookup) -> None:
    made = fit.on_bodies(known, known.catalogue.clears["ferry-glass"])
    assert made["expansion"]["reason"] == "not computed: a matte clear crystallises"
    page = [one for one in clear.pages(known.site) if one.address == "clears/ferry-glass.html"]
    assert page[0].body_html.count("a matte clear crystallises") == 1


def test_pages_show_it_escaped_and_with_its_edge(known: Lookup) -> None:
    (page,) = [o for o in clear.pages(known.site) if o.address == "clears/lantern-pane.html"]
    html = page.body_html
    assert HOSTILE not in html and "Blank &lt;script&gt;" in html
    section = html[html.index('id="fit"') : html.index("its-tiles")]
    assert '<li class="tested"><b><a href="../bodies/white.html">White</a></b>' in section
    assert "Crazed on" in section and "may swell with moisture" in section
    assert "Not crazed on 1 tile" in section
    pages = {one.address: one.body_html for one in body.pages(known.site)}
    assert "Lantern Pane" in pages["bodies/white.html"]
    assert "It expands by" not in pages["bodies/white.html"]


def test_a_studio_without_records_still_has_its_pages(bare_site: Site) -> None:
    assert list(body.pages(bare_site)) == []


# Sightings


def test_crazing_stays_even_if_somebody_saw_it_clean_before(known: Lookup) -> None:
    found = sightings(known.catalogue)["lantern-pane", "white"]
    assert found[0] == Sighting("one", ("crazed",), dt.date(2026, 4, 11), 30)
    assert found[1] == Sighting("two", ("not crazed",), dt.date(2026, 3, 20), 8)


def test_tiles_set_aside_do_not_count(known: Lookup) -> None:
    assert [one.tile for one in sightings(known.catalogue)["lantern-pane", "hot"]] == ["three"]


@pytest.mark.parametrize(
    ("saw", "days", "wanted"),
    [
        (("crazed",), 3, Agreement(agree=1)),
        (("not crazed",), 3, Agreement(early=1)),
        (("not crazed",), None, Agreement(early=1)),
        (("not crazed",), 60, Agreement(disagree=1)),
    ],
)
def test_agreement_with_crazing_likely(
    known: Lookup, saw: tuple[str, ...], days: int | None, wanted: Agreement
) -> None:
    found = risk(Estimate(9, 8.4, 9.6, "", ""), body_expansion(known.catalogue.bodies["white"]))
    assert found.crazing == "likely"
    assert agreement(found, [Sighting("t", saw, None, days)]) == wanted


def test_agreement_with_shivering_unlikely(known: Lookup) -> None:
    found = risk(Estimate(9, 8.4, 9.6, "", ""), body_expansion(known.catalogue.bodies["white"]))
    seen = [Sighting("t", ("shivered",), None, 5), Sighting("u", ("not crazed",), None, 90)]
    assert agreement(found, seen, "shivered") == Agreement(agree=1, disagree=1)


def test_cannot_tell_neither_agrees_nor_disagrees(known: Lookup) -> None:
    found = risk(Estimate(6.2, 5.6, 6.8, "", ""), body_expansion(known.catalogue.bodies["white"]))
    assert found.crazing == "cannot tell"
    assert agreement(found, [Sighting("t", ("crazed",), None, 90)]) == Agreement()


def test_the_studio_s_agreement_is_counted(known: Lookup) -> None:
    # On Hot crazing is likely and tile three was sound after 100 days.
    assert fit.agreed(known) == Agreement(disagree=1)


@pytest.mark.parametrize(
    ("share", "says"), [(None, "–"), (0.004, "under 1 %"), (0.354, "35 %"), (0.999, "over 99 %")]
)
def test_chances_in_words(share: float | None, says: str) -> None:
    assert fit.chance(share) == says


def test_of_most_pairs_of_the_demo_nobody_can_tell() -> None:
    """Both expansions are too doubtful for the margin: a page that said more would be guessing."""
    from clearover.catalogue import compute, read
    from clearover.glass.crazing import risks_for

    found = compute(read(Path(__file__).parents[2] / "combos"))
    said = [
        one.word
        for made in found.catalogue.clears.values()
        for _, one in risks_for(made, found.expansion(made.id), found.catalogue.bodies.values())
        if one.reason is None
    ]
    assert len(said) >= 10
    assert said.count("cannot tell") >= 0.8 * len(said)
