"""From a catalogue to cached pictures: once, the same each time, and never stopped by one photo."""

from __future__ import annotations

import importlib
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from clearover.photos import develop as develop_module
from clearover.photos import opening
from clearover.photos.cache import Cache, Stamps
from clearover.photos.cache import prune as prune_names
from clearover.photos.develop import develop, prune
from clearover.records.catalogue import Catalogue
from clearover.records.models import Studio
from clearover.records.tile import Tile
from PIL import Image

CORNERS = [["40", "30"], ["600", "36"], ["590", "450"], ["50", "440"]]
Studio_ = Callable[..., Catalogue]


@pytest.fixture
def studio(tmp_path: Path, samples: Any) -> Studio_:
    """A catalogue of tiles, each with one photo made by `scene` unless bytes are given."""
    root = tmp_path / "combos"

    def build(tiles: dict[str, bytes | None], **photo: Any) -> Catalogue:
        found = {}
        for name, content in tiles.items():
            folder = root / "tiles" / name
            folder.mkdir(parents=True, exist_ok=True)
            path = folder / "front.jpg"
            if not path.exists():
                path.write_bytes(content or samples.jpeg_bytes(samples.scene()))
            os.utime(path, (1_700_000_000, 1_700_000_000))
            found[name] = Tile.model_validate(
                {
                    "@id": name,
                    "@file": f"combos/tiles/{name}/tile.yml",
                    "@rows": 2,
                    "@columns": 3,
                    "photos": [{"file": "front.jpg", "corners": CORNERS, **photo}],
                }
            )
        studio = Studio.model_validate({"@id": "studio", "@file": "combos/studio.yml", "name": "S"})
        return Catalogue(root, studio, tiles=found)

    return build


def pictures(cache: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted((cache / "pictures").iterdir())}


def test_what_a_tile_gets(studio: Studio_, tmp_path: Path) -> None:
    catalogue = studio({"one": None}, drawn="yes", caption="front")
    tiles, problems = develop(catalogue, tmp_path / "cache")
    assert problems == [] and list(tiles) == ["one"]
    photos = tiles["one"]
    (photo,) = photos.photos
    assert (photo.file, photo.drawn, photo.caption) == ("front.jpg", True, "front")
    assert [(image.width, image.height) for image in photo.sizes] == [(480, 360), (640, 480)]
    assert photo.corners is not None and photo.corners[0] == (40 / 640, 30 / 480)
    assert photos.sprite is not None and photos.straight is not None
    assert (photos.sprite.rows, photos.sprite.columns) == (2, 3)
    for image in (*photo.sizes, photos.sprite.image, photos.straight):
        assert image.name.startswith("one-") and image.path.name == image.name
        with Image.open(image.path) as file:
            assert file.size == (image.width, image.height)


def test_the_sprite_shows_the_right_part_of_the_photo(studio: Studio_, tmp_path: Path) -> None:
    """The scene's red and green are its x and y: each crop's mean tells where it was cut."""
    tiles, _ = develop(studio({"one": None}), tmp_path / "cache")
    sprite = tiles["one"].sprite
    assert sprite is not None
    with Image.open(sprite.image.path) as file:
        sheet = np.asarray(file.convert("RGB"), float)
    for row in range(2):
        for column in range(3):
            top, left = row * sprite.cell_height, column * sprite.cell_width
            crop = sheet[top : top + sprite.cell_height, left : left + sprite.cell_width]
            x, y = crop[..., 0].mean() / 255 * 640, crop[..., 1].mean() / 255 * 480
            assert abs(x - (45 + 550 * (column + 0.5) / 3)) < 8
            assert abs(y - (33 + 412 * (row + 0.5) / 2)) < 8


def test_without_corners_there_is_no_sprite(studio: Studio_, tmp_path: Path) -> None:
    tiles, problems = develop(studio({"one": None}, corners=None), tmp_path / "cache")
    assert not problems and tiles["one"].photos[0].corners is None
    assert tiles["one"].sprite is None and tiles["one"].straight is None


def test_two_caches_two_orders_the_same_bytes(studio: Studio_, tmp_path: Path) -> None:
    catalogue = studio(dict.fromkeys("abcde"))
    develop(catalogue, tmp_path / "one", jobs=1)
    develop(catalogue, tmp_path / "two", jobs=2)
    assert pictures(tmp_path / "one") == pictures(tmp_path / "two")
    assert len(pictures(tmp_path / "one")) == 5 * 4


def test_nothing_changed_opens_no_photo(
    studio: Studio_, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    catalogue, cache = studio({"one": None, "two": None}), tmp_path / "cache"
    first = develop(catalogue, cache)
    before = pictures(cache)
    opened: list[Path] = []
    real = Path.open
    monkeypatch.setattr(
        Path, "open", lambda self, *a, **k: opened.append(self) or real(self, *a, **k)
    )
    monkeypatch.setattr(develop_module, "process", lambda *a: pytest.fail("photo work was done"))
    assert develop(catalogue, cache) == first
    assert not [path for path in opened if path.suffix == ".jpg"]
    monkeypatch.undo()
    assert pictures(cache) == before


def test_a_changed_photo_is_made_again_and_only_that(studio: Studio_, tmp_path: Path) -> None:
    catalogue, cache = studio({"one": None, "two": None}), tmp_path / "cache"
    first, _ = develop(catalogue, cache)
    path = catalogue.photo_path(catalogue.tiles["one"], "front.jpg")
    with Image.open(path) as file:
        file.transpose(Image.Transpose.FLIP_LEFT_RIGHT).save(path)
    second, _ = develop(catalogue, cache)
    assert second["two"] == first["two"] and second["one"] != first["one"]
    assert prune(cache, second.values()) == 4
    assert develop(catalogue, cache)[0] == second


def test_new_corners_leave_the_web_sizes_as_they_are(studio: Studio_, tmp_path: Path) -> None:
    cache = tmp_path / "cache"
    first, _ = develop(studio({"one": None}), cache)
    other = [["50", "30"], *CORNERS[1:]]
    second, _ = develop(studio({"one": None}, corners=other), cache)
    assert second["one"].photos[0].sizes == first["one"].photos[0].sizes
    assert second["one"].sprite != first["one"].sprite


def test_a_new_caption_makes_nothing(
    studio: Studio_, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    develop(studio({"one": None}), tmp_path / "cache")
    monkeypatch.setattr(develop_module, "process", lambda *a: pytest.fail("photo work was done"))
    tiles, _ = develop(studio({"one": None}, caption="new"), tmp_path / "cache")
    assert tiles["one"].photos[0].caption == "new"


@pytest.mark.parametrize("damage", ["gone", "cut", "altered", "entry", "stamps", "rows"])
def test_a_damaged_cache_mends_itself(studio: Studio_, tmp_path: Path, damage: str) -> None:
    catalogue, cache = studio({"one": None}), tmp_path / "cache"
    first = develop(catalogue, cache)
    before = pictures(cache)
    victim = next((cache / "pictures").iterdir())
    if damage == "gone":
        victim.unlink()
    elif damage == "cut":
        victim.write_bytes(victim.read_bytes()[:-9])
    elif damage == "altered":
        victim.write_bytes(bytes(len(victim.read_bytes())))
    elif damage == "entry":
        for path in (cache / "entries").iterdir():
            path.write_text('{"pictures": [{"name": "../../../etc/passwd"}]}')
        (cache / "photos.jsonl").unlink()
    elif damage == "stamps":
        (cache / "stamps.json").write_text("[1")
    else:
        names = json.loads((cache / "stamps.json").read_text())
        (cache / "stamps.json").write_text(json.dumps(dict.fromkeys(names, 3)))
    assert develop(catalogue, cache) == first
    assert pictures(cache) == before


@pytest.mark.parametrize(
    "name", ["../../secret", "..", ".", "", "a/b", "\0", "/etc/passwd", 3, None]
)
def test_an_entry_cannot_point_outside_the_cache(tmp_path: Path, name: object) -> None:
    (tmp_path / "secret").write_text("x")
    cache = Cache(tmp_path / "cache")
    cache.keep("k", [])
    row = {"role": "web", "name": name, "width": 1, "height": 1, "sha256": "", "length": 1}
    (cache.entries / "k.json").write_text(json.dumps({"pictures": [row], "says": {}}))
    assert cache.find("k") is None


def test_bad_photos_are_told_and_stop_nothing(
    studio: Studio_, tmp_path: Path, samples: Any
) -> None:
    whole = samples.jpeg_bytes(samples.scene())
    catalogue = studio(
        {
            "cut": whole[:900],
            "good": None,
            "ink": samples.jpeg_bytes(samples.scene().convert("CMYK")),
            "small": samples.jpeg_bytes(samples.scene(500, 400)),
            "words": b"not a photo at all, only words",
        }
    )
    shutil.rmtree(tmp_path / "combos/tiles/good")
    studio({"good": None})
    tiles, problems = develop(catalogue, tmp_path / "cache", jobs=2)
    assert {(p.place.file.split("/")[2], p.rule) for p in problems} == {
        ("cut", "photo-truncated"),
        ("ink", "photo-colour-mode"),
        ("small", "corners-outside"),
        ("words", "photo-not-a-photo"),
    }
    assert tiles["good"].sprite and not tiles["cut"].photos
    assert tiles["small"].photos and not tiles["small"].sprite
    assert tiles["small"].photos[0].corners is None


def test_a_missing_photo_is_told(studio: Studio_, tmp_path: Path) -> None:
    catalogue = studio({"one": None})
    catalogue.photo_path(catalogue.tiles["one"], "front.jpg").unlink()
    tiles, problems = develop(catalogue, tmp_path / "cache")
    assert [p.found for p in problems] == ["no such file"] and not tiles["one"].photos


def test_private_data_never_reaches_a_page(studio: Studio_, tmp_path: Path, samples: Any) -> None:
    content = samples.jpeg_bytes(samples.scene(480, 640), exif=samples.gps_exif(6))
    tiles, problems = develop(studio({"one": content}), tmp_path / "cache")
    assert not problems and tiles["one"].photos[0].sizes[-1].width == 640
    for data in pictures(tmp_path / "cache").values():
        assert b"EXIF" not in data and b"SN-0001" not in data


def test_a_bad_profile_is_a_warning(studio: Studio_, tmp_path: Path, samples: Any) -> None:
    content = samples.jpeg_bytes(samples.scene(), icc_profile=b"nonsense" * 30)
    catalogue = studio({"one": content})
    for _ in range(2):  # the second time from the cache
        tiles, problems = develop(catalogue, tmp_path / "cache")
        assert [(p.rule, p.severity) for p in problems] == [("photo-profile-unusable", "warning")]
        assert tiles["one"].sprite


def test_a_decoder_that_crashes_takes_only_its_own_photo_along(
    studio: Studio_, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "crashing.py").write_text(
        "import os\nfrom clearover.photos import work\n\ndef process(job, folder):\n"
        "    if job.tile == 'b':\n        os._exit(11)\n    return work.process(job, folder)\n"
    )
    monkeypatch.syspath_prepend(tmp_path)
    monkeypatch.setattr(develop_module, "process", importlib.import_module("crashing").process)
    tiles, problems = develop(studio(dict.fromkeys("abcd")), tmp_path / "cache", jobs=2)
    assert [p.place.file for p in problems] == ["combos/tiles/b/front.jpg"]
    assert [name for name, photos in tiles.items() if photos.sprite] == ["a", "c", "d"]


def test_a_file_touched_a_moment_ago_is_not_trusted(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"one")
    stamps = Stamps(tmp_path)
    stamps.sha256(path)
    stamps.save()
    assert Stamps(tmp_path).known(path) is None
    os.utime(path, (1_700_000_000, 1_700_000_000))
    stamps = Stamps(tmp_path)
    first = stamps.sha256(path)
    stamps.save()
    assert Stamps(tmp_path).known(path) == first


def test_prune_keeps_what_is_named(studio: Studio_, tmp_path: Path) -> None:
    cache = tmp_path / "cache"
    tiles, _ = develop(studio({"one": None, "two": None}), cache)
    assert prune(cache, [tiles["one"]]) == 4
    assert all(name.startswith("one-") for name in pictures(cache))
    assert len(list((cache / "entries").iterdir())) == 3
    assert prune(cache, [tiles["one"]]) == 0


def test_prune_spares_what_was_made_just_now(studio: Studio_, tmp_path: Path) -> None:
    cache = tmp_path / "cache"
    tiles, _ = develop(studio({"one": None, "two": None}), cache)
    assert tiles["one"].straight is not None
    old = tiles["one"].straight.path
    os.utime(old, (1_700_000_000, 1_700_000_000))
    assert prune_names(cache, [], spare_s=3600) == 1 and not old.exists()
    left = len(list((cache / "entries").iterdir()))
    assert left == 4  # the one that needs it went along, and the measurement beside it
    assert prune_names(cache, []) == 7


def damaged(samples: Any) -> bytes:
    """A photo whose header is sound and whose picture is not: only decoding tells."""
    name, head, body = b"\x89PNG\r\n\x1a\n", samples.png_header(640, 480), b"no zlib stream at all"
    start = head.index(b"IDAT") - 4
    end = samples.png_chunk(b"IEND", b"")
    assert head.startswith(name)
    return bytes(head[:start] + samples.png_chunk(b"IDAT", body) + end)


def test_a_bad_photo_is_decoded_once(
    studio: Studio_, tmp_path: Path, samples: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    catalogue, cache = studio({"bad": damaged(samples), "good": None}), tmp_path / "cache"
    first = develop(catalogue, cache, jobs=1)
    assert [p.rule for p in first[1]] == ["photo-not-a-photo"]
    monkeypatch.setattr(opening, "open_photo", lambda *a: pytest.fail("a photo was decoded"))
    assert develop(catalogue, cache, jobs=1) == first
    path = catalogue.photo_path(catalogue.tiles["bad"], "front.jpg")
    os.utime(path, (1_600_000_000, 1_600_000_000))  # touched, not changed
    assert develop(catalogue, cache, jobs=1) == first
    monkeypatch.undo()
    path.write_bytes(samples.jpeg_bytes(samples.scene()))
    assert develop(catalogue, cache, jobs=1)[1] == []
    assert list((cache / "faults").iterdir())
    prune_names(cache, [])
    assert not list((cache / "faults").iterdir())


@pytest.mark.parametrize("error", [MemoryError(), OSError(5, "Input/output error")])
def test_what_another_try_may_open_is_tried_again(
    studio: Studio_, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def fails(*_: object) -> None:
        raise error

    catalogue, cache = studio({"one": None}), tmp_path / "cache"
    monkeypatch.setattr(opening, "_decode", fails)
    assert develop(catalogue, cache, jobs=1)[1]
    monkeypatch.undo()
    assert develop(catalogue, cache, jobs=1)[1] == []


def test_nothing_of_the_picture_library_is_loaded_without_photos() -> None:
    code = (
        "import sys, clearover.photos.develop, clearover.photos.check; "
        "sys.exit('PIL' in sys.modules or 'numpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
