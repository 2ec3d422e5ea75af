"""From any data to a record or to problems: never an exception."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from clearover.records import words
from clearover.records.building import build, keys_of
from clearover.records.faults import Faults, worded
from clearover.records.loading import KINDS
from clearover.records.models import Record, Studio
from clearover.records.tile import Photo, Tile
from hypothesis import given, settings
from hypothesis import strategies as st

WORDS = st.sampled_from(
    [
        *("", " ", ".", "none", "unknown", "05", "5½", "5..6", "6..05", "0", "1", "2", "²", "-1"),
        *("true", "shifted brown", "shifted", "hazy and bubbled", "clean and hazy", "dragged"),
        *("2026-03-12", "2026-02-30", "0000-00-00", "hedge-bottom", "Hedge", "brush", "dip 3 s"),
        *("bisque 04", "bisque x", "9" * 5000, "{found}", "yes", "in use", "green", "1.5", "[key]"),
        *words.FACTORS,
    ]
)
KEYS = st.sampled_from(
    [
        *sorted({key for kind in (*KINDS, Studio, Photo) for key in keys_of(kind)}),
        *(*words.FACTORS, *words.PROPERTIES, "row", "column", "where", "is", "all others", "by"),
        *("05", "5.5", "5½", "top", "", " name", "@id", "@cells", "[key]", "half", "none"),
    ]
)
JUNK = st.recursive(
    WORDS | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4),
    max_leaves=12,
)
FACTORS = st.dictionaries(st.sampled_from(words.FACTORS), st.lists(WORDS, max_size=3), max_size=3)
ENTRY = st.fixed_dictionaries({"where": FACTORS, "is": WORDS}) | st.fixed_dictionaries(
    {"all others": WORDS}
)
VERDICTS = WORDS | st.lists(WORDS | st.lists(WORDS, max_size=3) | ENTRY, max_size=3)
LIKE_A_TILE = st.fixed_dictionaries(
    {"across": FACTORS | JUNK, "all": JUNK},
    optional={
        "down": FACTORS | JUNK,
        "missing cells": st.lists(st.lists(WORDS, max_size=3), max_size=3) | JUNK,
        "stacks": st.dictionaries(WORDS, st.lists(WORDS, max_size=2) | JUNK, max_size=2),
        "mixes": st.dictionaries(WORDS, st.dictionaries(WORDS, WORDS, max_size=2), max_size=2),
        "photos": st.lists(st.dictionaries(KEYS, JUNK, max_size=3), max_size=2) | JUNK,
        "judged": st.lists(
            st.dictionaries(st.sampled_from([*words.PROPERTIES, "on", "by"]), VERDICTS | JUNK),
            max_size=2,
        )
        | JUNK,
        "firings": JUNK,
        "made": JUNK,
        "cone": JUNK,
    },
)


def _build(model: type[Record], data: dict[str, Any]) -> None:
    faults = Faults()
    record = build(model, data, "some-id", "f.yml", faults)
    assert record is not None or faults.found
    for problem in worded(faults, "", "f.yml"):
        assert problem.message and problem.remedy and "\n" not in problem.message


@settings(max_examples=80, deadline=None)
@given(LIKE_A_TILE)
def test_anything_like_a_tile_is_built_or_told(data: dict[str, Any]) -> None:
    _build(Tile, data)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from([*KINDS, Studio]), st.dictionaries(KEYS, JUNK, max_size=8))
def test_any_structure_is_built_or_told(model: type[Record], data: dict[str, Any]) -> None:
    _build(model, data)


@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_known_keys_with_junk(data: st.DataObject) -> None:
    model = data.draw(st.sampled_from([*KINDS, Studio]))
    known = st.sampled_from(keys_of(model))
    _build(model, data.draw(st.dictionaries(known, JUNK, max_size=8)))


@settings(max_examples=40, deadline=None)
@given(st.binary(max_size=300))
def test_random_bytes_as_a_record_never_raise(data: bytes) -> None:
    # Not tmp_path: hypothesis runs the body many times in one test.
    import tempfile

    from clearover.catalogue import read

    with tempfile.TemporaryDirectory() as folder:
        combos = Path(folder) / "combos"
        for name in ("studio.yml", "clears/one.yml", "tiles/two/tile.yml", "firings/three.yml"):
            (combos / name).parent.mkdir(parents=True, exist_ok=True)
            (combos / name).write_bytes(data)
        assert read(combos).problems


def test_what_can_be_read_of_a_broken_record_is_kept_for_the_checks() -> None:
    faults = Faults()
    data = {"made": "12/3/26", "mark": "7", "all": {"underglaze": "a", "clear": "b"}, "hue": "x"}
    tile = build(Tile, data, "t", "t.yml", faults)
    assert isinstance(tile, Tile) and tile.mark == "7" and tile.made is None
    assert [rule for _, rule, _ in faults.found] == ["unknown-key", "date-wanted"]


@pytest.mark.parametrize("model", [*KINDS, Studio], ids=lambda model: model.kind)
def test_an_empty_record_lacks_something(model: type[Record]) -> None:
    faults = Faults()
    build(model, {}, "x", "x.yml", faults)
    assert faults.found
    assert {rule for _, rule, _ in faults.found} <= {"missing-key", "factor-missing"}
