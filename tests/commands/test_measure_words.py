"""What a terminal says of a measured tile: plain sentences, each once."""

from __future__ import annotations

import pytest
from clearover.commands.measure_words import in_words

CELL = {
    "where": {"underglaze": "dune", "clear": "brook", "clear_coats": 2},
    "row": 1,
    "column": 1,
    "lab": [52.4, -0.3, 20.0],
    "colour_word": "green",
    "delta_e_to_true": 2.4,
    "seen_as": "clear",
    "changes": ["browner", "darker"],
    "approximate": False,
    "wetting_allowed_for": False,
    "true_is": {"tile": "bare", "row": 1, "column": 1},
    "true_reason": None,
    "contrast_ratio": None,
    "haze": None,
    "pinholes_per_cm2": None,
    "bubbles_per_cm2": None,
    "status": "measured",
}
LINE = {
    "where": {"underglaze": "dune", "line": "thick", "clear": "none"},
    "row": 2,
    "column": 1,
    "width_mm": 4.52,
    "kind": "dragged",
    "drag_mm": 3.31,
    "drag_low_mm": 2.6,
    "drag_high_mm": 4.0,
    "limit_mm": 0.2,
    "status": "measured",
    "note": "",
}
BALANCE = {
    "by": "grey card",
    "reflectance": 0.18,
    "assumed": True,
    "error_delta_e": None,
    "evened_by": ["the backdrop", "the grey card"],
    "light_ratio": 1.23,
    "reason": None,
    "doubt": None,
}


def said(cells=(), lines=(), notes=(), helps=None, noise=1.3, **balance):
    report = {"tile": "t", "photo": "p.jpg", "notes": list(notes), "noise_delta_e": noise}
    report |= {"balance": BALANCE | balance, "cells": list(cells), "lines": list(lines)}
    return list(in_words({**report, "would_help": helps or {}}))


def row(**changes):
    return next(line for line in said([CELL | changes]) if line.startswith("  row"))


def test_the_balance_in_sentences():
    told = said()[2]
    assert "18 % reflectance (assumed; the record does not say)" in told
    assert "1.2 to 1 over the grid, was evened by the backdrop and the grey card" in told
    assert told.endswith("Colours nearer than ΔE 1.3 are not told apart.")
    assert "it was not evened." in said(evened_by=[], noise=None)[2]
    assert said(by=None, reason="no card")[2] == "Colours not measured: no card."
    assert (
        "colour chart (a patch it has not seen is off by ΔE 2.5)"
        in (said(by="chart", reflectance=None, error_delta_e=2.5)[2])
    )


def test_doubts_notes_and_help_are_told():
    told = said(doubt="the card lies askew", notes=["the tile is curved"], helps={"glare": "Turn."})
    assert told[3:5] == ["Doubt: the card lies askew.", "Note: the tile is curved."]
    assert told[-2:] == ["What would help:", "  glare: Turn."]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, "clearly browner and darker than true (ΔE 2.4)"),
        ({"seen_as": "slight"}, "slightly browner and darker than true (ΔE 2.4)"),
        ({"seen_as": "slight", "changes": []}, "slightly different from true (ΔE 2.4)"),
        ({"seen_as": "no visible difference"}, "as true (ΔE 2.4)"),
        (
            {"seen_as": "different colour", "approximate": True},
            "a different colour than true, browner and darker (ΔE about 2.4)",
        ),
        ({"delta_e_to_true": None, "true_reason": "nobody has agreed"}, "nobody has agreed"),
    ],
)
def test_a_difference_in_words(changes, words):
    assert row(**changes).endswith(f"green (L* 52, a* 0, b* 20); {words}")


def test_another_photo_is_told_once():
    cells = [CELL | {"approximate": True, "column": n, "wetting_allowed_for": True} for n in (1, 2)]
    told = said(cells)
    assert sum("True is what bare shows: another photo" in line for line in told) == 1
    assert sum("wetting" in line for line in told) == 1


def test_the_surface_is_told_where_something_shows():
    skin = {"haze": 0.12, "pinholes_per_cm2": 1.25, "bubbles_per_cm2": 0.0}
    assert row(**skin).endswith("(ΔE 2.4); a veil of 12 %; 1.2 pinholes a cm²")
    assert row(haze=0.04, pinholes_per_cm2=0.0).endswith("(ΔE 2.4)")


def test_a_doubted_colour_has_no_word():
    assert "a colour in doubt (L* 52, a* 0, b* 20)" in row(colour_word=None)


def test_without_a_card_the_reason_is_told_once():
    lost = {"lab": None, "status": "not measured: no card"}
    cells = [CELL | lost, CELL | lost | {"column": 2, "status": "not measured: glare covers it"}]
    told = said(cells, [LINE], by=None, reason="no card")
    assert [line for line in told if "no card" in line] == ["Colours not measured: no card."]
    assert sum(line.startswith("  row") for line in told) == 2


def test_a_cell_is_named_by_what_differs():
    other = {"where": {**CELL["where"], "clear": "none", "clear_coats": 1}, "column": 2}
    one, two = (line for line in said([CELL, CELL | other]) if line.startswith("  row"))
    assert one.startswith("  row 1, column 1, brook, 2 clear coats: ")
    assert two.startswith("  row 1, column 2, no clear, 1 clear coat: ")


def test_cover_with_its_range_and_coats():
    cover = {
        "contrast_ratio": 0.91,
        "contrast_ratio_low": 0.84,
        "contrast_ratio_high": 0.974,
        "hides": "not wholly",
        "coats_to_hide": 4,
        "coats_to_hide_low": 2,
        "coats_to_hide_high": None,
    }
    assert row(**cover).endswith(
        "hides 91 % of its ground (84 to 97 %): not wholly, 4 coats would hide it (2 to more)"
    )
    sure = cover | {"coats_to_hide_low": 4, "coats_to_hide_high": 4}
    assert row(**sure).endswith("4 coats would hide it")
    assert row(**cover | {"coats_to_hide": None}).endswith("not wholly")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, "4.5 mm wide, dragged by 3.3 mm (2.6 to 4.0)"),
        ({"drag_mm": 0.1, "kind": "crisp"}, "4.5 mm wide, crisp, no drag seen (less than 0.2 mm)"),
        (
            {
                "drag_mm": None,
                "kind": "crisp",
                "status": "measured, but no drag: a flat tile has no drag",
            },
            "4.5 mm wide, crisp; a flat tile has no drag",
        ),
        ({"width_mm": None, "status": "not measured: glare"}, "not measured: glare"),
    ],
)
def test_a_line_in_words(changes, words):
    told = next(line for line in said(lines=[LINE | changes]) if line.startswith("  row"))
    assert told == f"  row 2, column 1: {words}"
