"""How far a clear moves, on pages: words, numbers with their range, and a drawing to scale."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from clearover.catalogue import compute, read
from clearover.glass.flow import Flow
from clearover.glass.moving import Wall, moved, nothing
from clearover.glass.results import Estimate
from clearover.glass.thickness import line_height, thickness
from clearover.pages import movement
from clearover.pages.lookup import Lookup
from clearover.pages.movement_drawing import DEEP, LINE, TOP, depth_of, wall_svg
from clearover.pages.page import Site

DENSITY = Estimate(2400.0, 2300.0, 2500.0)


def made(log: float, coats: int = 3, tilt: str = "upright"):
    flow = Flow(4800 / 10**log, 4500 / 10**log, 5100 / 10**log, 0.3, 80.0, log)
    return moved(flow, DENSITY, Wall(thickness(coats, "brush"), line_height(None), tilt), 1222.0)


def drawn(run: tuple[float, ...], drag: tuple[float, ...], depth: float) -> ElementTree.Element:
    label = 'a "label" <with> marks'
    svg = wall_svg(Estimate(*run), Estimate(*drag), depth, label)
    root = ElementTree.fromstring(str(svg))
    assert root.get("aria-label") == label and root.get("role") == "img"
    return root


def of_class(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [one for one in root.iter() if name in (one.get("class") or "").split()]


def test_the_drawing_is_to_scale() -> None:
    root = drawn((8.0, 2.0, 20.0), (1.6, 0.4, 6.4), 24.0)
    tail = of_class(root, "mv-tail")
    assert sum(float(one.get("height") or 0) for one in tail) == pytest.approx(1.6, abs=0.02)
    assert float(tail[0].get("y") or 0) == TOP + LINE
    (line,) = of_class(root, "mv-line")
    assert float(line.get("height") or 0) == LINE == 2
    (scale,) = of_class(root, "mv-scale")
    assert "h5" in (scale.get("d") or "")
    ends = [
        [
            float(n) - TOP - LINE
            for n in re.match(r"M\S+ (\S+?)V([\d.]+)", one.get("d") or "").groups()
        ]
        for one in of_class(root, "mv-range")
    ]
    assert ends == [pytest.approx([0.4, 6.4]), pytest.approx([2.0, 20.0])]


def test_what_reaches_farther_than_the_wall_ends_in_an_arrow() -> None:
    root = drawn((80.0, 20.0, 300.0), (1.6, 0.4, 6.4), DEEP)
    paths = [one.get("d") or "" for one in of_class(root, "mv-range")]
    assert ["l0.9" in path for path in paths] == [False, True]
    assert len(of_class(root, "mv-middle")) == 1  # the middle of the run lies below the picture


def test_the_drawing_has_no_style() -> None:
    svg = str(wall_svg(Estimate(1, 0.5, 2), Estimate(0.1, 0.05, 0.2), 10, "x"))
    assert "style" not in svg and "<script" not in svg and "#" not in svg


def test_walls_of_one_set_share_their_scale() -> None:
    assert 8 == depth_of([made(3.5, 1)]) < depth_of([made(3.5, 1), made(2.9, 3)]) <= DEEP
    assert depth_of([]) == depth_of([nothing("no recipe")]) == 8


def test_numbers_carry_their_range() -> None:
    assert movement.span(Estimate(1.27, 0.31, 5.2)) == "1.3 mm (0.3 to 5.2)"
    assert movement.span(Estimate(0.01, 0.001, 0.2)) == "less than 0.1 mm (less than 0.1 to 0.2)"
    assert movement.span(Estimate(90.0, 31.0, 400.0)) == ("more than 50 mm (31 to more than 50)")
    assert movement.span(Estimate(0.0, 0.0, 0.0)) == "0 mm"
    assert movement.span(Estimate(None, reason="not computed: why")) == "not computed: why"


def test_the_word_says_the_likely_one_first() -> None:
    assert movement.said(made(5.5)) == ("still", "")
    likely, whole = movement.said(made(2.9))
    assert likely == "most likely soft" and whole.startswith("from still to ")


@pytest.mark.parametrize(
    ("verdicts", "drag", "said"),
    [
        (("dragged",), (1.5, 0.3, 6), "as computed"),
        (("dragged",), (0.6, 0.1, 3), "within the range computed"),
        (("dragged",), (0.05, 0.01, 0.15), "not as computed"),
        (("crisp",), (0.05, 0.01, 0.15), "as computed"),
        (("crisp",), (5, 2.5, 9), "not as computed"),
        (("crisp", "softened"), (0.5, 0.1, 3), "as computed"),
        (("bled",), (5, 2.5, 9), ""),
        ((), (5, 2.5, 9), ""),
    ],
)
def test_agreement_with_what_people_judged(verdicts, drag, said) -> None:
    assert movement.agreement(verdicts, Estimate(*drag)) == said


def test_verdicts_of_another_cause_are_told_apart() -> None:
    drag = Estimate(0.5, 0.1, 3)
    assert movement.judged_beside(("softened",), drag) == "softened, as computed"
    assert movement.judged_beside(("softened", "bled"), drag) == (
        "softened, as computed; bled: another cause than running"
    )
    assert movement.judged_beside((), drag) == ""


def test_every_line_verdict_is_known_to_speak_or_not() -> None:
    from clearover.records.words import LINE_VERDICTS

    assert set(movement.FITS) < set(LINE_VERDICTS)
    assert set(LINE_VERDICTS) - set(movement.FITS) == {"bled", "smudged", "gone"}


@pytest.fixture(scope="module")
def known(tmp_path_factory) -> Lookup:
    """A small studio of two clears and three tiles, computed as always."""
    combos = tmp_path_factory.mktemp("walls") / "combos"
    lines = (
        "across: {line: [thin, thick]}\nall: {underglaze: blue, clear: usual, clear coats: 2, "
        "clear by: brush}\njudged:\n  line: [[crisp, dragged]]\n"
    )
    files = {
        "studio.yml": "name: Walls\ncones: [05, 6]\n",
        "underglazes/blue.yml": "name: Blue\ncolour: blue\npigment: cobalt aluminate\n",
        "clears/usual.yml": "name: 'Usual <b>'\nsurface: gloss\ncones: 6\nanalysis: "
        "{SiO2: 62, Al2O3: 12, B2O3: 6, CaO: 12, Na2O: 6, K2O: 2}\n",
        "clears/skin.yml": "name: Skin\nsurface: satin\n",
        "tiles/stood/tile.yml": f"cone: 6\nstood: upright\n{lines}",
        "tiles/lay/tile.yml": f"cone: 6\nstood: flat\n{lines.replace('dragged', 'crisp')}",
        "tiles/mixed/tile.yml": "cone: 6\nstood: upright\nacross: {clear: [usual, skin, none]}\n"
        "all: {underglaze: blue, clear coats: 3}\n",
    }
    for name, text in files.items():
        path = combos / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    catalogue = read(combos)
    assert not catalogue.errors, catalogue.errors
    return Lookup(Site(compute(catalogue), {}, combos))


def of_tile(known: Lookup, tile: str) -> str:
    return str(movement.tile_section(known, known.catalogue.tiles[tile]))


def of_clear(known: Lookup, clear: str) -> str:
    return str(movement.clear_section(known, known.catalogue.clears[clear]))


def test_a_clear_s_page_says_it_by_coats(known: Lookup) -> None:
    html = of_clear(known, "usual")
    assert "<h2>How far it moves</h2>" in html
    assert "<h3>At cone 6</h3>" in html and "At cone 05" not in html
    assert [f"<b>{n}</b>" in html for n in ("1 coat", "2 coats", "3 coats")] == [True] * 3
    assert html.count('<svg class="wall"') == 3
    assert re.search(r"line dragged [\d.]+ mm \((less than )?[\d.]+ to [\d.]+\)", html)
    assert "viscosity is log " in html and "methods.html#method-movement" in html
    assert "Soft:" in html and "loses its sharpness" in html


def test_a_satin_has_the_reason_once(known: Lookup) -> None:
    html = of_clear(known, "skin")
    assert html.count("Not computed: a satin clear crystallises") == 1
    assert "<svg" not in html


def test_a_tile_sets_judged_beside_computed(known: Lookup) -> None:
    html = of_tile(known, "stood")
    assert "<b>Thin line</b>" in html and "<b>Thick line</b>" in html
    assert re.search(r"judged: crisp, (as computed|within the range computed)", html)
    assert re.search(r"judged: dragged, (as computed|within the range|not as computed)", html)
    assert "No log of the firing." in html and "usual firing to cone 6" in html


def test_a_flat_tile_has_a_reason_and_no_number(known: Lookup) -> None:
    html = of_tile(known, "lay")
    assert "It lay flat" in html
    assert "<svg" not in html and " mm" not in html


def test_clears_without_a_number_are_named(known: Lookup) -> None:
    html = of_tile(known, "mixed")
    assert html.count('<svg class="wall"') == 1
    assert "Skin: not computed: a satin clear crystallises" in html


def test_names_are_never_markup(known: Lookup) -> None:
    html = of_tile(known, "mixed")
    assert "<b>Usual &lt;b&gt;</b>" in html
