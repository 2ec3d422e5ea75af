"""Broken files that cannot well be committed: made here, each with the problems it must get.

A case is a function that spoils a sound studio in place, and the problems wanted after it:
`file:line:column`, the rule, and a piece of the message.
"""

from __future__ import annotations

import io
import os
import struct
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from broken_studio import PHOTO, photo
from PIL import Image

COLOUR = "underglazes/brick-dust.yml"
TILE = "tiles/hedge-two-clears/tile.yml"
PLACE_OF_PHOTO = f"{TILE}:13:11"

Wanted = list[tuple[str, str, str]]


@dataclass(frozen=True)
class Made:
    """One case."""

    name: str
    spoil: Callable[[Path], None]
    wanted: Wanted


CASES: list[Made] = []


def case(*wanted: tuple[str, str, str]) -> Callable[[Callable[[Path], None]], None]:
    def keep(spoil: Callable[[Path], None]) -> None:
        CASES.append(Made(spoil.__name__.replace("_", "-"), spoil, list(wanted)))

    return keep


def _bytes(name: str, data: bytes, at: str, rule: str, says: str) -> None:
    def spoil(combos: Path) -> None:
        (combos / COLOUR).write_bytes(data)

    CASES.append(Made(name, spoil, [(at, rule, says)]))


_NAME = "name: Brick Dust\ncolour: pink\n"
_bytes("utf-16", _NAME.encode("utf-16"), f"{COLOUR}:1:1", "not-utf8", "it looks like UTF-16")
_bytes("utf-16-bare", _NAME.encode("utf-16-be"), f"{COLOUR}:1:1", "not-utf8", "UTF-16")
_bytes("utf-32", _NAME.encode("utf-32"), f"{COLOUR}:1:1", "not-utf8", "UTF-16")
_bytes(
    "latin-1",
    "name: Brick Dust\nmaker: Café\ncolour: pink\n".encode("latin-1"),
    f"{COLOUR}:2:11",
    "not-utf8",
    "byte 0xe9",
)
_bytes(
    "cut-inside-a-letter",
    "name: Café".encode()[:-1],
    f"{COLOUR}:1:10",
    "not-utf8",
    "byte 0xc3",
)
_bytes("overlong", b"name: \xc0\xaf\ncolour: pink\n", f"{COLOUR}:1:7", "not-utf8", "byte 0xc0")
_bytes("surrogates", b"name: \xed\xa0\x80\n", f"{COLOUR}:1:7", "not-utf8", "byte 0xed")
for _name, _character in {
    "nul": "\0",
    "escape": "\x1b",
    "bell": "\x07",
    "delete": "\x7f",
    "next-line": "\x85",
    "line-separator": "\u2028",
    "right-to-left-override": "\u202e",
    "right-to-left-isolate": "\u2067",
    "arabic-letter-mark": "\u061c",
    "zero-width-space": "\u200b",
    "soft-hyphen": "\u00ad",
    "mark-inside": "\ufeff",
    "tag-letter": "\U000e0041",
}.items():
    _bytes(
        f"character-{_name}",
        f"name: ½ Brick{_character}Dust\ncolour: pink\n".encode(),
        f"{COLOUR}:1:14",
        "control-character",
        f"U+{ord(_character):04X}",
    )
_bytes(
    "character-escaped",
    b'colour: pink\nname: "Brick\\u202eDust"\n',
    f"{COLOUR}:2:7",
    "control-character",
    "U+202E",
)
_bytes(
    "character-escaped-in-key",
    b'colour: pink\n"na\\0me": Brick Dust\n',
    f"{COLOUR}:2:1",
    "control-character",
    "U+0000",
)
_bytes(
    "five-megabytes",
    b"name: " + b"x" * 5_000_000 + b"\n",
    f"{COLOUR}:1:1",
    "file-too-large",
    "5000007 bytes",
)
_bytes(
    "long-text",
    b"name: Brick Dust\ncolour: pink\nnotes: " + b"x" * 9_000,
    f"{COLOUR}:3:8",
    "text-too-long",
    "9000 characters",
)
_bytes("deep-brackets", b"name: " + b"[" * 500, f"{COLOUR}:1:19", "too-deep", "12 levels")
_bytes("deep-lists", b"- " * 100_000 + b"x\n", f"{COLOUR}:1:27", "too-deep", "12 levels")
_bytes("deep-keys", b"{a: " * 50_000, f"{COLOUR}:1:50", "too-deep", "12 levels")
_bytes(
    "deep-indents",
    "".join(f"{' ' * n}a{n}:\n" for n in range(400)).encode(),
    f"{COLOUR}:13:13",
    "too-deep",
    "12 levels",
)
_bytes(
    "many-values",
    b"name: Brick Dust\npigment: [" + b"a, " * 60_000 + b"b]\n",
    f"{COLOUR}:2:23996",
    "too-many-values",
    "8000 values",
)
_bytes(
    "billion-laughs",
    b"a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nname: *c\n",
    f"{COLOUR}:1:4",
    "anchor-or-alias",
    "`&a`",
)


@case(
    (f"{COLOUR}:1:1", "byte-order-mark", "byte order mark"),
    (f"{COLOUR}:2:9", "unknown-word", "`pinkk`"),
)
def byte_order_mark(combos: Path) -> None:
    (combos / COLOUR).write_bytes(b"\xef\xbb\xbfname: Brick Dust\ncolour: pinkk\n")


@case((f"{COLOUR}:3:9", "unknown-word", "`pinkk`"))
def windows_line_ends(combos: Path) -> None:
    (combos / COLOUR).write_bytes(b"name: Brick Dust\r\nmaker: us\r\ncolour: pinkk\r\n")


@case((f"{COLOUR}:3:9", "unknown-word", "`pinkk`"))
def old_line_ends(combos: Path) -> None:
    (combos / COLOUR).write_bytes(b"name: Brick Dust\rmaker: us\rcolour: pinkk\r")


@case(
    (f"{COLOUR}:1:1", "missing-key", "`colour` is missing"),
    (f"{COLOUR}:2:1", "unknown-key", "xxx…` is not a key"),
)
def long_key_is_cut_in_the_message(combos: Path) -> None:
    (combos / COLOUR).write_text(f"name: Brick Dust\n{'x' * 900}: pink\n", "utf-8")


@case((f"{COLOUR}:2:22", "unknown-word", "`pinkk`"))
def columns_count_letters_not_bytes(combos: Path) -> None:
    text = '{name: "é½漢🏺",\n maker: é½🏺, colour: pinkk}\n'
    (combos / COLOUR).write_text(text, "utf-8")


@case(("clears/away.yml:1:1", "link-leaves-folder", "`away.yml`"))
def link_leaves_folder(combos: Path) -> None:
    outside = combos.parent / "outside.yml"
    outside.write_text("name: Outside\n", "utf-8")
    (combos / "clears/away.yml").symlink_to(outside)


@case((f"{TILE}:13:11", "photo-missing", "front.jpg"), (f"{PHOTO}:1:1", "link-leaves-folder", ""))
def photo_link_leaves_folder(combos: Path) -> None:
    outside = combos.parent / "front.jpg"
    (combos / PHOTO).rename(outside)
    (combos / PHOTO).symlink_to(outside)


@case((PLACE_OF_PHOTO, "photo-not-a-photo", "a link to another file"))
def photo_link_stays_inside(combos: Path) -> None:
    other = combos / "tiles/hedge-two-clears/photo.data"
    (combos / PHOTO).rename(other)
    (combos / PHOTO).symlink_to(other)


@case(("clears/loop.yml:1:1", "not-an-ordinary-file", "a link that leads nowhere"))
def link_to_itself(combos: Path) -> None:
    (combos / "clears/loop.yml").symlink_to("loop.yml")


@case(("clears/gone.yml:1:1", "not-an-ordinary-file", "a link that leads nowhere"))
def link_to_nothing(combos: Path) -> None:
    (combos / "clears/gone.yml").symlink_to("never-there.yml")


@case(("materials:1:1", "not-an-ordinary-file", "is a link"))
def linked_folder(combos: Path) -> None:
    (combos / "materials").symlink_to("/etc")


@case(("tiles/loop:1:1", "not-an-ordinary-file", "is a link"))
def folder_linked_to_its_parent(combos: Path) -> None:
    (combos / "tiles/loop").symlink_to("..")


@case(("studio.yml:1:1", "link-leaves-folder", "`studio.yml`"))
def linked_studio(combos: Path) -> None:
    outside = combos.parent / "studio.yml"
    (combos / "studio.yml").rename(outside)
    (combos / "studio.yml").symlink_to(outside)


@case(("clears/one.yml:1:1", "not-an-ordinary-file", "is a folder"))
def folder_instead_of_file(combos: Path) -> None:
    (combos / "clears/one.yml").mkdir()
    (combos / "clears/one.yml/two.yml").write_text("name: Two\n", "utf-8")


@case(("studio.yml:1:1", "not-an-ordinary-file", "is a folder"))
def folder_instead_of_studio(combos: Path) -> None:
    (combos / "studio.yml").unlink()
    (combos / "studio.yml").mkdir()


@case(("materials:1:1", "not-an-ordinary-file", "is a file"))
def file_instead_of_folder(combos: Path) -> None:
    (combos / "materials").write_text("name: Soft Frit\n", "utf-8")


@case(("clears/pipe.yml:1:1", "not-an-ordinary-file", "a pipe or a device"))
def pipe(combos: Path) -> None:
    os.mkfifo(combos / "clears/pipe.yml")


@case((PLACE_OF_PHOTO, "photo-missing", ""), (f"{PHOTO}:1:1", "not-an-ordinary-file", "pipe"))
def photo_pipe(combos: Path) -> None:
    (combos / PHOTO).unlink()
    os.mkfifo(combos / PHOTO)


@case(("clears/\\udce9t\\udce9.yml:1:1", "bad-file-name", "`\\udce9t\\udce9.yml`"))
def name_in_another_encoding(combos: Path) -> None:
    Path(os.fsdecode(os.fsencode(combos) + b"/clears/\xe9t\xe9.yml")).write_text("name: Summer\n")


@case(("clears/two\\nlines.yml:1:1", "bad-file-name", "`two\\nlines.yml`"))
def name_with_a_line_end(combos: Path) -> None:
    (combos / "clears/two\nlines.yml").write_text("name: Two\n", "utf-8")


@case(("tiles/\\u202egpj:1:1", "bad-file-name", "`\\u202egpj`"))
def folder_written_backwards(combos: Path) -> None:
    (combos / "tiles/\u202egpj").mkdir()
    (combos / "tiles/\u202egpj/tile.yml").write_text("mark: 1\n", "utf-8")


@case(("firings/march-glaze.yml:3:6", "log-missing", "xxx…`"))
def log_name_longer_than_any_file(combos: Path) -> None:
    path = combos / "firings/march-glaze.yml"
    text = path.read_text("utf-8").replace("kiln: north", f"kiln: north\nlog: {'x' * 5000}.csv")
    path.write_text(text, "utf-8")


@case((PLACE_OF_PHOTO, "photo-missing", "xxx…`"), (f"{TILE}:13:3", "photo-unused", ""))
def photo_name_longer_than_any_file(combos: Path) -> None:
    path = combos / TILE
    path.write_text(path.read_text("utf-8").replace("front.jpg", f"{'x' * 5000}.jpg"), "utf-8")


@case()
def hidden_files_are_passed_over(combos: Path) -> None:
    (combos / "tiles/.trash/old").mkdir(parents=True)
    (combos / "tiles/.trash/old/tile.yml").write_text("[", "utf-8")
    (combos / "clears/.DS_Store").write_bytes(b"\0\1")
    (combos / "README.md").write_text("what lies here\n", "utf-8")


def _photo(data: bytes, rule: str, says: str, name: str) -> None:
    def spoil(combos: Path) -> None:
        (combos / PHOTO).write_bytes(data)

    CASES.append(Made(f"photo-{name}", spoil, [(PLACE_OF_PHOTO, rule, says)]))


def _encoded(kind: str, picture: Image.Image | None = None, **options: object) -> bytes:
    buffer = io.BytesIO()
    (picture or Image.open(io.BytesIO(photo()))).save(buffer, kind, **options)
    return buffer.getvalue()


def _png_bomb() -> bytes:
    """A PNG of a few hundred bytes that says it is 60,000 px wide and high."""

    def block(name: bytes, content: bytes) -> bytes:
        check = zlib.crc32(name + content)
        return struct.pack(">I", len(content)) + name + content + struct.pack(">I", check)

    size = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    picture = zlib.compress(bytes(100_000))
    blocks = (block(b"IHDR", size), block(b"IDAT", picture), block(b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(blocks)


@case(
    (f"{TILE}:13:3", "photo-unused", "second.jpg"),
    (f"{TILE}:13:3", "photo-private-metadata", "second.jpg: where it was taken"),
)
def photo_that_no_line_names_is_private_all_the_same(combos: Path) -> None:
    (combos / PHOTO).with_name("second.jpg").write_bytes(_encoded("JPEG", exif=_with_place()))


def _with_place() -> Image.Exif:
    exif = Image.Exif()
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (0.0, 7.0, 0.0)})
    return exif


_photo(b"", "photo-not-a-photo", "an empty file", "empty")
_photo(b"<svg xmlns='http://www.w3.org/2000/svg'/>", "photo-kind-not-accepted", "SVG", "drawing")
_photo(b"\0\0\0\x18ftypheic" + bytes(40), "photo-truncated", "what it holds", "heic")
_photo(_encoded("GIF"), "photo-kind-not-accepted", "GIF", "gif")
_photo(photo()[:1500], "photo-truncated", "breaks off", "cut-short")
_photo(_png_bomb(), "photo-too-large", "60000 × 60000", "bomb")
_photo(_encoded("PNG", Image.new("RGB", (20, 20))), "photo-too-small", "20 × 20", "thumbnail")
_photo(_encoded("JPEG", Image.new("CMYK", (320, 300))), "photo-colour-mode", "CMYK", "cmyk")
_photo(
    _encoded("JPEG", exif=_with_place()), "photo-private-metadata", "where it was taken", "place"
)
_photo(photo() + b"PK\3\4 more", "photo-private-metadata", "more data", "with-more-behind")
_photo(
    _encoded("WEBP", save_all=True, append_images=[Image.new("RGB", (320, 300))]),
    "photo-animated",
    "WebP",
    "animated",
)
