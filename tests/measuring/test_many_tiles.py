"""All tiles reckoned at once come out as each by itself."""

import random

import pytest
from clearover.catalogue import compute
from clearover.measuring import against as against_module
from clearover.measuring import looks as looks_module
from clearover.measuring.against import against
from clearover.measuring.looks import looks_of
from clearover.measuring.results import Balance, CellColour, TileMeasurement


@pytest.fixture(scope="module")
def measured(catalogue):
    """Every tile of the demo with made-up colours; here and there one was not measured."""
    rng = random.Random(7)

    def cell(row, column):
        if rng.random() < 0.1:
            return CellColour(row, column, None, None, 0, 0.9, "not measured: glare covers it")
        lab = rng.uniform(20, 85), rng.uniform(-40, 50), rng.uniform(-40, 60)
        return CellColour(row, column, lab, 0.8, 4000, 0.02, "measured")

    return {
        tile.id: TileMeasurement(
            tile.id,
            "front.jpg",
            6.7,
            Balance("grey card", clay=(80.0, 1.0, 8.0)),
            0.9,
            tuple(cell(one.row, one.column) for one in tile.cells),
        )
        for tile in catalogue.tiles.values()
    }


def test_all_at_once_as_one_by_one(catalogue, measured, monkeypatch):
    monkeypatch.setattr(looks_module, "_AT_ONCE", 100)  # several batches, cut within tiles
    findings = compute(catalogue, measured)
    told = wet = 0
    for id_, one in measured.items():
        alone = against(catalogue, catalogue.tiles[id_], one, measured)
        found = findings.differences(id_)
        assert list(found) == list(alone)
        for spot, off in alone.items():
            assert found[spot].reason == off.reason and found[spot].of == off.of
            assert (found[spot].seen, found[spot].changes) == (off.seen, off.changes)
            assert found[spot].delta_e == (off.delta_e and pytest.approx(off.delta_e, rel=1e-9))
            told, wet = told + (off.delta_e is not None), wet + off.wetted
        looks = looks_of(one)
        assert list(findings.looks(id_)) == list(looks)
        for spot, look in looks.items():
            assert (findings.looks(id_)[spot].fill, findings.looks(id_)[spot].word) == (
                look.fill,
                look.word,
            )
    assert told > 200 and wet > 50


def test_each_is_worked_out_once(catalogue, measured, monkeypatch):
    without = compute(catalogue)
    without.compare_photos()
    assert all(without.differences(id_) == {} == without.looks(id_) for id_ in measured)
    findings = compute(catalogue, measured)
    findings.compare_photos()
    monkeypatch.delattr(against_module, "against_each")
    monkeypatch.delattr(looks_module, "looks_of_each")
    for id_ in measured:
        assert findings.differences(id_)
    assert sum(len(findings.looks(id_)) for id_ in measured) > 200
