"""A card in another light than its tile is doubted; a good photo, however lit, is not."""

import dataclasses

import numpy as np
import pytest
from clearover.measuring.against import against
from clearover.measuring.balancing import balance_of
from clearover.measuring.clays import Clays, _median
from clearover.measuring.light import Field
from clearover.measuring.measure import measure
from clearover.measuring.other_light import Blocks, doubt_of, too_white
from clearover.measuring.remedies import help_for
from clearover.measuring.report import measure_report
from clearover.measuring.request import Request
from clearover.measuring.results import Balance, CellColour, TileMeasurement
from hypothesis import given
from hypothesis import strategies as st

KINDS = {
    "the card alone": "lighter than paper",
    "half the card": "parts of it are",
    "a hand's, at a window": "darker and bluer in light",
    "a soft one": "lies in another light",
    "a weak one": "bluer in light",
}


def shaded(one, kind):
    from drawing.shadows import KINDS as HOW

    picture = HOW[kind](one.opened.picture, one.truth)
    return dataclasses.replace(one.opened, picture=picture, views={})


def test_good_photos_are_not_doubted(drawn, drawn_grounds, drawn_lines):
    """Light of up to 2 : 1, plain sheets and wood."""
    photos = [*drawn, drawn_grounds, drawn_lines]
    assert [one.measured.balance.doubt for one in photos] == [None] * len(photos)
    assert all(one.measured.balance.clay for one in photos)


@pytest.mark.parametrize("kind", KINDS)
def test_a_shadow_on_the_card_is_told(drawn, kind):
    one = drawn[0]
    doubt = balance_of(shaded(one, kind), one.request)[2].doubt
    assert doubt is not None
    assert doubt.startswith("the card lies in another light than the tile")
    assert KINDS[kind] in doubt
    assert "side by side in one light" in help_for(doubt)


def test_a_hands_shadow_is_told_on_wood_too(drawn):
    wood = next(one for one in drawn if not one.request.plain_backdrop)
    assert balance_of(shaded(wood, "a hand's, at a window"), wood.request)[2].doubt


def test_nothing_absolute_is_told_in_doubt(drawn):
    one = drawn[0]
    found = measure(shaded(one, "a soft one"), one.request)
    assert found.balance.doubt
    assert all(skin.haze is None for skin in found.surface)
    assert any("another light" in skin.status for skin in found.surface)
    assert [c.lab is None for c in found.cells] == [c.lab is None for c in one.measured.cells]


def test_differences_within_the_photo_stay(drawn):
    """Half the light on the card multiplies every cell alike: by a factor, never by more."""
    one = drawn[0]
    found = measure(shaded(one, "the card alone"), one.request)
    pairs = [
        (dark.lab[0] + 16) / (lit.lab[0] + 16)
        for dark, lit in zip(found.cells, one.measured.cells, strict=True)
        if dark.lab and lit.lab and lit.lab[0] > 15
    ]
    assert len(pairs) > 4 and max(pairs) - min(pairs) < 0.04
    assert min(pairs) > 1.2


def test_no_clay_is_lighter_than_paper():
    assert too_white(95.0, "card", "the bare clay") is None
    assert "L* 99" in too_white(99.0, "chart", "the bare clay")
    assert too_white(100.5, "card", "one of the cells") is None
    assert too_white(103.0, "card", "one of the cells")


def made(tile, lightness, doubt=None):
    clay = None if lightness is None else (lightness, 1.0, 8.0)
    balance = Balance("grey card", clay=clay, doubt=doubt)
    cells = (CellColour(1, 1, (40.0, 0.0, 0.0), 0.5, 100, 0.0, "measured"),)
    return TileMeasurement(tile, "p.jpg", 10.0, balance, 1.0, cells)


LIGHT = (84.0, 85.0, 83.0, 84.5)


def tiles_alike(catalogue):
    """Tiles of white stoneware out of one kiln load."""
    found = {}
    for tile in catalogue.tiles.values():
        if tile.firings and {c.where.get("body") for c in tile.cells} == {"white-stoneware"}:
            found.setdefault(tile.firings[-1], []).append(tile)
    return max(found.values(), key=len)[:4]


def test_the_same_clay_is_as_light_on_every_photo(catalogue):
    tiles = tiles_alike(catalogue)
    usual = {tile.id: made(tile.id, light) for tile, light in zip(tiles, LIGHT, strict=True)}
    assert all(Clays(catalogue, usual).doubt(t, usual[t.id]) is None for t in tiles)
    for light, word in ((98.0, "1.5 times lighter"), (64.0, "2.0 times darker")):
        odd = usual | {tiles[0].id: made(tiles[0].id, light)}
        clays = Clays(catalogue, odd)
        assert word in clays.doubt(tiles[0], odd[tiles[0].id])
        assert "3 other photos" in clays.doubt(tiles[0], odd[tiles[0].id])
        assert clays.doubt(tiles[1], odd[tiles[1].id]) is None


def test_the_clay_of_a_black_photo_tells_nothing(catalogue):
    tiles = tiles_alike(catalogue)
    black = {tile.id: made(tile.id, 0.0) for tile in tiles}
    usual = {tile.id: made(tile.id, light) for tile, light in zip(tiles, LIGHT, strict=True)}
    first = tiles[0]
    assert Clays(catalogue, usual).doubt(first, black[first.id]) is None
    assert Clays(catalogue, black).doubt(first, usual[first.id]) is None


@given(st.lists(st.floats(0.01, 1), min_size=2, max_size=9), st.integers(0, 8))
def test_the_median_without_one(lights, which):
    one = lights[which % len(lights)]
    rest = list(lights)
    rest.remove(one)
    assert _median(sorted(lights), one) == pytest.approx(np.median(rest))
    assert _median(sorted(lights), None) == pytest.approx(np.median(lights))


def test_clay_of_another_body_or_fire_tells_nothing(catalogue):
    first = tiles_alike(catalogue)[0]
    fire = catalogue.firings[first.firings[-1]]
    others = {
        tile.id: made(tile.id, 30.0)
        for tile in catalogue.tiles.values()
        if {c.where.get("body") for c in tile.cells} != {"white-stoneware"}
        or (tile.firings and catalogue.firings[tile.firings[-1]].aimed != fire.aimed)
    }
    assert len(others) > 5
    assert Clays(catalogue, others).doubt(first, made(first.id, 84.0)) is None


def test_across_photos_nothing_is_told_where_a_card_is_doubted(catalogue):
    tile, true = next(
        (tile, catalogue.tiles[colour.true_colour])
        for tile in catalogue.tiles.values()
        if (colour := catalogue.underglazes.get(tile.cells[0].underglaze)) is not None
        and colour.true_colour not in (None, tile.id)
    )
    spots = [(cell.row, cell.column) for cell in true.cells]
    shown = dataclasses.replace(
        made(true.id, None),
        cells=tuple(CellColour(*at, (50.0, 0.0, 0.0), 0.5, 100, 0.0, "measured") for at in spots),
    )
    good = against(catalogue, tile, made(tile.id, None), {true.id: shown})[1, 1]
    assert good.delta_e is not None and not good.same_photo
    dark = dataclasses.replace(shown, balance=Balance("grey card", doubt="the card lies askew"))
    other = against(catalogue, tile, made(tile.id, None), {true.id: dark})[1, 1]
    assert other.delta_e is None and f"on the photo of {true.id}" in other.reason
    own = against(catalogue, tile, made(tile.id, None, "the card lies askew"), {true.id: shown})
    assert own[1, 1].delta_e is None and own[1, 1].reason == "the card lies askew"


def test_the_report_tells_the_doubt_and_what_would_help(catalogue):
    tile = catalogue.tiles["hedge-bottom-coats"]
    doubt = "the card lies in another light than the tile: as made up"
    told = measure_report(tile, made(tile.id, 84.0), {}, doubt)
    assert told["balance"]["doubt"] == doubt and told["balance"]["clay"] == [84.0, 1.0, 8.0]
    assert doubt in told["would_help"]
    assert told["cells"][0]["colour_word"] is None and told["cells"][0]["lab"]
    sure = measure_report(tile, made(tile.id, 84.0), {})
    assert sure["cells"][0]["colour_word"] == "grey" and sure["balance"]["doubt"] is None


WIDE, HIGH = 400, 300
GRID = ((100.0, 40.0), (300.0, 40.0), (300.0, 160.0), (100.0, 160.0))
LIES = ((170.0, 220.0), (230.0, 220.0), (230.0, 260.0), (170.0, 260.0))


def made_blocks(shadow=1.0, tint=1.0, on_card=1.0, grain=0.02):
    """A sheet of 0.5 with a tile above and a grey card below, one block a px; `shadow` and `tint`
    (of red) are what is left of the light below the tile, `on_card` of that on the card's right
    half."""
    rng = np.random.default_rng(3)
    light = 0.5 * np.exp(rng.normal(0, grain, (HIGH, WIDE, 1))) * np.ones(3)
    light[220:260, 170:230] = 0.18
    light[220:260, 200:230] *= on_card
    light[175:] *= shadow
    light[175:, :, 0] *= tint
    x, y = np.arange(WIDE)[None, :] + 0.5, np.arange(HIGH)[:, None] + 0.5
    return Blocks(light.astype(np.float32), np.ones((HIGH, WIDE), bool), x, y)


def doubted(by="card", plain=True, **how):
    marks = {"grey_card" if by == "card" else "chart": LIES}
    request = Request("made", "", 1, 1, GRID, (), plain_backdrop=plain, **marks)
    return doubt_of(made_blocks(**how), Field(WIDE, HIGH), request, by) or ""


@pytest.mark.parametrize("by", ["card", "chart"])
def test_the_ground_round_card_or_chart(by):
    assert doubted(by) == ""
    assert doubted(by, shadow=0.5).startswith(f"the {by} lies in another light")
    assert "2.0 times darker than beyond the tile" in doubted(by, shadow=0.5)
    assert "1.4 times lighter" in doubted(by, shadow=1.4)
    assert "bluer in light than" in doubted(by, tint=0.9)
    assert "warmer in light than" in doubted(by, tint=1.1)


def test_a_backdrop_that_nobody_calls_plain_must_differ_by_more():
    assert doubted(shadow=0.78) and not doubted(shadow=0.78, plain=False)
    assert doubted(shadow=0.6, plain=False)
    assert not doubted(tint=0.9, plain=False)
    assert not doubted(shadow=0.6, plain=False, grain=0.4)  # no more than its own pattern


def test_a_step_across_the_card_and_not_across_the_chart():
    assert "parts of it are 2.0 times as light as others" in doubted(on_card=0.5)
    assert doubted(on_card=0.95) == ""
    assert doubted("chart", on_card=0.5) == ""
