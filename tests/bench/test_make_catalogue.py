"""The benchmarks' own catalogue: sound, as large as asked, the same every time."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from clearover.catalogue import read

HERE = Path(__file__).parent


def make(folder: Path, *words: str) -> Path:
    subprocess.run(
        [sys.executable, str(HERE / "make_catalogue.py"), "30", str(folder), *words], check=True
    )
    return folder


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return make(tmp_path_factory.mktemp("made") / "combos")


def test_it_is_sound_and_as_large_as_asked(made):
    catalogue = read(made)
    assert catalogue.errors == ()
    assert (len(catalogue.tiles), len(catalogue.underglazes)) == (30, 250)
    assert len(catalogue.clears) == 33
    assert min(len(tile.cells) for tile in catalogue.tiles.values()) >= 3


def test_it_is_the_same_every_time(made, tmp_path):
    again = make(tmp_path / "combos")
    files = sorted(path.relative_to(made) for path in made.rglob("*.yml"))
    assert files == sorted(path.relative_to(again) for path in again.rglob("*.yml"))
    assert all((made / file).read_bytes() == (again / file).read_bytes() for file in files)


def test_colours_and_clears_may_be_fewer(tmp_path):
    catalogue = read(make(tmp_path / "combos", "--underglazes", "12", "--clears", "7"))
    assert (len(catalogue.underglazes), len(catalogue.clears)) == (12, 7)


def test_a_folder_in_use_is_left_alone(made):
    words = [sys.executable, str(HERE / "make_catalogue.py"), "3", str(made)]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "not empty" in done.stderr
