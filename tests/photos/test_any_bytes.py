"""Any bytes are a header or a refusal, soon, whatever kind they begin as."""

from __future__ import annotations

import io
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from clearover.photos.check import Look, look
from clearover.photos.header import faults_of, read_header
from clearover.photos.kinds import ACCEPTED, NAMES
from clearover.photos.results import PhotoRefused
from clearover.photos.told import Header
from heif_files import Bare, Thing, box, full, ispe, picture
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

Maker = Callable[..., Path]
ROUNDS = 100
STARTS = (
    b"\xff\xd8\xff\xe0",
    b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
    b"RIFF\xff\0\0\0WEBPVP8X",
    box(b"ftyp", b"heic\0\0\0\0mif1heic") + b"\0\0\1\0meta\0\0\0\0",
    box(b"ftyp", b"avif\0\0\0\0mif1avif") + b"\0\0\0\0meta\0\0\0\0",
    b"",
)


def judged(path: Path) -> Header | None:
    """The header, its faults worded too; None where it is refused. Anything else escapes."""
    try:
        header = read_header(path)
    except PhotoRefused as refusal:
        assert refusal.fault.rule.startswith("photo-") and refusal.fault.found
        return None
    assert header.kind in ACCEPTED and 1 <= header.orientation <= 8
    assert all(fault.found for fault in faults_of(header, path))
    return header


def wholes(samples: Any) -> dict[str, bytes]:
    """One sound file of each kind, with as many sorts of blocks as fit."""
    exif = samples.gps_exif(6).tobytes()
    found = {}
    for kind, form in (("jpeg", "JPEG"), ("png", "PNG"), ("webp", "WEBP")):
        target = io.BytesIO()
        samples.scene(320, 300).save(target, form, exif=exif, icc_profile=b"profile" * 20)
        found[kind] = target.getvalue()
    tiff = b"\0\0\0\0" + exif.removeprefix(b"Exif\0\0")
    for kind, code in (("heic", b"hvc1"), ("avif", b"av01")):
        colour = box(b"colr", b"nclx\0\x0c\0\x0d\0\x06\x80")
        turn = [box(b"irot", b"\3"), box(b"imir", b"\1")]
        things = [
            picture(ispe(640, 480), colour, *turn, box(b"hvcC", bytes(23)), kind=b"grid"),
            picture(ispe(320, 480), kind=code),
            picture(ispe(32, 24), full(b"auxC", b"urn:x\0"), kind=code, hidden=True),
            Thing(b"Exif", tiff),
            Thing(b"mime", b"<x/>", mime=b"application/rdf+xml\0\0"),
        ]
        links = [(b"dimg", 1, [2, 2]), (b"auxl", 3, [1]), (b"cdsc", 4, [1])]
        found[kind] = Bare(things, links, kind.encode(), behind=box(b"mdat", b"12")).data()
    return found


def test_the_sound_files_are_read_to_their_end(make: Maker, samples: Any) -> None:
    """What is bent below is worth bending: each reader gets to size, turn and private data."""
    for kind, whole in wholes(samples).items():
        header = judged(make("a", whole))
        assert header is not None and header.kind == kind
        assert header.width >= 320 and header.orientation != 1 and header.private


@pytest.mark.parametrize("kind", NAMES)
def test_bent_files(make: Maker, samples: Any, kind: str) -> None:
    rng = np.random.default_rng(7)
    whole = wholes(samples)[kind]
    started, read = time.process_time(), 0
    for _ in range(ROUNDS):
        read += judged(make("a", bend(whole, rng))) is not None
    assert time.process_time() - started < 3
    assert 0 < read < ROUNDS  # some bends are harmless, some are not


def bend(whole: bytes, rng: np.random.Generator) -> bytes:
    """A few bytes changed where the blocks are; now and then a piece cut out, doubled or moved."""
    data = bytearray(whole)
    reach = min(len(data), 2000)
    for at in rng.integers(0, reach, rng.integers(1, 5)):
        data[at] = rng.choice([0, 1, 0x7F, 0x80, 0xFF, data[at] ^ 1, rng.integers(256)])
    start, end = sorted(int(at) for at in rng.integers(0, reach, 2))
    way = rng.integers(8)
    if way == 0:
        del data[start:end]
    elif way == 1:
        data[start:start] = data[start:end]
    elif way == 2:
        del data[end:]
    return bytes(data)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(start=st.sampled_from(STARTS), rest=st.binary(max_size=400))
def test_any_bytes(make: Maker, start: bytes, rest: bytes) -> None:
    path = make("a", start + rest)
    judged(path)
    assert isinstance(look(path), Look)
