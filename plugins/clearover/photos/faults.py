"""Remember what is wrong with a photo by its content, so that it is not decoded at each build.

In: a photo's checksum. Out: the fault met when it was decoded, or None. Only what the bytes
themselves are to blame for is remembered; that memory ran out, or a disk failed, is not.
"""

from __future__ import annotations

import json
from pathlib import Path

from .cache import FAULTS, digest_of, write_whole
from .results import PhotoFault, PhotoRefused


def known_fault(folder: Path, sha: str) -> PhotoFault | None:
    """The fault that a photo of this checksum has, if it is remembered."""
    try:
        return PhotoFault(**json.loads(_path(folder, sha).read_bytes()))
    except (OSError, ValueError, TypeError):
        return None


def remember_fault(folder: Path, sha: str, refusal: PhotoRefused) -> None:
    """Note a fault, unless another try could end otherwise."""
    if not refusal.lasting:
        return
    fault = {name: getattr(refusal.fault, name) for name in PhotoFault.__slots__}
    write_whole(_path(folder, sha), json.dumps(fault).encode("ascii"))


def _path(folder: Path, sha: str) -> Path:
    return folder / FAULTS / f"{digest_of('fault', sha)}.json"
