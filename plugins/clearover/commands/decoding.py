"""Photos that only decoding shows to be broken: their headers are sound, the picture is not.

In: a catalogue. Out: problems, as the build would find them. Decodes each photo; where a cache of
the site lies beside the records, only those it does not know yet.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from ..records.problem import Place, Problem, problem

if TYPE_CHECKING:
    from ..photos.results import PhotoFault
    from ..records.catalogue import Catalogue

CACHE = ".cache/clearover"
"""Where the build keeps its pictures unless `mkdocs.yml` says otherwise."""


def broken_photos(catalogue: Catalogue) -> Iterator[Problem]:
    """One problem for each photo of a sound tile that cannot be decoded to its end."""
    cache = catalogue.root.parent / CACHE
    for _, tile in sorted(catalogue.tiles.items()):
        for photo in tile.photos:
            fault = _fault(catalogue.photo_path(tile, photo.file), cache)
            if fault is not None:
                place = Place((Path(tile.file).parent / photo.file).as_posix())
                yield problem(fault.rule, place, found=fault.found, wanted=fault.wanted)


def _fault(path: Path, cache: Path) -> PhotoFault | None:
    from ..photos.opening import open_photo
    from ..photos.results import PhotoRefused
    from ..photos.verify import verify

    if cache.is_dir():
        try:
            return verify(path, cache)
        except OSError:
            pass  # a cache that cannot be written to: look, and remember nothing
    try:
        open_photo(path, public=True)
    except PhotoRefused as refused:
        return refused.fault
    return None
