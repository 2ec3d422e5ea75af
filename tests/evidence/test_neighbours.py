"""What stood beside a tile: on it, in its load, or named by the firing."""

from __future__ import annotations

from collections.abc import Callable

from clearover.evidence.findings import Findings
from clearover.evidence.neighbours import company, heard_by

WHITE = {
    "underglazes/milk.yml": "name: Milk\ncolour: white\npigment: tin oxide\ncones: 05..10\n",
    "underglazes/guess.yml": "name: Guess\ncolour: green\npigment: unknown\ncolorants: [copper]\n",
    "firings/one.yml": "fired: 2026-03-02\naimed: 6\natmosphere: oxidation\n",
    "firings/two.yml": "fired: 2026-03-09\naimed: 6\natmosphere: oxidation\nnear: [copper red]\n",
    "clears/tinny.yml": "name: Tinny\nsurface: gloss\nknown from: data sheet\ncones: 5..6\n"
    "analysis: {SiO2: 62, Al2O3: 12, CaO: 20, SnO2: 6}\n",
}


def of_tile(colour: str, *firings: str, clear: str = "plain") -> str:
    return f"firings: [{', '.join(firings)}]\nall: {{underglaze: {colour}, clear: {clear}}}\n"


def test_a_tile_of_the_same_load_counts_and_of_another_does_not(
    ask: Callable[[dict[str, str]], Findings],
) -> None:
    files = WHITE | {
        "white": of_tile("milk", "one"),
        "green-too": of_tile("green", "one"),
        "elsewhere": of_tile("guess", "two"),
    }
    found = ask(files)
    beside = company(found.catalogue, found.chemistry)
    assert beside.near("white") == ("chromium", "tin")
    assert beside.beside("white", "chromium").tiles == ("green-too",)
    assert beside.beside("white", "tin").here == ("milk",)
    assert beside.near("elsewhere") == ("copper", "copper red")
    assert beside.beside("elsewhere", "copper").named == ("copper red",)


def test_only_the_last_firing_of_the_tile_itself_counts(
    ask: Callable[[dict[str, str]], Findings],
) -> None:
    found = ask(
        WHITE | {"white": of_tile("milk", "one", "two"), "green-too": of_tile("green", "one")}
    )
    beside = company(found.catalogue, found.chemistry)
    assert "chromium" not in beside.near("white")
    # The green tile was in the kiln with the white one when the white had its first firing.
    assert "tin" in beside.near("green-too")


def test_neighbours_on_the_tile_itself_and_clears_with_tin(
    ask: Callable[[dict[str, str]], Findings],
) -> None:
    both = "cone: 6\nall: {clear: tinny}\nacross: {underglaze: [yellow, green]}\n"
    found = ask(WHITE | {"both": both})
    beside = company(found.catalogue, found.chemistry)
    assert beside.near("both") == ("chromium", "tin")
    assert beside.beside("both", "tin").here == ("tinny",)
    assert beside.near("no-such-tile") == ()


def test_the_white_is_told_of_the_green_beside_it(
    ask: Callable[[dict[str, str]], Findings],
) -> None:
    both = "cone: 6\nall: {clear: plain}\nacross: {underglaze: [milk, green]}\n"
    found = ask(WHITE | {"both": both})
    near = company(found.catalogue, found.chemistry).near("both")
    cone = found.reached["both"].cone
    assert cone is not None
    rules = {flag.rule for flag in found.flags("milk", "plain", cone, "oxidation", near)}
    assert "tin-near-chromium" in rules
    assert "tin-near-chromium" not in {
        flag.rule for flag in found.flags("milk", "plain", cone, "oxidation")
    }


def test_which_rules_listen() -> None:
    assert heard_by("tin-near-chromium") == {"chromium", "chrome"}
    assert heard_by("chromium-green-zinc") == heard_by("no such rule") == frozenset()
