"""HEIC and AVIF: their boxes are read before anything is decoded, and nothing is believed."""

from __future__ import annotations

import io
import struct
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from clearover.photos.check import check_photo, look
from clearover.photos.clean import clean_name, clean_photo
from clearover.photos.header import read_header
from clearover.photos.kinds import can_decode
from clearover.photos.opening import open_photo
from clearover.photos.results import PhotoRefused
from clearover.photos.work import Job, process
from heif_files import Bare, Thing, box, full, ispe, picture, real
from PIL import Image, ImageCms

Maker = Callable[..., Path]

needs_heic = pytest.mark.skipif(not can_decode("heic"), reason="pillow-heif is not installed")
FORMS = [
    pytest.param("HEIF", marks=needs_heic),
    pytest.param(
        "AVIF", marks=pytest.mark.skipif(not can_decode("avif"), reason="Pillow reads no AVIF")
    ),
]
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def turned(orientation: int) -> bytes:
    exif = Image.Exif()
    exif[0x0112] = orientation
    return exif.tobytes()


def apart(one: Image.Image, other: Image.Image) -> float:
    assert one.size == other.size
    return float(np.abs(np.asarray(one, float) - np.asarray(other, float)).mean())


def rules_of(path: Path) -> list[str]:
    return [fault.rule for fault in check_photo(path)]


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_turn_is_made_once(make: Maker, samples: Any, form: str, orientation: int) -> None:
    """Odd sizes, so that the HEIC encoder pads and says so. A wrong turn is apart by 40 or more."""
    scene = samples.scene(401, 333)
    path = make("a.heic", real(scene, form, exif=turned(orientation)))
    wanted = scene.transpose(TURNS[orientation]) if orientation > 1 else scene
    opened = open_photo(path)
    assert (look(path).width, look(path).height) == wanted.size == (opened.width, opened.height)
    assert apart(opened.picture, wanted) < 2 and not opened.picture.info
    assert read_header(path).orientation == orientation
    assert check_photo(path) == []


@needs_heic
def test_a_turn_that_only_exif_names_is_none(make: Maker, samples: Any) -> None:
    """The boxes decide. An Exif object (no bytes) is stored by the encoder, but not read."""
    exif = Image.Exif()
    exif[0x0112] = 6
    path = make("a.heic", real(samples.scene(400, 320), "HEIF", exif=exif))
    assert b"Exif" in path.read_bytes()
    assert apart(open_photo(path).picture, samples.scene(400, 320)) < 2


@needs_heic
def test_a_photo_in_tiles_as_phones_store_it(make: Maker, samples: Any) -> None:
    path = make("a.heic", real(samples.scene(600, 400), "HEIF", tile_size=256))
    assert b"grid" in path.read_bytes()
    assert apart(open_photo(path).picture, samples.scene(600, 400)) < 2
    assert check_photo(path) == []


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("mode", ["L", "RGBA"])
def test_grey_and_see_through(make: Maker, samples: Any, form: str, mode: str) -> None:
    path = make("a.heic", real(samples.scene(400, 320).convert(mode), form))
    assert check_photo(path) == []
    wanted = samples.scene(400, 320).convert(mode).convert("RGB")
    assert apart(open_photo(path).picture, wanted) < 2


@needs_heic
def test_ten_bits_come_out_as_eight(make: Maker) -> None:
    import pillow_heif

    wide = np.zeros((400, 400, 3), np.uint16)
    wide[:] = [257 * 200, 257 * 120, 257 * 40]
    target = io.BytesIO()
    pillow_heif.from_bytes("RGB;16", (400, 400), wide.tobytes()).save(target, quality=-1)
    path = make("a.heic", target.getvalue())
    assert read_header(path).bits == 10
    got = np.asarray(open_photo(path).picture, int)
    assert np.abs(got - [200, 120, 40]).max() <= 2


COLOUR = (150, 110, 90)


def numbered(content: bytes, primaries: int, transfer: int) -> bytes:
    """The same file with other numbers in its colour box."""
    at = content.index(b"colrnclx") + 8
    return content[:at] + struct.pack(">HH", primaries, transfer) + content[at + 4 :]


@pytest.mark.parametrize("form", FORMS)
def test_a_wide_gamut_by_numbers_and_by_profile_is_one(
    make: Maker, samples: Any, form: str
) -> None:
    """P3 stated by numbers against pixels changed by P3's own matrix, in numpy."""
    plain = real(Image.new("RGB", (400, 400), COLOUR), form)
    stored = np.asarray(open_photo(make("a.heic", plain)).picture)[9, 9] / 255
    # P3 (SMPTE EG 432-1, 2010) and sRGB (IEC 61966-2-1:1999) have one white: no adaptation.
    p3 = columns(((0.68, 0.32), (0.265, 0.69), (0.15, 0.06)))
    srgb = columns(((0.64, 0.33), (0.30, 0.60), (0.15, 0.06)))
    light = np.linalg.inv(srgb) @ p3 @ ((stored + 0.055) / 1.055) ** 2.4
    truth = 255 * (1.055 * light ** (1 / 2.4) - 0.055)
    for transfer in (13, 1):
        wide = open_photo(make("b.heic", numbered(plain, 12, transfer)))
        got = np.asarray(wide.picture)[9, 9]
        assert np.abs(got - truth).max() <= 1 and not wide.notes
    assert np.abs(truth - 255 * stored).max() > 4  # it would fail if nothing were converted


def columns(primaries: tuple[tuple[float, float], ...]) -> np.ndarray[Any, Any]:
    full_ = np.array([(x, y, 1 - x - y) for x, y in primaries]).T
    white = np.array([0.3127, 0.3290, 0.3583]) / 0.3290
    return np.asarray(full_ * np.linalg.solve(full_, white))


@pytest.mark.parametrize("form", FORMS)
def test_a_profile_is_used_and_a_bad_one_told(make: Maker, samples: Any, form: str) -> None:
    p3 = ((0.5151, 0.2412, -0.0011), (0.2920, 0.6922, 0.0419), (0.1571, 0.0666, 0.7841))
    scene = Image.new("RGB", (400, 400), COLOUR)
    plain = np.asarray(open_photo(make("a", real(scene, form))).picture, int)[9, 9]
    wide = real(scene, form, icc_profile=samples.icc_profile(p3, 2.2))
    got = np.asarray(open_photo(make("b", wide)).picture, int)[9, 9]
    assert got[0] - plain[0] > 4
    bad = open_photo(make("c", real(scene, form, icc_profile=b"nonsense" * 40)))
    assert bad.notes and np.abs(np.asarray(bad.picture, int)[9, 9] - plain).max() <= 1


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(
    ("numbers", "word"), [((9, 16), "HDR"), ((9, 18), "HDR"), ((1, 8), "1 and 8"), ((22, 13), "22")]
)
def test_colours_that_cannot_be_brought_to_srgb(
    make: Maker, samples: Any, form: str, numbers: tuple[int, int], word: str
) -> None:
    path = make("a.heic", numbered(real(samples.scene(400, 320), form), *numbers))
    (fault,) = check_photo(path)
    assert fault.rule == "photo-colour-mode" and word in fault.found
    with pytest.raises(PhotoRefused):
        open_photo(path)


@pytest.mark.parametrize("form", FORMS)
def test_private_data_and_several_pictures(make: Maker, samples: Any, form: str) -> None:
    scene = samples.scene(400, 320)
    path = make("a.heic", real(scene, form, exif=samples.gps_exif(6).tobytes()))
    (fault,) = check_photo(path)
    assert fault.rule == "photo-private-metadata" and "GPS" in fault.found
    assert "serial number" in fault.found and "clean-photo" in fault.wanted
    xmp = b"<x:xmpmeta><exif:GPSLatitude>51</exif:GPSLatitude></x:xmpmeta>"
    path = make("b.heic", real(scene, form, xmp=xmp))
    assert rules_of(path) == ["photo-private-metadata"]
    many = real(scene, form, save_all=True, append_images=[scene.rotate(180)])
    assert rules_of(make("c.heic", many)) == ["photo-animated"]


@needs_heic
def test_a_hidden_small_copy(make: Maker, samples: Any) -> None:
    path = make("a.heic", real(samples.scene(400, 320), "HEIF", thumbnails=[128]))
    (fault,) = check_photo(path)
    assert fault.rule == "photo-private-metadata" and "small copy" in fault.found


@pytest.mark.parametrize("form", FORMS)
def test_what_no_item_owns_is_private(make: Maker, samples: Any, form: str) -> None:
    whole = real(samples.scene(400, 320), form)
    assert rules_of(make("a", whole + box(b"mpvd", b"a video"))) == ["photo-private-metadata"]
    assert rules_of(make("b", whole + box(b"free", b"a secret"))) == ["photo-private-metadata"]
    assert rules_of(make("c", whole + box(b"mdat", b"a secret"))) == ["photo-private-metadata"]
    assert rules_of(make("d", whole + box(b"free", bytes(40)))) == []


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("share", [0.02, 0.3, 0.7, 0.999])
def test_photos_cut_short(make: Maker, samples: Any, form: str, share: float) -> None:
    whole = real(samples.scene(400, 320), form)
    path = make("cut.heic", whole[: int(len(whole) * share)])
    assert rules_of(path) == ["photo-truncated"]
    with pytest.raises(PhotoRefused):
        clean_photo(path, path)


EXIF = b"\0\0\0\0MM\0*\0\0\0\x08\0\x01\x88\x25\0\x04\0\0\0\x01\0\0\0\x1a\0\0\0\0"
GPS = EXIF + b"\0\x01\0\x01\0\x02\0\0\0\x02N\0\0\0\0\0\0\0"
ALPHA = full(b"auxC", b"urn:mpeg:mpegB:cicp:systems:auxiliary:alpha\0")
DEPTH = full(b"auxC", b"urn:mpeg:hevc:2015:auxid:2\0")


def clap(width: int, height: int, right: int = 0) -> bytes:
    return box(b"clap", struct.pack(">IIIIiIiI", width, 1, height, 1, right, 2, 0, 1))


@pytest.mark.parametrize(
    ("bare", "word"),
    [
        (Bare([picture()]), None),
        (Bare([picture(), Thing(b"Exif", GPS)]), "GPS"),
        (Bare([picture(), Thing(b"Exif", b"")]), "cannot be read"),
        (Bare([picture(), Thing(b"Exif", b"\xff\xff\xff\xff" + GPS)]), "cannot be read"),
        (Bare([picture(), Thing(b"mime", b"GPS", mime=b"application/rdf+xml\0\0")]), "XMP"),
        (Bare([picture(), Thing(b"mime", b"?", mime=b"text/plain\0")]), "notes"),
        (Bare([picture(), Thing(b"????")]), "notes"),
        (Bare([picture(), picture()], [(b"thmb", 2, [1])]), "small copy"),
        (Bare([picture(), picture(ispe(9, 9), ALPHA)], [(b"auxl", 2, [1])]), None),
        (Bare([picture(), picture(ispe(9, 9), DEPTH)], [(b"auxl", 2, [1])]), "further"),
        (
            Bare(
                [picture(), picture(ispe(9, 9), ALPHA, kind=b"grid"), picture()],
                [(b"auxl", 2, [1]), (b"dimg", 2, [3])],
            ),
            None,
        ),
        (Bare([picture(), picture(hidden=True)]), "further"),
        (Bare([picture(), picture(kind=b"tmap")], [(b"dimg", 2, [1])]), "further"),
        (Bare([picture()], extra=box(b"uuid", b"note")), "no part"),
        (Bare([picture(full(b"udes", b"en\0a name\0"), ispe(640, 480))]), "no part"),
        (Bare([picture(ispe(640, 480), clap(639, 480, -1))]), None),
        (Bare([picture(ispe(640, 480), clap(400, 480))]), "cropped away"),
    ],
)
def test_each_hiding_place(make: Maker, bare: Bare, word: str | None) -> None:
    path = make("a.heic", bare.data())
    header = read_header(path)
    private = header.private
    assert bool(private) == bool(word) and not header.further
    assert word is None or word in " ".join(private)


@pytest.mark.parametrize(
    ("bare", "rule"),
    [
        (Bare([picture(), picture()]), "photo-animated"),
        (Bare([picture()], behind=box(b"moov")), "photo-animated"),
        (Bare([picture(kind=b"jpeg")]), "photo-kind-not-accepted"),
        (Bare([picture(kind=b"av01")]), "photo-kind-not-accepted"),
        (Bare([picture()], brand=b"avif"), "photo-kind-not-accepted"),
        (Bare([picture(kind=b"grid")], [(b"dimg", 1, [1])]), "photo-kind-not-accepted"),
        (Bare([picture()], primary=9), "photo-truncated"),
        (Bare([picture(clap(1, 1))]), "photo-truncated"),
        (Bare([picture(full(b"ispe", b"\0"))]), "photo-truncated"),
        (Bare([picture(ispe(640, 480), box(b"clap", bytes(32)))]), "photo-truncated"),
        (Bare([picture(ispe(640, 480), clap(641, 480))]), "photo-truncated"),
        (Bare([picture(ispe(60000, 60000))]), "photo-too-large"),
        (Bare([picture(ispe(1, 20000))]), "photo-too-large"),
        (Bare([picture(ispe(0, 0))]), "photo-too-small"),
        (Bare([picture(ispe(1, 12000))]), "photo-too-small"),
        (Bare([picture()] * 6000), "photo-truncated"),
        (Bare([picture(ispe(640, 480), clap(600, 480), kind=b"av01")], brand=b"avif"), "photo-not"),
    ],
)
def test_what_the_boxes_say_is_judged(make: Maker, bare: Bare, rule: str) -> None:
    content = bare.data() if len(bare.things) < 100 else thousands(bare)
    found = rules_of(make("a.heic", content))
    assert found and found[-1].startswith(rule)


def thousands(bare: Bare) -> bytes:
    """A list of more items than any photo has."""
    entry = full(b"infe", struct.pack(">HH", 1, 0) + b"hvc1\0", 2)
    names = full(b"iinf", b"\0\0" + b"".join([entry] * len(bare.things)))
    return box(b"ftyp", b"heic\0\0\0\0mif1heic") + full(b"meta", names)


def head(size: bytes, name: bytes = b"meta", rest: bytes = b"") -> bytes:
    return box(b"ftyp", b"heic\0\0\0\0mif1heic") + size + name + rest


HOSTILE = [
    head(b"\0\0\0\0"),  # no length: to the end, and nothing is there
    head(b"\0\0\0\x04"),
    head(b"\xff\xff\xff\xff"),
    head(b"\0\0\0\x01", rest=b"\xff" * 8),
    head(b"\0\0\0\x01", rest=b"\0" * 8),
    head(b"\0\0\0\x0c", rest=bytes(4)),
    head(b"\0\0\0\x14", rest=bytes(4) + b"\0\0\0\0meta"),
    head(b"\0\0\0\x08", b"free") * 20000,
    box(b"ftyp", b"heic\0\0\0\0mif1heic") + full(b"meta", box(b"free") * 20000),
    box(b"ftyp", b"heic\0\0\0\0mif1heic") + box(b"free") * 200_000,
    box(b"ftyp", b"heic\0\0\0\0mif1heic") + full(b"meta", bytes(4_100_000)),
    full(b"meta") * 3,
]


@pytest.mark.parametrize("content", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_boxes_end_in_a_fault(make: Maker, content: bytes) -> None:
    path = make("a.heic", content)
    started = time.process_time()
    assert rules_of(path) and set(rules_of(path)) <= {"photo-truncated", "photo-not-a-photo"}
    assert time.process_time() - started < 0.5


@pytest.mark.parametrize("form", FORMS)
def test_a_message_names_no_folder_of_this_machine(make: Maker, form: str) -> None:
    brand, kind = (b"heic", b"hvc1") if form == "HEIF" else (b"avif", b"av01")
    path = make("a.heic", Bare([picture(kind=kind)], brand=brand).data())
    with pytest.raises(PhotoRefused) as refusal:
        open_photo(path)
    assert refusal.value.fault.rule == "photo-not-a-photo"
    assert refusal.value.fault.found == "its decoder makes nothing of it"


@pytest.mark.parametrize("form", FORMS)
def test_a_picture_larger_than_its_box_says_is_not_decoded(make: Maker, form: str) -> None:
    """5 million px in a file that claims 400 × 300; decoded they would take a tenth of a second."""
    size = (2600, 2000)
    whole = real(Image.new("RGB", size, COLOUR), form)
    assert whole.count(struct.pack(">II", *size)) == 1
    path = make("a.heic", whole.replace(struct.pack(">II", *size), struct.pack(">II", 400, 300)))
    started = time.process_time()
    with pytest.raises(PhotoRefused) as refusal:
        open_photo(path)
    assert refusal.value.fault.rule == "photo-not-a-photo"
    assert time.process_time() - started < 0.1
    assert form == "HEIF" or rules_of(path) == ["photo-not-a-photo"]  # HEVC: its decoder checks


def test_pieces_without_number_are_too_large(make: Maker) -> None:
    pieces = [picture(ispe(8000, 8000))] * 5
    bare = Bare([picture(kind=b"grid"), *pieces], [(b"dimg", 1, range(2, 7))])
    assert rules_of(make("a.heic", bare.data())) == ["photo-too-large"]


def test_notes_that_share_their_bytes_are_not_read_for_ever(make: Maker) -> None:
    """5,000 items that all point to the same 5 MB."""
    many = 5000
    names = b"".join(
        full(b"infe", struct.pack(">HH", number, 0) + b"Exif\0", 2) for number in range(2, many)
    )
    first = full(b"infe", struct.pack(">HH", 1, 0) + b"hvc1\0", 2)
    place = struct.pack(">HHHII", 0, 0, 1, 40, 5_000_000)
    places = b"".join(struct.pack(">H", number) + place for number in range(2, many))
    meta = full(
        b"meta",
        full(b"pitm", b"\0\1")
        + full(b"iinf", struct.pack(">H", many) + first + names)
        + full(b"iloc", b"\x44\x00" + struct.pack(">H", many - 2) + places, 1)
        + box(b"iprp", box(b"ipco", ispe(640, 480)) + full(b"ipma", b"\0\0\0\1\0\1\1\1")),
    )
    content = box(b"ftyp", b"heic\0\0\0\0mif1heic") + meta + box(b"mdat", bytes(5_000_000))
    path = make("a.heic", content)
    started = time.process_time()
    assert rules_of(path) == ["photo-truncated"]
    assert "notes are larger" in check_photo(path)[0].found
    assert time.process_time() - started < 1


def test_references_in_a_ring_end(make: Maker) -> None:
    grid = picture(kind=b"grid")
    ring = [(b"dimg", 1, [2]), (b"dimg", 2, [1, 3])]
    assert not read_header(make("a", Bare([grid, grid, picture()], ring).data())).private


@pytest.fixture
def no_decoder(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    can_decode.cache_clear()
    yield
    monkeypatch.undo()
    can_decode.cache_clear()


@pytest.mark.usefixtures("no_decoder")
def test_without_a_decoder_both_ways_out_are_told(make: Maker, tmp_path: Path) -> None:
    path = make("a.jpg", Bare([picture()]).data())
    (fault,) = check_photo(path)
    assert fault.rule == "photo-kind-not-accepted" and "HEIC" in fault.found
    assert "most compatible" in fault.wanted and "pip install pillow-heif" in fault.wanted
    for refuse in (lambda: open_photo(path), lambda: clean_photo(path, tmp_path / "b.jpg")):
        with pytest.raises(PhotoRefused) as refusal:
            refuse()
        assert refusal.value.fault.rule == "photo-kind-not-accepted"
    with pytest.raises(PhotoRefused) as refusal:
        open_photo(path)
    assert not refusal.value.lasting  # another day the decoder may be there


@pytest.mark.usefixtures("no_decoder")
def test_private_data_is_found_without_a_decoder(make: Maker) -> None:
    path = make("a.heic", Bare([picture(), Thing(b"Exif", GPS)]).data())
    assert "photo-private-metadata" in rules_of(path)


@pytest.mark.parametrize("form", FORMS)
def test_a_clean_copy_is_an_upright_jpeg(
    make: Maker, samples: Any, form: str, tmp_path: Path
) -> None:
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    exif = samples.gps_exif(6).tobytes()
    source = make("front.heic", real(samples.scene(400, 320), form, exif=exif, icc_profile=srgb))
    target = tmp_path / clean_name(source)
    assert target.name == "front.jpg"
    assert any("GPS" in words for words in clean_photo(source, target))
    assert check_photo(target) == [] and check_photo(source)
    with Image.open(target) as file:
        assert file.format == "JPEG" and file.info["icc_profile"] == srgb and not file.getexif()
    for word in (b"SN-0001", b"Potter", b"Invented"):
        assert word not in target.read_bytes()
    assert apart(open_photo(source).picture, open_photo(target).picture) < 1


@pytest.mark.parametrize("form", FORMS)
def test_a_clean_copy_keeps_colours_named_by_numbers(
    make: Maker, form: str, tmp_path: Path
) -> None:
    plain = real(Image.new("RGB", (400, 400), COLOUR), form)
    source = make("a.jpg", numbered(plain, 12, 13))
    wanted = np.asarray(open_photo(source).picture, int)[9, 9]
    assert clean_name(source) == "a.jpg"  # by content it is none, by name it is already
    clean_photo(source, source)
    assert read_header(source).kind == "jpeg"
    assert np.abs(np.asarray(open_photo(source).picture, int)[9, 9] - wanted).max() <= 1


@pytest.mark.parametrize("form", FORMS)
def test_a_build_makes_its_pictures(make: Maker, samples: Any, form: str, tmp_path: Path) -> None:
    path = make("a.heic", real(samples.scene(400, 320), form, exif=turned(6)))
    outcome = process(Job("one", path, None, None, None, 1, 1, ()), tmp_path / "cache")
    assert not outcome.faults and outcome.kept.web
    assert (outcome.kept.web.says["width"], outcome.kept.web.says["height"]) == (320, 400)


@pytest.mark.parametrize("form", FORMS)
def test_random_damage_never_escapes_as_another_error(make: Maker, samples: Any, form: str) -> None:
    rng = np.random.default_rng(20)
    whole = real(samples.scene(320, 310), form, exif=samples.gps_exif(6).tobytes())
    for _ in range(100):
        bent = bytearray(whole)
        for at in rng.integers(0, min(len(bent), 1200), 4):
            bent[at] = rng.integers(0, 256)
        try:
            open_photo(make("bent.heic", bytes(bent)))
        except PhotoRefused as refusal:
            assert refusal.fault.rule.startswith("photo-")
