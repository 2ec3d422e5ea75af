"""`clearover measure`: its numbers, its picture, and what an export makes of them."""

from __future__ import annotations

import csv
import json
import os

import numpy as np
import pytest
from PIL import Image

TILE = "hedge-bottom-two-clears"


def test_it_measures_and_says_so_in_json(here, photographed):
    told = json.loads(here("measure", TILE, "--json").stdout)
    assert told["tile"] == TILE and told["balance"]["by"] == "grey card"
    assert len(told["lines"]) == 6
    assert all(line["width_mm"] == pytest.approx(4.9, abs=0.3) for line in told["lines"])


def test_the_picture_shows_what_was_used(here, photographed):
    done = here("measure", TILE, "--picture", "used.png")
    assert done.returncode == 0, done.stderr
    with Image.open(photographed / "used.png") as file:
        assert file.format == "PNG"
        pixels = np.asarray(file.convert("RGB")).astype(int)
    tile = pixels[:220]
    assert (np.abs(tile - (40, 60, 90)).max(axis=2) < 12).mean() > 0.08  # lines as they are
    assert (tile.max(axis=2) == 0).any() and (tile.min(axis=2) == 255).any()  # their contours
    assert pixels.shape[0] > 300  # the legend below


@pytest.mark.parametrize(
    ("name", "said"), [("used.jpg", ".png"), (f"combos/tiles/{TILE}/x.png", "among the records")]
)
def test_no_photo_is_ever_written_over(here, photographed, name, said):
    done = here("measure", TILE, "--picture", name)
    assert done.returncode == 2 and said in done.stderr
    assert not (photographed / name).exists()


def test_a_tile_without_a_photo_says_what_is_missing(here, studio):
    done = here("measure", TILE)
    assert done.returncode == 2 and "it has no photo" in done.stderr


def table(studio):
    text = (studio / "data/cells.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    return [row for row in rows if row["tile"] == TILE]


def test_an_export_tells_of_photos_that_nobody_measured(here, photographed):
    done = here("export", "data")
    assert "not measured yet" in done.stderr
    assert {row["measured_status"] for row in table(photographed)} == {""}


def test_an_export_reads_what_the_build_measured(here, photographed):
    from clearover.catalogue import read
    from clearover.photos.develop import develop

    photo = photographed / f"combos/tiles/{TILE}/front.jpg"
    os.utime(photo, (1_700_000_000, 1_700_000_000))
    develop(read(photographed / "combos"), photographed / "kept", jobs=1)
    done = here("export", "data", "--cache", "kept")
    assert done.returncode == 0 and "not measured yet" not in done.stderr
    rows = table(photographed)
    assert all(row["measured_status"].startswith("measured") for row in rows)
    assert all(row["lab_l"] == "" for row in rows)  # a line has a width, not a colour
    whole = json.loads((photographed / "data/catalogue.json").read_text(encoding="utf-8"))
    measured = {tile["id"]: tile["measured"] for tile in whole["tiles"]}
    said = json.loads(here("measure", TILE, "--json").stdout)
    assert measured[TILE] == {name: said[name] for name in said if name != "clearover"}
    assert measured["layered"] is None
