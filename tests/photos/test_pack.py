"""One line a photo spares opening its entries, and is never trusted further than they are."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from clearover.photos import develop as develop_module
from clearover.photos.develop import develop, kept_measurements
from clearover.photos.pack import Pack
from clearover.records.catalogue import Catalogue
from clearover.records.models import Studio
from clearover.records.tile import Cell, Tile
from PIL import Image

KEY, OTHER = "a" * 64, "b" * 64
CORNERS = [["40", "30"], ["600", "36"], ["590", "450"], ["50", "440"]]
CARD = [["560", "400"], ["620", "400"], ["620", "460"], ["560", "460"]]
Studio_ = Callable[..., Catalogue]


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of two photos and the cache that a build left."""
    root = tmp_path_factory.mktemp("built")
    for name in ("one", "two"):
        path = root / "combos/tiles" / name / "front.jpg"
        path.parent.mkdir(parents=True)
        Image.new("RGB", (640, 480), (150, 140, 130)).save(path)
    develop(catalogue(root), root / "cache", jobs=1)
    return root


@pytest.fixture
def copy(built: Path, tmp_path: Path) -> Path:
    """The same, free to change; its photos are known by their stamps."""
    shutil.copytree(built, tmp_path, dirs_exist_ok=True)
    for path in tmp_path.rglob("*"):
        if path.suffix in (".jpg", ".webp"):
            os.utime(path, (1_700_000_000, 1_700_000_000))
    develop(catalogue(tmp_path), tmp_path / "cache", jobs=1)
    return tmp_path


def catalogue(root: Path, *names: str) -> Catalogue:
    tiles = {
        name: Tile.model_validate(
            {
                "@id": name,
                "@file": f"combos/tiles/{name}/tile.yml",
                "@rows": 1,
                "@columns": 2,
                "@cells": [Cell(1, 1, {}), Cell(1, 2, {})],
                "photos": [{"file": "front.jpg", "corners": CORNERS, "grey card": CARD}],
            }
        )
        for name in names or ("one", "two")
    }
    studio = Studio.model_validate({"@id": "studio", "@file": "combos/studio.yml", "name": "S"})
    return Catalogue(root / "combos", studio, tiles=tiles)


def test_a_build_with_nothing_new_opens_no_entry(
    copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cache, known = copy / "cache", catalogue(copy)
    first, pack = develop(known, cache), (cache / "photos.jsonl").read_bytes()
    assert first[0]["one"].measured is not None and pack.count(b"\n") == 2
    shutil.rmtree(cache / "entries")
    monkeypatch.setattr(develop_module, "process", lambda *_: pytest.fail("photo work was done"))
    monkeypatch.setattr(Pack, "keep", lambda *_: pytest.fail("a line was written"))
    assert develop(known, cache) == first
    assert kept_measurements(known, cache) == {id_: one.measured for id_, one in first[0].items()}
    assert (cache / "photos.jsonl").read_bytes() == pack


def hostile(line: str) -> str:
    key, told = json.loads(line)
    for row in told["web"]["pictures"]:
        row["name"] = "../../combos/tiles/one/front.jpg"
    return json.dumps([key, told])


def other_bytes(line: str) -> str:
    key, told = json.loads(line)
    told["grid"]["pictures"][0]["sha256"] = "0" * 64
    return json.dumps([key, told])


def not_all(line: str) -> str:
    key, told = json.loads(line)
    del told["measured"]
    return json.dumps([key, told])


@pytest.mark.parametrize(
    "damage",
    [
        hostile,
        other_bytes,
        not_all,
        lambda line: line[:-40],
        lambda line: line[:67] + "[" * 100_000 + "]",
        lambda line: line[:68] + "null]",
        lambda line: line[:68] + '{"web": 3, "says": []}]',
        lambda line: "",
        lambda line: "\udcff",
    ],
)
def test_a_damaged_line_is_not_believed(copy: Path, damage: Callable[[str], str]) -> None:
    cache, known = copy / "cache", catalogue(copy)
    first, pack = develop(known, cache), cache / "photos.jsonl"
    sound = pack.read_text().splitlines()
    lines = [damage(line) for line in sound]
    pack.write_bytes("\n".join([*lines, ""]).encode("utf-8", "surrogateescape"))
    assert develop(known, cache) == first
    assert sorted(pack.read_text().splitlines()) == sorted(sound)  # mended


def test_lines_of_photos_no_longer_used_go(copy: Path) -> None:
    cache = copy / "cache"
    develop(catalogue(copy, "one"), cache)
    (line,) = (cache / "photos.jsonl").read_text().splitlines()
    assert json.loads(line)[1]["says"]["tile"] == "one"
    develop(catalogue(copy), cache)
    assert len((cache / "photos.jsonl").read_text().splitlines()) == 2


def test_builds_at_once_drop_lines_and_never_mix_them(tmp_path: Path) -> None:
    one, other = Pack(tmp_path), Pack(tmp_path)
    one.keep(KEY, {"web": 1})
    other.keep(OTHER, {"web": 2})
    one.save()
    other.save()
    found = Pack(tmp_path)
    assert found.find(KEY) is None and found.find(OTHER) == {"web": 2}
    late = Pack(tmp_path)
    late.use(OTHER)
    one.save()  # meanwhile another wrote
    late.keep("c" * 64, {"web": 3})
    late.save()
    assert [Pack(tmp_path).find(key) for key in (KEY, OTHER, "c" * 64)] == [None, None, {"web": 3}]
