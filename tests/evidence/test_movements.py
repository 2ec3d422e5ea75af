"""The movement of clears from their records: coats, dip, tilt, line; log, witness, schedule."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from clearover.catalogue import compute, read
from clearover.evidence.findings import Findings
from clearover.evidence.movements import fire_of, hold_minutes, shift_c
from clearover.evidence.results import Reached
from clearover.firing.cone import parse_cone
from clearover.firing.log_reader import KilnLog, parse_log
from clearover.glass.movement import Movement

SIX = parse_cone("6")
CLEARS = {
    "stiff": "surface: gloss\ncones: 10\nrecipe: {potash feldspar: 38, calcium carbonate: 19, "
    "kaolin: 13, quartz: 30}\n",
    "usual": "surface: gloss\ncones: 6\nrecipe: {soft frit: 32, nepheline syenite: 20, "
    "wollastonite: 14, kaolin: 12, quartz: 22}\n",
    "runny": "surface: gloss\ncones: 05\nrecipe: {soft frit: 90, kaolin: 10}\n",
    "skin": "surface: satin\ncones: 6\nrecipe: {soft frit: 40, talc: 14, kaolin: 30, quartz: 16}\n",
    "white": "surface: gloss\ncones: 6\n"
    "recipe: {soft frit: 60, kaolin: 10, quartz: 18, zircon: 12}\n",
    "bucket": "cones: 6\n",
}
TILE = "cone: 6\natmosphere: oxidation\nstood: {stood}\nall: {{underglaze: blue, {factors}}}\n"
CSV = "minutes,temperature_c\n0,20\n600,1120\n{top},{peak}\n{later},400\n"

Build = Callable[..., Findings]


@pytest.fixture
def studio(tmp_path: Path) -> Build:
    """A catalogue of the clears above and the tiles given, as text."""

    def build(firings: dict[str, str] | None = None, **tiles: str) -> Findings:
        files = {
            "studio.yml": "name: Walls\ncones: [05, 6, 10]\n",
            "materials/soft-frit.yml": "name: soft frit\n"
            "analysis: {SiO2: 52, B2O3: 10, CaO: 20, Al2O3: 8, Na2O: 10}\n",
            "underglazes/blue.yml": "name: Blue\ncolour: blue\npigment: cobalt aluminate\n",
            **{f"clears/{n}.yml": f"name: {n}\n{text}" for n, text in CLEARS.items()},
            **{f"firings/{name}": text for name, text in (firings or {}).items()},
            **{f"tiles/{n.replace('_', '-')}/tile.yml": text for n, text in tiles.items()},
        }
        for name, text in files.items():
            path = tmp_path / "combos" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        catalogue = read(tmp_path / "combos")
        assert not catalogue.errors, "\n".join(map(str, catalogue.errors))
        return compute(catalogue)

    return build


def on(findings: Findings, tile: str, cell: int = 0) -> Movement:
    record = findings.catalogue.tiles[tile]
    found = findings.movement_on(record, record.cells[cell])
    assert found is not None
    return found


def run(one: Movement) -> float:
    assert one.surface_run.value is not None, one.reason
    return one.surface_run.value


def drag(one: Movement) -> float:
    assert one.line_drag.value is not None, one.reason
    return one.line_drag.value


def test_an_ordinary_cone_6_gloss(studio: Build) -> None:
    """Three brushed coats: at cone 6 still or soft, at cone 10 it moves (common practice)."""
    findings = studio()
    assert findings.movement("usual", SIX).likely in ("still", "soft")
    assert findings.movement("usual", parse_cone("10")).likely in ("moving", "running")
    assert findings.movement("usual", parse_cone("05")).word == "still"
    assert findings.movement("usual", SIX) is findings.movement("usual", SIX)


def test_a_low_fire_clear_runs_at_cone_6(studio: Build) -> None:
    findings = studio()
    assert findings.movement("runny", SIX).fluid is True
    assert findings.movement("stiff", SIX).fluid is False
    assert findings.movement("usual", SIX).fluid is None


@pytest.mark.parametrize(
    ("clear", "why"),
    [
        ("skin", "a satin clear crystallises"),
        ("white", "% ZrO2 it is opaque"),
        ("bucket", "neither a recipe nor an analysis"),
    ],
)
def test_no_number_where_there_is_none(studio: Build, clear: str, why: str) -> None:
    got = studio().movement(clear, SIX)
    assert got.surface_run.value is got.line_drag.value is got.word is got.fluid is None
    assert got.reason is not None
    assert got.reason.startswith("not computed: ") and why in got.reason
    assert got.surface_run.reason == got.reason


def test_coats_dip_line_and_tilt_come_from_the_record(studio: Build) -> None:
    def tile(factors: str, stood: str = "upright") -> str:
        return TILE.format(stood=stood, factors=f"clear: usual, {factors}")

    findings = studio(
        one=tile("clear coats: 1, clear by: brush"),
        three=tile("clear coats: 3, clear by: brush"),
        thick=tile("clear coats: 3, clear by: brush, line: thick"),
        dipped=tile("clear by: dip 3 s, specific gravity: 1.45"),
        leaning=tile("clear coats: 3, clear by: brush", "leaning"),
        flat=tile("clear coats: 3, clear by: brush", "flat"),
    )
    one, three, thick = (on(findings, name) for name in ("one", "three", "thick"))
    assert run(three) == pytest.approx(9 * run(one))
    assert run(thick) == pytest.approx(run(three)) and drag(thick) > drag(three)
    assert 0.9 * run(three) < run(on(findings, "leaning")) < run(three)
    assert run(on(findings, "flat")) == drag(on(findings, "flat")) == 0
    dipped = on(findings, "dipped")
    assert run(dipped) == pytest.approx(run(three), rel=1e-6)  # both 0.3 mm
    narrow, wide = ((m.surface_run.high or 0) / (m.surface_run.low or 1) for m in (dipped, three))
    assert narrow < wide


def test_a_cell_without_a_clear_has_none(studio: Build) -> None:
    findings = studio(bare=TILE.format(stood="upright", factors="clear: none"))
    tile = findings.catalogue.tiles["bare"]
    assert findings.movement_on(tile, tile.cells[0]) is None


def test_how_it_stood_is_said_where_nobody_wrote_it(studio: Build) -> None:
    text = "cone: 6\nall: {underglaze: blue, clear: usual, clear coats: 2}\n"
    got = on(studio(loose=text), "loose")
    assert any("how it stood is not written down" in note for note in got.notes)
    assert not any("gloss is taken" in note for note in got.notes)


def test_what_a_record_leaves_open_is_said(studio: Build) -> None:
    curved = TILE.format(stood="upright", factors="clear: usual") + "shape: curved\n"
    assert any("curved or textured" in note for note in on(studio(cup=curved), "cup").notes)


FIRING = "fired: 2026-03-12\naimed: 6\nlog: load.csv\nwitness: {{top: {{{witness}}}}}\n"
WITH_LOAD = "firings: [load]\nshelf: top\nall: {underglaze: blue, clear: usual, clear coats: 3}\n"


def log(top: int, peak: int) -> str:
    return CSV.format(top=600 + top, peak=peak, later=600 + top + 400)


def test_the_log_is_moved_to_the_witness(studio: Build) -> None:
    """A log that says about cone 6; the shelf's own cones say 6 or 8."""
    made = {}
    for name, witness in (("same", "6: half, 7: standing"), ("hotter", "7: down, 8: half")):
        files = {"load.yml": FIRING.format(witness=witness), "load.csv": log(100, 1222)}
        made[name] = on(studio(files, tile=WITH_LOAD), "tile")
    same, hotter = made["same"], made["hotter"]
    assert same.peak_c == pytest.approx(1222, abs=5)
    assert hotter.peak_c is not None and hotter.peak_c > 1222 + 15
    assert run(hotter) > run(same)
    assert any("the log is moved by +" in note for note in hotter.notes)
    assert not any("moved" in note for note in same.notes)


def test_without_a_log_a_usual_firing_is_taken_and_said(studio: Build) -> None:
    got = on(studio(tile=TILE.format(stood="upright", factors="clear: usual")), "tile")
    assert any("usual firing to cone 6" in note for note in got.notes)


def test_a_tile_whose_cone_nobody_knows_has_none() -> None:
    assert fire_of(Reached(None, "unknown", "unknown"), None, None).profile is None
    assert fire_of(None, None, None).reason == "nobody knows what cone it reached"


def test_a_broken_log_counts_as_none() -> None:
    broken = fire_of(Reached(SIX, "aim", "oxidation"), None, KilnLog(reason="the log is empty"))
    assert broken.profile is not None and broken.profile.known_from == "schedule"


def test_a_witness_that_agrees_moves_nothing() -> None:
    fire = fire_of(Reached(SIX, "witness", "oxidation"), None, parse_log(log(100, 1222).encode()))
    assert fire.profile is not None
    assert shift_c(fire.profile, SIX) == 0
    assert shift_c(fire.profile, parse_cone("5")) < 0 < shift_c(fire.profile, parse_cone("8"))


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("15 min", 15), ("1 h", 60), ("0.5 hours", 30), ("20 minutes at 1200", 20), ("a while", 0),
     (None, 0)],
)  # fmt: skip
def test_a_hold_in_words(text: str | None, minutes: float) -> None:
    assert hold_minutes(text) == minutes
