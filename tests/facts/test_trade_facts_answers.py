"""What a technician knows (`trade_facts.csv`, common practice), row by row as a small catalogue.

Where the flags alone decide, the catalogue holds colours and clears and no tile, and the answer
must follow. Where tiles decide, it holds the tile. Where the movement of a clear decides, the model
must say what the row says.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from clearover.catalogue import compute, read
from clearover.evidence.findings import Findings
from clearover.evidence.results import Answer, Question
from clearover.firing.cone import parse_cone

TABLE = Path(__file__).parent / "trade_facts.csv"

COLOURS = {
    "green": ("green", "chromium oxide"),
    "chrome-tin-pink": ("pink", "chrome-tin"),
    "chrome-alumina-pink": ("pink", "chrome-alumina"),
    "yellow": ("yellow", "praseodymium zircon"),
    "turquoise": ("turquoise", "vanadium zircon"),
    "blue": ("blue", "cobalt aluminate"),
    "navy": ("blue", "cobalt silicate"),
    "black": ("black", "iron-cobalt-chromium"),
    "brown": ("brown", "zinc-iron-chromium"),
    "red": ("red", "cadmium-selenium in zircon"),
}
RECIPES = {
    "zinc-gloss": ("5..6", "nepheline syenite: 28, colemanite: 10, calcium carbonate: 9, "
                   "zinc oxide: 7, kaolin: 12, quartz: 34"),
    "zinc-low-lime": ("5..6", "nepheline syenite: 46, zinc oxide: 10, kaolin: 10, quartz: 28, "
                      "colemanite: 6"),
    "zinc-ten": ("10", "potash feldspar: 40, calcium carbonate: 12, zinc oxide: 8, kaolin: 12, "
                 "quartz: 28"),
    "zinc-low-fire": ("05", "soft frit: 70, zinc oxide: 6, kaolin: 14, quartz: 10"),
    "lime-gloss": ("5..6", "soft frit: 32, nepheline syenite: 20, wollastonite: 14, kaolin: 12, "
                   "quartz: 22"),
    "lime-ten": ("10", "potash feldspar: 38, calcium carbonate: 19, kaolin: 13, quartz: 30"),
    "runny-gloss": ("5..6", "soft frit: 90, kaolin: 10"),
    "stiff-gloss": ("5..6", "potash feldspar: 38, calcium carbonate: 19, kaolin: 13, quartz: 30"),
    "magnesia-satin": ("5..6", "nepheline syenite: 30, soft frit: 20, dolomite: 8, talc: 14, "
                       "kaolin: 16, quartz: 12"),
}  # fmt: skip
FRIT = "analysis: {SiO2: 52, B2O3: 10, CaO: 20, Al2O3: 8, Na2O: 10}"

Facts = Callable[..., Findings]


@pytest.fixture
def facts(tmp_path: Path) -> Facts:
    """The small catalogue, with the tiles a fact needs."""

    def build(**tiles: str) -> Findings:
        files = {"studio.yml": "name: Facts\ncones: [05, 6, 10]\n"}
        files["materials/soft-frit.yml"] = f"name: soft frit\n{FRIT}\n"
        for name, (colour, pigment) in COLOURS.items():
            text = f"name: {name}\ncolour: {colour}\npigment: {pigment}\ncones: 05..10\n"
            files[f"underglazes/{name}.yml"] = text
        pink = "colour: pink\npigment: unknown\ncolorants: [chromium]\n"
        files["underglazes/unknown-pink.yml"] = f"name: Unknown Pink\n{pink}"
        for name, (cones, recipe) in RECIPES.items():
            text = f"name: {name}\nsurface: gloss\ncones: {cones}\nrecipe: {{{recipe}}}\n"
            files[f"clears/{name}.yml"] = text
        files["clears/nobody-knows.yml"] = "name: Nobody Knows\ncones: 05..10\n"
        for name, text in tiles.items():
            files[f"tiles/{name.replace('_', '-')}/tile.yml"] = text
        for name, text in files.items():
            path = tmp_path / "combos" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        catalogue = read(tmp_path / "combos")
        assert not catalogue.errors, "\n".join(map(str, catalogue.errors))
        return compute(catalogue)

    return build


def ask(findings: Findings, colour: str, clear: str, cone: str = "6", **more: Any) -> Answer:
    question = Question((colour,), parse_cone(cone), include_all=True, **more)
    return next(answer for answer in findings.answer(question) if answer.clear == clear)


# (row, colour, clear, cone, atmosphere, wish, the standing it must have without any tile)
BY_RULES = [
    (1, "green", "zinc-gloss", "5", "oxidation", "true_colour", "doubtful"),
    (1, "green", "zinc-gloss", "6", "oxidation", "true_colour", "doubtful"),
    (2, "green", "lime-gloss", "6", "oxidation", "true_colour", "expected"),
    (3, "green", "zinc-ten", "10", "oxidation", "true_colour", "doubtful"),
    (4, "green", "lime-ten", "10", "oxidation", "true_colour", "expected"),
    (4, "green", "lime-ten", "10", "reduction", "true_colour", "expected"),
    (5, "green", "zinc-low-fire", "05", "oxidation", "true_colour", "expected"),
    (6, "green", "nobody-knows", "6", "oxidation", "true_colour", "unknown"),
    (7, "chrome-tin-pink", "lime-gloss", "6", "oxidation", "true_colour", "expected"),
    (8, "chrome-tin-pink", "magnesia-satin", "6", "oxidation", "true_colour", "doubtful"),
    (10, "chrome-alumina-pink", "zinc-low-lime", "6", "oxidation", "true_colour", "expected"),
    (11, "chrome-alumina-pink", "lime-gloss", "6", "oxidation", "true_colour", "doubtful"),
    (12, "unknown-pink", "zinc-gloss", "6", "oxidation", "true_colour", "unknown"),
    (12, "unknown-pink", "lime-gloss", "6", "oxidation", "true_colour", "unknown"),
    (13, "yellow", "zinc-gloss", "6", "oxidation", "true_colour", "expected"),
    (13, "turquoise", "lime-gloss", "6", "oxidation", "true_colour", "expected"),
    (14, "blue", "magnesia-satin", "6", "oxidation", "true_colour", "doubtful"),
    (15, "navy", "zinc-gloss", "6", "oxidation", "crisp_line", "doubtful"),
    (17, "brown", "zinc-gloss", "6", "oxidation", "true_colour", "expected"),
    (18, "brown", "lime-gloss", "6", "oxidation", "true_colour", "doubtful"),
    (19, "red", "zinc-gloss", "6", "oxidation", "true_colour", "expected"),
    (20, "red", "lime-ten", "10", "oxidation", "true_colour", "doubtful"),
    (21, "red", "lime-gloss", "6", "reduction", "true_colour", "doubtful"),
    (22, "chrome-tin-pink", "lime-ten", "10", "reduction", "true_colour", "doubtful"),
    (23, "yellow", "lime-gloss", "05", "oxidation", "clean_surface", "doubtful"),
    (24, "yellow", "zinc-low-fire", "6", "oxidation", "crisp_line", "doubtful"),
    (34, "yellow", "zinc-gloss", "6", "oxidation", "true_colour", "expected"),
    (34, "yellow", "lime-gloss", "6", "oxidation", "true_colour", "expected"),
]

BY_FLAG = {
    9: "sources split: `unknown` or `doubtful` are both right, `expected` is not (below)",
    16: "thin edges are browner, three coats stay black (below)",
    32: "a neighbour in the load: told by a flag of the load (test_trade_facts_flags)",
}
BY_TILES = {26, 28, 29, 30, 31, 33}
BY_MOVEMENT = {25, 27}


@pytest.mark.parametrize("row", BY_RULES, ids=lambda row: "-".join(str(part) for part in row[:5]))
def test_rules_alone_lead_to_the_standing(facts: Facts, row: tuple[Any, ...]) -> None:
    _, colour, clear, cone, atmosphere, wish, standing = row
    answer = ask(facts(), colour, clear, cone, atmosphere=atmosphere, wishes=(wish,))
    assert answer.standing == standing, answer.reason


def test_row_9_split_sources_never_promise(facts: Facts) -> None:
    assert ask(facts(), "chrome-tin-pink", "zinc-gloss").standing in ("unknown", "doubtful")


def test_row_16_black_is_not_called_harmed(facts: Facts) -> None:
    answer = ask(facts(), "black", "zinc-gloss")
    assert answer.standing != "doubtful"
    assert any("brown" in flag.effect for flag in answer.flags)


def tile(factors: str, judged: str, *, down: str = "", more: str = "") -> str:
    return f"cone: 6\natmosphere: oxidation\n{factors}{down}judged:\n{judged}{more}"


def dragged_mm(findings: Findings, tile_id: str) -> list[float]:
    """How far each cell's line was dragged, mm, as computed."""
    record = findings.catalogue.tiles[tile_id]
    found = [findings.movement_on(record, cell) for cell in record.cells]
    lengths = [one.line_drag.value for one in found if one is not None]
    assert None not in lengths and len(lengths) == len(record.cells)
    return [length for length in lengths if length is not None]


LINES = "across: {{line: [thin, thick]}}\nall: {{underglaze: yellow, clear: {}, clear coats: {}}}\n"


def test_row_25_a_runny_clear_drags_a_thick_line_downhill(facts: Facts) -> None:
    """Without any tile the flag tells; on an upright tile the tail is longer than 1 mm."""
    lines = LINES.format("runny-gloss", 2) + "cone: 6\nstood: "
    findings = facts(upright=f"{lines}upright\n", flat=f"{lines}flat\n")
    assert findings.movement("runny-gloss", parse_cone("6")).fluid is True
    answer = ask(findings, "yellow", "runny-gloss", wishes=("crisp_line",))
    assert answer.standing == "doubtful"
    assert any("dragged downhill" in flag.effect for flag in answer.flags)
    assert dragged_mm(findings, "upright")[1] > 1
    assert dragged_mm(findings, "flat") == [0, 0]


def test_a_stiff_clear_keeps_its_lines(facts: Facts) -> None:
    findings = facts()
    assert findings.movement("stiff-gloss", parse_cone("6")).fluid is False
    assert ask(findings, "yellow", "stiff-gloss", wishes=("crisp_line",)).standing == "expected"


def test_row_27_thick_and_runny_worst_thin_and_stiff_best(facts: Facts) -> None:
    findings = facts(
        **{
            f"{clear.split('-')[0]}_{coats}": LINES.format(clear, coats)
            + "cone: 6\nstood: upright\n"
            for clear in ("runny-gloss", "stiff-gloss")
            for coats in (1, 2, 3)
        }
    )
    runny, stiff = (
        [dragged_mm(findings, f"{name}-{coats}") for coats in (1, 2, 3)]
        for name in ("runny", "stiff")
    )
    for (stiff_thin, stiff_thick), (runny_thin, runny_thick) in zip(stiff, runny, strict=True):
        assert stiff_thin < min(stiff_thick, runny_thin) <= max(stiff_thick, runny_thin)
        assert max(stiff_thick, runny_thin) < runny_thick
    for lines in (runny, stiff):
        assert [line[0] for line in lines] == sorted(line[0] for line in lines)
        assert [line[1] for line in lines] == sorted(line[1] for line in lines)


def test_row_26_a_flat_tile_cannot_drag(facts: Facts) -> None:
    flat = tile("all: {underglaze: yellow, clear: lime-gloss, line: thick}\n", "  line: dragged\n",
                more="stood: flat\n")  # fmt: skip
    rules = [problem.rule for problem in facts(flat=flat).catalogue.warnings]
    assert "dragged-when-flat" in rules


def test_row_28_coats_of_colour_decide_the_cover(facts: Facts) -> None:
    cover = tile(
        "across: {underglaze coats: [1, 2, 3]}\nall: {underglaze: yellow, clear: lime-gloss}\n",
        "  cover: [[sheer, streaky, opaque]]\n",
    )
    answer = ask(facts(cover=cover), "yellow", "lime-gloss", wishes=("opaque",))
    assert answer.reason.startswith("Opaque at 3 coats of colour, sheer at 1 coat of colour")


def test_row_29_a_third_coat_of_gloss_hazes(facts: Facts) -> None:
    coats = tile(
        "across: {clear coats: [1, 2, 3]}\nall: {underglaze: black, clear: zinc-gloss}\n",
        "  surface: [[clean, clean, hazy and bubbled]]\n",
    )
    answer = ask(facts(coats=coats), "black", "zinc-gloss", wishes=("clean_surface",))
    expected = "Clean at 1 and 2 coats of clear, hazy and bubbled at 3 coats of clear"
    assert answer.reason.startswith(expected)


def test_row_30_many_raw_coats_crawl(facts: Facts) -> None:
    raw = tile(
        "across: {underglaze coats: [3, 5]}\n"
        "all: {underglaze: blue, clear: lime-gloss, underglaze fired: no}\n",
        "  surface: [[clean, crawled and flaked]]\n",
    )
    answer = ask(facts(raw=raw), "blue", "lime-gloss", wishes=("clean_surface",))
    assert "crawled and flaked at 5 coats of colour" in answer.reason


def test_row_31_a_verdict_has_its_day(facts: Facts) -> None:
    crazed = tile(
        "all: {underglaze: blue, clear: lime-gloss}\n",
        "  - {by: A., on: 2026-03-22, surface: clean}\n"
        "  - {by: A., on: 2026-05-01, surface: crazed}\n",
    )
    answer = ask(facts(crazed=crazed), "blue", "lime-gloss", wishes=("clean_surface",))
    assert (answer.standing, list(answer.verdicts)) == ("avoid", ["crazed"])


def test_row_33_a_smudge_is_not_the_clears_doing(facts: Facts) -> None:
    smudged = tile(
        "all: {underglaze: blue, clear: lime-gloss, clear by: brush, underglaze fired: no}\n",
        "  line: smudged\n",
    )
    answer = ask(facts(smudged=smudged), "blue", "lime-gloss", wishes=("crisp_line",))
    assert (answer.standing, answer.cells.bad) == ("mixed", 0)


def test_every_row_is_covered_or_named() -> None:
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = {int(row["id"]) for row in csv.DictReader(file)}
    assert {row[0] for row in BY_RULES} | set(BY_FLAG) | BY_TILES | BY_MOVEMENT == rows
