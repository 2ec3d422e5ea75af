"""`clearover clean-photo`: private data goes, the photo stays, and it says what it did."""

from __future__ import annotations

import json

import pytest
from PIL import Image

PLACE = 0x8825  # EXIF 2.32 (CIPA DC-008-2019): pointer to the GPS directory
ARTIST = 0x013B


@pytest.fixture
def photo(studio):
    """A photo that knows where it was taken and by whom."""
    path = studio / "front.jpg"
    exif = Image.Exif()
    exif[ARTIST] = "Rowan Ashe"
    exif.get_ifd(PLACE).update({1: "N", 2: (51.0, 2.0, 3.0)})
    Image.effect_mandelbrot((600, 400), (-2, -1, 1, 1), 50).convert("RGB").save(path, exif=exif)
    assert b"Rowan Ashe" in path.read_bytes()
    return path


def test_in_place(run, photo):
    before = Image.open(photo).tobytes()
    done = run("clean-photo", "front.jpg")
    assert done.returncode == 0, done.stderr
    assert "front.jpg: cleaned; taken out: " in done.stdout
    assert b"Rowan Ashe" not in photo.read_bytes()
    assert Image.open(photo).getexif().get_ifd(PLACE) == {}
    assert Image.open(photo).tobytes() == before


def test_into_another_folder(run, studio, photo):
    before = photo.read_bytes()
    done = run("clean-photo", "front.jpg", "--into", "clean", "--json")
    told = json.loads(done.stdout)
    assert told["cleaned"][0]["file"] == "clean/front.jpg"
    assert told["cleaned"][0]["removed"]
    assert photo.read_bytes() == before
    assert b"Rowan Ashe" not in (studio / "clean/front.jpg").read_bytes()


def test_what_is_no_photo_is_told_and_the_rest_is_cleaned(run, studio, photo):
    (studio / "letter.jpg").write_text("Dear studio", encoding="utf-8")
    done = run("clean-photo", "letter.jpg", "front.jpg")
    assert done.returncode == 1
    assert done.stderr.startswith("letter.jpg: not cleaned: ")
    assert "    fix: " in done.stderr
    assert "front.jpg: cleaned" in done.stdout
    assert (studio / "letter.jpg").read_text(encoding="utf-8") == "Dear studio"


def test_a_missing_file_is_wrong_use(run, photo):
    done = run("clean-photo", "front.jpg", "elsewhere.jpg")
    assert done.returncode == 2
    assert b"Rowan Ashe" in photo.read_bytes()


def test_two_of_one_name_do_not_meet_in_one_folder(run, studio, photo):
    (studio / "other").mkdir()
    (studio / "other/front.jpg").write_bytes(photo.read_bytes())
    done = run("clean-photo", "front.jpg", "other/front.jpg", "--into", "clean")
    assert done.returncode == 2
    assert not (studio / "clean").exists()


@pytest.fixture
def heic(studio):
    """A phone's photo: HEIC, with the place it was taken at."""
    pillow_heif = pytest.importorskip("pillow_heif")
    exif = Image.Exif()
    exif.get_ifd(PLACE).update({1: "N", 2: (51.0, 2.0, 3.0)})
    picture = Image.effect_mandelbrot((400, 320), (-2, -1, 1, 1), 50).convert("RGB")
    made = pillow_heif.from_pillow(picture)
    made.save(studio / "phone.heic", exif=exif.tobytes(), enc_params={"preset": "ultrafast"})
    return studio / "phone.heic"


def test_heic_becomes_a_jpeg_beside_it(run, studio, heic):
    before = heic.read_bytes()
    done = run("clean-photo", "phone.heic")
    assert done.returncode == 0, done.stderr
    assert "phone.jpg: cleaned; taken out: where it was taken (GPS)" in done.stdout
    assert "name phone.jpg in the record, and delete phone.heic" in done.stdout
    assert heic.read_bytes() == before
    with Image.open(studio / "phone.jpg") as made:
        assert made.format == "JPEG" and made.size == (400, 320) and not made.getexif()


def test_heic_takes_no_other_photos_place(run, studio, heic, photo):
    photo.rename(studio / "phone.jpg")
    before = (studio / "phone.jpg").read_bytes()
    done = run("clean-photo", "phone.heic")
    assert done.returncode == 1 and "phone.jpg is there already" in done.stderr
    assert (studio / "phone.jpg").read_bytes() == before
    both = run("clean-photo", "phone.heic", "phone.jpg", "--into", "clean", "--json")
    assert both.returncode == 1 and "is there already" in both.stderr
    (told,) = json.loads(both.stdout)["cleaned"]
    assert (told["file"], told["from"]) == ("clean/phone.jpg", "phone.heic")
