"""Files made broken in code get exactly their problems, and nothing hangs or falls over."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from broken_studio import lay_out, place_of
from clearover.catalogue import read
from made import CASES, Made


@pytest.mark.parametrize("made", CASES, ids=lambda made: made.name)
def test_a_broken_file_gets_exactly_its_problems(made: Made, tmp_path: Path) -> None:
    combos = lay_out(tmp_path)
    made.spoil(combos)
    problems = read(combos).problems
    found = sorted((place_of(p), p.rule) for p in problems)
    assert found == sorted((at, rule) for at, rule, _ in made.wanted)
    for at, rule, says in made.wanted:
        assert any(says in p.message for p in problems if (place_of(p), p.rule) == (at, rule)), (
            problems
        )


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may read everything")
def test_a_file_nobody_may_read(tmp_path: Path) -> None:
    combos = lay_out(tmp_path)
    (combos / "clears/ferry-glass.yml").chmod(0)
    (problem,) = [p for p in read(combos).problems if p.rule == "file-unreadable"]
    assert problem.place.file == "combos/clears/ferry-glass.yml"


def test_a_file_that_vanishes_or_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    combos = lay_out(tmp_path)
    real = Path.open

    def refuse(path: Path, *args: object, **options: object) -> object:
        if path.name == "ferry-glass.yml":
            raise PermissionError(13, "Permission denied")
        return real(path, *args, **options)

    monkeypatch.setattr(Path, "open", refuse)
    assert [(place_of(p), p.rule) for p in read(combos).problems] == [
        ("clears/ferry-glass.yml:1:1", "file-unreadable")
    ]


def test_no_folder_at_all(tmp_path: Path) -> None:
    catalogue = read(tmp_path / "nothing")
    assert [p.rule for p in catalogue.problems] == ["studio-missing"]
    assert not catalogue.tiles


def test_a_file_for_a_catalogue(tmp_path: Path) -> None:
    (tmp_path / "combos").write_text("name: x\n", "utf-8")
    assert [p.rule for p in read(tmp_path / "combos").problems] == ["studio-missing"]


def test_brackets_without_end_are_too_deep(tmp_path: Path) -> None:
    combos = lay_out(tmp_path)
    (combos / "underglazes/brick-dust.yml").write_text("name: " + "[" * 100_000)
    assert [p.rule for p in read(combos).problems] == ["too-deep"]
