"""Saving a clean copy in the browser: the same bytes as the command, and honest words about it."""

from __future__ import annotations

import base64
import io
import json
import random
import struct
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from clearover.photos import private
from clearover.photos.check import check_photo
from clearover.photos.clean import clean_photo
from clearover.photos.results import PhotoRefused
from PIL import Image, ImageCms

pytestmark = pytest.mark.browser

SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
CLEAN = """(files) => files.map((file) => {
  const done = window.clearoverClean.clean(Uint8Array.from(atob(file), (c) => c.charCodeAt(0)));
  if (!done.pieces) return { fault: done.fault };
  let text = "";
  done.pieces.forEach((piece) => piece.forEach((b) => { text += String.fromCharCode(b); }));
  return { bytes: btoa(text), removed: done.removed };
})"""


def picture(size: tuple[int, int] = (640, 480)) -> Image.Image:
    y, x = np.mgrid[0 : size[1], 0 : size[0]]
    grain = np.random.default_rng(1).normal(0, 6, (size[1], size[0], 3))
    tone = np.stack([x % 256, y % 256, (x + y) % 256], -1) + grain
    return Image.fromarray(tone.clip(0, 255).astype(np.uint8))


def phone_exif(orientation: int = 1) -> bytes:
    """What a phone writes: place, serial number, owner, maker's notes."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = "Invented Phones"
    exif[0x013B] = "A. Potter"
    exif.get_ifd(0x8825).update({0: b"\x02\x03\x00\x00", 1: "N", 2: (51.0, 30.0, 12.5)})
    exif.get_ifd(0x8769).update({0xA431: "SN-0001", 0x927C: b"maker's own notes"})
    return exif.tobytes()


def saved(form: str, of: Image.Image | None = None, **options: Any) -> bytes:
    target = io.BytesIO()
    (of or picture()).save(target, form, **options)
    return target.getvalue()


def block(marker: int, content: bytes) -> bytes:
    return b"\xff" + bytes([marker]) + struct.pack(">H", len(content) + 2) + content


def chunk(name: bytes, content: bytes) -> bytes:
    crc = struct.pack(">I", zlib.crc32(name + content))
    return struct.pack(">I", len(content)) + name + content + crc


def phone_jpeg(orientation: int = 1, **options: Any) -> bytes:
    given = {"exif": phone_exif(orientation), "icc_profile": SRGB, "comment": b"mine", **options}
    return saved("JPEG", quality=90, **given)


def between_scans() -> bytes:
    whole = saved("JPEG", progressive=True)
    at = whole.rfind(b"\xff\xda")
    return whole[:at] + block(0xE1, b"a secret here") + whole[at:]


def thumbnailed() -> bytes:
    whole = saved("JPEG")
    at = whole.index(b"JFIF") - 4
    return (
        whole[:at]
        + block(0xE0, b"JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x01\x01abc")
        + whole[at + 18 :]
    )


def traps() -> dict[str, bytes]:
    """Photos by name, each with something of its own to take out, or with nothing."""
    plain, png = saved("JPEG"), saved("PNG", icc_profile=SRGB)
    made = {f"turned-{turn}.jpg": phone_jpeg(turn) for turn in range(1, 9)}
    made |= {
        "plain.jpg": plain,
        "grey.jpg": saved("JPEG", picture().convert("L"), exif=phone_exif(6)),
        "progressive.jpg": phone_jpeg(3, progressive=True),
        "between.jpg": between_scans(),
        "thumbnail.jpg": thumbnailed(),
        "behind.jpg": plain + phone_jpeg(),
        "further.jpg": plain[:2] + block(0xE2, b"MPF\x00") + plain[2:] + plain,
        "filled.jpg": plain[:2] + b"\xff\xff\xff" + block(0xFE, b"a note") + b"\xff" + plain[2:],
        "adobe.jpg": plain[:2] + block(0xEE, b"Adobe\x00d\x00\x00\x00\x00\x01") + plain[2:],
        "photoshop.jpg": plain[:2]
        + block(0xED, b"Photoshop 3.0\x008BIM\x04\x04\x00\x00\x00\x00\x00\x02ab")
        + plain[2:],
        "plain.png": png,
        "phone.png": saved("PNG", exif=phone_exif(8), icc_profile=SRGB) + b"more",
        "text.png": png[:33] + chunk(b"tEXt", b"Author\x00A. Potter") + png[33:],
        "plain.webp": saved("WEBP"),
        "phone.webp": saved("WEBP", exif=phone_exif(6), icc_profile=SRGB, xmp=b"<x>City</x>"),
        "exact.webp": saved("WEBP", lossless=True, exif=phone_exif(1)),
    }
    return made


@pytest.fixture
def clean_in_browser(opened: Any) -> Callable[[list[bytes]], list[dict[str, Any]]]:
    """The page's own byte work on many files at once: `{bytes, removed}` or `{fault}` for each."""
    page = opened()

    def run(files: list[bytes]) -> list[dict[str, Any]]:
        found = page.evaluate(CLEAN, [base64.b64encode(file).decode() for file in files])
        for one in found:
            if "bytes" in one:
                one["bytes"] = base64.b64decode(one["bytes"])
        assert isinstance(found, list)
        return found

    return run


def by_command(folder: Path, content: bytes) -> bytes | None:
    """The clean file as the command writes it; None where it refuses."""
    source, target = folder / "source", folder / "target"
    source.write_bytes(content)
    try:
        clean_photo(source, target)
    except PhotoRefused:
        return None
    return target.read_bytes()


@pytest.mark.filterwarnings("ignore:Image appears to be a malformed MPO")
def test_the_same_bytes_as_the_command(clean_in_browser: Any, tmp_path: Path) -> None:
    files = traps()
    for (name, content), done in zip(
        files.items(), clean_in_browser([*files.values()]), strict=True
    ):
        assert done.get("bytes") == by_command(tmp_path, content), name
        (tmp_path / name).write_bytes(done["bytes"])
        assert check_photo(tmp_path / name) == [], name
        with Image.open(io.BytesIO(content)) as before, Image.open(tmp_path / name) as after:
            assert np.array_equal(np.asarray(before), np.asarray(after)), name
            assert before.info.get("icc_profile") == after.info.get("icc_profile"), name
            assert before.getexif().get(0x0112, 1) == after.getexif().get(0x0112, 1), name
        (tmp_path / "source").write_bytes(content)
        assert bool(done["removed"]) == (not name.startswith(("plain", "adobe"))), name


def test_every_private_tag_is_told(clean_in_browser: Any) -> None:
    """What the check refuses the page never calls clean: each row of the check's own table."""
    rows, files = private.table(), []
    for row in rows:
        if row.where == "xmp":
            content = private.XMP_STARTS[0] + f"<x {row.tag}='1'>{row.tag}</x>".encode()
            assert private.in_xmp(content)
        else:
            content = private.EXIF_START + tiff_with(row.where, row.tag)
            assert row.says in private.in_exif(content)[1]
        files.append(saved("JPEG", picture((320, 320)))[:2] + block(0xE1, content))
        files[-1] += saved("JPEG", picture((320, 320)))[2:]
    for row, done in zip(rows, clean_in_browser(files), strict=True):
        told = set(done["removed"]) - {"the camera’s settings and the time"}
        assert told - ({"notes of a picture program"} if row.where == "xmp" else set()), row
        assert ("where it was taken" in told) == ("where" in row.says), row


def tiff_with(where: str, tag: str) -> bytes:
    """A TIFF block, low byte first, with this one tag in its directory."""
    number = 0x0002 if tag == "*" else int(tag, 16)
    value = struct.pack("<HHI", number, 7, 24) + struct.pack("<I", 100)
    one = struct.pack("<H", 1) + value
    pointer = {"exif": 0x8769, "gps": 0x8825}.get(where)
    if where == "main":
        body = one + bytes(4)
    elif where == "thumbnail":
        body = struct.pack("<HI", 0, 14) + one + bytes(4)
    else:
        assert pointer is not None
        body = struct.pack("<HHHII", 1, pointer, 4, 1, 26) + bytes(4) + one + bytes(4)
    return (b"II*\x00" + struct.pack("<I", 8) + body).ljust(100, b"\x00") + b"x" * 24


def test_damaged_files_are_judged_as_the_command_does(
    clean_in_browser: Any, tmp_path: Path
) -> None:
    """Cut anywhere, bytes changed anywhere: the same bytes or a refusal from both."""
    dice, small = random.Random(11), picture((48, 40))
    wholes = [
        saved("JPEG", small, exif=phone_exif(6), progressive=True),
        saved("PNG", small, exif=phone_exif(6)),
        saved("WEBP", small, exif=phone_exif(6)),
    ]
    files = []
    for whole in wholes:
        files += [whole[: dice.randrange(12, len(whole))] for _ in range(40)]
        for _ in range(120):
            bent = bytearray(whole)
            for _ in range(dice.choice([1, 1, 3])):
                bent[dice.randrange(12, min(len(bent), 400))] = dice.randrange(256)
            files.append(bytes(bent))
    refused = 0
    for content, done in zip(files, clean_in_browser(files), strict=True):
        wanted = by_command(tmp_path, content)
        refused += wanted is None
        assert done.get("bytes") == wanted, content.hex()
    assert 100 < refused < len(files) - 100  # both ways are tried


def test_a_click_saves_the_copy_and_the_lines_name_it(opened: Any, tmp_path: Path) -> None:
    content = phone_jpeg(6)
    page = opened(content, "IMG 2041.JPG")
    told = page.inner_text("[data-part=tells]")
    for words in ("where it was taken", "the camera’s number", "a name"):
        assert words in told
    assert "IMG 2041.JPG" in page.input_value("[data-part=lines]")
    with page.expect_download() as coming:
        page.click("[data-part=save]")
    download = coming.value
    assert download.suggested_filename == "img-2041.jpg"
    download.save_as(tmp_path / "copy.jpg")
    assert (tmp_path / "copy.jpg").read_bytes() == by_command(tmp_path, content)
    assert "Taken out: where it was taken" in page.inner_text("[data-part=saved]")
    assert "file: img-2041.jpg" in page.input_value("[data-part=lines]")
    assert page.is_visible("[data-part=saved-hint]")


def test_the_copy_is_clean_when_taken_in_again(opened: Any, take: Any, tmp_path: Path) -> None:
    page = opened(phone_jpeg(), "front.jpg")
    with page.expect_download() as coming:
        page.click("[data-part=save]")
    take(page, Path(coming.value.path()).read_bytes(), "front.jpg")
    page.wait_for_selector("[data-part=tells]:has-text('Nothing but')")
    assert page.inner_text("[data-part=saved]") == ""
    page.click("[data-part=save]")
    assert "Nothing had to be taken out" in page.inner_text("[data-part=saved]")


def test_it_may_save_from_a_served_site_too(page_http: Any, take: Any, tmp_path: Path) -> None:
    page = page_http("photo.html")
    take(page, phone_jpeg(), "Front.JPG")
    with page.expect_download() as coming:
        page.click("[data-part=save]")
    assert coming.value.suggested_filename == "front.jpg"
    coming.value.save_as(tmp_path / "copy.jpg")
    assert check_photo(tmp_path / "copy.jpg") == []


@pytest.mark.parametrize(
    ("name", "kind", "wanted"),
    [
        ("IMG_2041.JPG", "jpeg", "img_2041.jpg"),
        ("My Tile  2.jpeg", "jpeg", "my-tile-2.jpeg"),
        ("tile é 花 (2).jpg", "jpeg", "tile-é-花-(2).jpg"),
        ("front.heic", "jpeg", "front.jpg"),
        ("front", "png", "front.png"),
        ("a.b.webp", "webp", "a.b.webp"),
        (" .jpg", "jpeg", "photo.jpg"),
        ("-x.jpg", "jpeg", "x.jpg"),
        ('a: "b" #c.jpg', "jpeg", "a-b-c.jpg"),
        ("../../up.png", "png", "up.png"),
    ],
)
def test_names(opened: Any, name: str, kind: str, wanted: str) -> None:
    assert opened().evaluate(f"clearoverClean.cleanName({json.dumps(name)}, '{kind}')") == wanted


def test_what_cannot_be_cleaned_is_told(opened: Any, take: Any) -> None:
    whole = phone_jpeg()
    page = opened(whole[: len(whole) * 3 // 4])  # a browser shows the part that is there
    assert "breaks off" in page.inner_text("[data-part=tells]")
    assert not page.is_visible("[data-part=save]")
    take(page, saved("GIF"), "tile.gif")  # shown by the browser, refused by the check
    page.wait_for_selector("[data-part=trouble]:not([hidden])")
    assert "JPEG, PNG or WebP" in page.inner_text("[data-part=trouble]")
