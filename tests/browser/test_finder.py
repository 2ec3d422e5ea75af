"""The finder as a member uses it: two touches, a typed name, a symptom, the back button."""

from __future__ import annotations

import random
import re
from pathlib import Path
from typing import Any

import pytest
from clearover import catalogue
from clearover.evidence.findings import Findings
from clearover.evidence.results import Question
from clearover.evidence.wishes import wishes
from clearover.finder.answers import asked_airs, asked_cones
from clearover.finder.symptoms import symptoms

COMBOS = Path(__file__).parents[2] / "combos"
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
GREEN = "#over=hedge-bottom&cone=6&wish=true_colour"
COUNT = re.compile(r"\((\d+)\)$")


@pytest.fixture(scope="session")
def findings() -> Findings:
    return catalogue.compute(catalogue.read(COMBOS))


@pytest.fixture(params=["file", "http"])
def opened(request: pytest.FixtureRequest) -> Any:
    """Opens pages, once from a disk and once over HTTP."""
    return request.getfixturevalue(f"page_{request.param}")


def cards(page: Any) -> list[tuple[str, str]]:
    return [
        tuple(card)
        for card in page.eval_on_selector_all(
            ".find-card", "all => all.map(one => [one.dataset.id, one.dataset.standing])"
        )
    ]


def go(page: Any, address: str) -> None:
    """To another state of the page that is open."""
    page.evaluate(
        """to => to === location.hash || new Promise(done => {
             addEventListener("hashchange", () => setTimeout(done), { once: true });
             location.hash = to;
           })""",
        address,
    )


def focused(page: Any) -> str:
    return str(page.evaluate("document.activeElement.dataset.key || document.activeElement.role"))


def test_two_touches_answer_the_first_question(opened: Any, findings: Findings) -> None:
    page = opened("index.html", **PHONE)
    page.tap("[data-key=add]")
    page.tap(".option:has-text('Hedge Bottom')")
    usual = findings.catalogue.studio.usual_cone
    assert usual is not None
    expected = findings.answer(Question(("hedge-bottom",), usual))
    assert cards(page) == [(answer.clear, answer.standing) for answer in expected]
    assert expected[0].standing == "tested"
    crop = page.locator(".find-card .crop").first
    box = crop.bounding_box()
    assert box["y"] >= 0, "the page jumped"
    assert box["y"] + box["height"] <= 740, "the first crop is below the fold"
    assert crop.locator("image").get_attribute("href")
    assert f"over=hedge-bottom&cone={usual.label}&wish=true_colour" in page.url


def test_a_drawn_picture_says_so(page_file: Any) -> None:
    page = page_file(f"index.html{GREEN}")
    shown = page.locator(".find-card", has=page.locator("image"))
    assert shown.count() > 2
    for n in range(shown.count()):
        assert "drawn" in shown.nth(n).locator(".cut-all > .cut-words").inner_text()
    assert "made by a program" in page.locator(".drawn").inner_text()


def test_the_first_screen_already_offers_the_colours(page_file: Any) -> None:
    page = page_file("index.html", **PHONE)
    page.tap(".option:has-text('Hedge Bottom')")
    assert len(cards(page)) > 3


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("hed", "Hedge Bottom"),
        ("HEDGE bot", "Hedge Bottom"),
        ("bottom", "Hedge Bottom"),
        ("hegde botom", "Hedge Bottom"),
        ("rosehp", "Rosehip Jam"),
        ("ferry", "Ferry Glass"),
        ("food", "Safety: dust, fumes, kilns, food"),
    ],
)
def test_a_name_is_found_by_its_start_and_with_a_slip(
    page_file: Any, typed: str, found: str
) -> None:
    page = page_file("index.html")
    page.fill("[role=combobox]", typed)
    assert page.locator("[role=option]").first.locator(".option-name").inner_text() == found


def test_a_maker_and_a_mark_are_found(page_file: Any, findings: Findings) -> None:
    page = page_file("index.html")
    maker = next(one.maker for one in findings.catalogue.underglazes.values() if one.maker)
    page.fill("[role=combobox]", maker)
    made = [one.name for one in findings.catalogue.underglazes.values() if one.maker == maker]
    names = page.locator(".option.colour .option-name").all_inner_texts()
    assert set(made) <= set(names)
    tile = next(one for one in findings.catalogue.tiles.values() if one.mark)
    page.fill("[role=combobox]", f"tile {tile.mark}")
    assert page.locator("[role=option]").first.inner_text().split() == ["tile", "tile", tile.mark]
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/tiles/{tile.id}.html")


def test_what_is_not_there_is_said(page_file: Any) -> None:
    page = page_file("index.html")
    page.fill("[role=combobox]", "zzyzx qqq")
    assert page.locator("[role=option]").count() == 0
    assert "zzyzx" in page.locator(".nothing").inner_text()


def test_several_colours_take_the_worst_and_say_whose(opened: Any, findings: Findings) -> None:
    page = opened(f"index.html{GREEN}")
    page.click("[data-key=add]")
    page.click(".option:has-text('Brick Dust')")
    assert "over=hedge-bottom,brick-dust" in page.url
    cone = findings.catalogue.studio.usual_cone
    assert cone is not None
    expected = findings.answer(Question(("hedge-bottom", "brick-dust"), cone))
    assert cards(page) == [(answer.clear, answer.standing) for answer in expected]
    for n, answer in enumerate(expected):
        name = findings.catalogue.underglazes[str(answer.worst_underglaze)].name
        assert page.locator(".find-card .stands").nth(n).inner_text().startswith(name)
    page.click("[data-key=colour-1]")
    page.click("text=take Brick Dust out")
    assert "brick-dust" not in page.url


def test_wishes_are_pressed_together(page_file: Any, findings: Findings) -> None:
    page = page_file(f"index.html{GREEN}")
    page.click("[data-key=wish-clean_surface]")
    assert page.locator("[aria-pressed=true]").count() == 2
    cone = findings.catalogue.studio.usual_cone
    assert cone is not None
    question = Question(("hedge-bottom",), cone, ("true_colour", "clean_surface"))
    assert cards(page) == [(one.clear, one.standing) for one in findings.answer(question)]
    assert focused(page) == "wish-clean_surface"  # a redraw leaves the focus where it was


def test_fifty_questions_and_more_agree_with_the_command(
    page_file: Any, findings: Findings
) -> None:
    page = page_file("index.html")
    chance = random.Random(50)
    colours = sorted(findings.catalogue.underglazes)
    for _ in range(80):
        question = Question(
            underglazes=tuple(chance.sample(colours, chance.choice((1, 1, 2, 3)))),
            cone=chance.choice(asked_cones(findings)),
            wishes=tuple(w for w in wishes() if chance.random() < 0.5) or ("true_colour",),
            atmosphere=chance.choice(asked_airs(findings)),
            include_all=chance.random() < 0.3,
        )
        go(page, address_of(question, findings))
        expected = [(one.clear, one.standing) for one in findings.answer(question)]
        assert cards(page) == expected, question


def address_of(question: Question, findings: Findings) -> str:
    parts = [f"over={','.join(question.underglazes)}", f"cone={question.cone.label}"]
    parts.append(f"wish={','.join(question.wishes)}")
    if question.atmosphere != findings.catalogue.studio.atmosphere:
        parts.append(f"in={question.atmosphere}")
    return "#" + "&".join([*parts, *(["all"] if question.include_all else [])])


def test_the_other_way_round_agrees_too(page_file: Any, findings: Findings) -> None:
    page = page_file("index.html#under=ferry-glass&cone=6")
    cone = next(one for one in asked_cones(findings) if one.label == "6")
    shown = dict(cards(page))
    for colour, standing in shown.items():
        question = Question((colour,), cone, include_all=True)
        answers = {one.clear: one.standing for one in findings.answer(question)}
        assert answers["ferry-glass"] == standing, colour
    in_use = [one for one in findings.catalogue.underglazes.values() if one.status == "in use"]
    assert len(shown) == len(in_use)


def test_facets_count_what_they_leave(page_file: Any) -> None:
    page = page_file("index.html#tests")
    for facet in ("colour", "zinc", "verdict"):
        options = page.locator(f"[data-key={facet}] option").all_inner_texts()
        label = max(options[1:], key=lambda text: int(COUNT.search(text)[1]))  # type: ignore[index]
        expected = COUNT.search(label)
        assert expected is not None
        page.select_option(f"[data-key={facet}]", label=label)
        status = page.locator("[role=status]").inner_text()
        assert status.startswith(f"{expected[1]} pairing"), (facet, label, status)
    shown = page.locator(".find-card").count()
    assert shown == min(60, int(expected[1]))


def test_more_than_a_page_is_shown_on_request(page_file: Any) -> None:
    page = page_file("index.html#tests")
    total = int(page.locator("[role=status]").inner_text().split()[0])
    assert total > 60, "the demo is too small for this test"
    assert page.locator(".find-card").count() == 60
    page.click(".more")
    assert page.locator(".find-card").count() == min(120, total)


def test_a_symptom_leads_to_its_pairings(opened: Any) -> None:
    page = opened("index.html")
    page.click("text=More ways to ask")
    page.click("text=What went wrong?")
    button = page.locator("[data-key=symptom-went-brown]")
    number = COUNT.search(button.inner_text())
    button.click()
    brown = next(one for one in symptoms() if one.id == "went-brown")
    assert brown.behind in page.locator(".behind").inner_text()
    said = page.locator(".find-card .reason").all_inner_texts()
    assert number is not None
    assert len(said) == int(number[1]) > 0
    assert all(re.search("shifted (brown|orange|red)", text) for text in said)


def test_nothing_found_says_what_to_let_go(page_file: Any) -> None:
    page = page_file("index.html#tests&colour=green&verdict=colour:shifted+brown&zinc=free")
    assert page.locator(".find-card").count() == 0
    offer = page.locator(".nothing button", has_text="without “zinc-free”")
    number = int(offer.inner_text().split(": ")[1].split()[0])
    offer.click()
    assert page.locator(".find-card").count() == number > 0


def test_the_address_holds_everything_and_back_works(opened: Any) -> None:
    page = opened(f"index.html{GREEN}")
    seen = [(page.url, cards(page))]
    page.select_option("[data-key=cone]", "05")
    seen.append((page.url, cards(page)))
    page.click("[data-key=wish-crisp_line]")
    seen.append((page.url, cards(page)))
    assert len({url for url, _ in seen}) == 3
    for url, shown in reversed(seen[:-1]):
        page.go_back()
        page.wait_for_url(url)
        assert cards(page) == shown
    opened.afresh()
    for url, shown in seen:  # a bookmark, opened afresh
        assert cards(opened(url.removeprefix(opened.base))) == shown


@pytest.mark.parametrize(
    "address",
    [
        "#over=no-such-colour&cone=99&wish=luck",
        "#over=%E0%A4%A&cone=",
        "#under=nobody",
        "#tests&colour=beige&symptom=ennui",
        "#<img src=x onerror=alert(1)>",
        "#over=" + "hedge-bottom," * 500,
    ],
)
def test_an_address_that_means_nothing_breaks_nothing(page_file: Any, address: str) -> None:
    page = page_file(f"index.html{address}")
    assert "?" in page.locator(".question").inner_text()


def test_by_keyboard_alone(page_file: Any) -> None:
    page = page_file(f"index.html{GREEN}")
    page.locator("[data-key=add]").focus()
    page.keyboard.press("Enter")
    assert focused(page) == "combobox"
    page.keyboard.press("Escape")
    assert focused(page) == "add"
    page.keyboard.press("Enter")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowLeft")
    active = page.get_attribute("[role=combobox]", "aria-activedescendant")
    assert page.locator(f"#{active}").get_attribute("aria-selected") == "true"
    name = page.locator(f"#{active} .option-name").inner_text()
    page.keyboard.press("Enter")
    assert page.locator("[data-key=colour-1]").inner_text() == name
    assert focused(page) == "colour-1"
    outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid"


def test_every_target_suits_a_wet_finger(page_file: Any) -> None:
    for address in ("", GREEN, f"{GREEN.replace('bottom', 'bottom,brick-dust')}", "#tests"):
        page = page_file(f"index.html{address}", **PHONE)
        small = page.eval_on_selector_all(
            "#finder :is(a, button, select, input, summary, [role=option]):not(.behind a)",
            """all => all.map(one => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
                 .filter(([, box]) => box.width && (box.height < 43.5 || box.width < 43.5))
                 .map(([text, box]) => `${text} ${box.width} x ${box.height}`)""",
        )
        assert small == []
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= 360, f"{address}: the page is {wide} px wide"


def test_without_script_every_colour_is_a_link(
    page_file: Any, site: Path, findings: Findings
) -> None:
    page = page_file("index.html", java_script_enabled=False)
    links = page.locator("#finder a.option")
    hrefs = [links.nth(n).get_attribute("href") for n in range(links.count())]
    expected = {f"underglazes/{id_}.html" for id_ in findings.catalogue.underglazes}
    assert set(hrefs) == expected
    assert all((site / href).is_file() for href in hrefs)
    assert page.locator("#finder a.option svg image").count() > 10


def test_the_find_box_of_other_pages_leads_here(opened: Any) -> None:
    page = opened("underglazes/hedge-bottom.html")
    loaded = "[...document.scripts].some(one => one.src.includes('data/'))"
    assert not page.evaluate(loaded), "a record page pays for the finder's data"
    page.locator(".find-box").focus()
    page.locator("#find-names option").nth(20).wait_for(state="attached")
    page.keyboard.type("rosehp")
    page.keyboard.press("Enter")
    page.wait_for_url("**/index.html#find=rosehp")
    assert page.locator("[role=option]").first.inner_text() == "Rosehip Jam"


def test_every_page_it_offers_is_there(page_file: Any, site: Path) -> None:
    page = page_file("index.html")
    offered = [row[0] for row in page.evaluate("clearoverNames.guide")]
    offered += [one.href for one in symptoms()]
    assert len(offered) > 10
    assert [href for href in offered if not (site / href).is_file()] == []
