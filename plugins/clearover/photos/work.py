"""Make everything that one photo gives: web sizes; with corners also view, sprite, measurement.

In: a `Job` and the cache's folder. Out: an `Outcome`. Runs in a worker process, so both are plain
values. Knows nothing of records; a bad photo is an outcome, not an exception.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .cache import Cache, Entry, Made, Stamps, digest_of, file_sha256
from .check import check_corners, look
from .faults import known_fault, remember_fault
from .limits import limits
from .pack import Pack
from .results import PhotoFault, PhotoRefused

if TYPE_CHECKING:
    from ..measuring.request import Request
    from ..measuring.results import TileMeasurement

GRID = ("corners", "width_mm", "height_mm", "rows", "columns", "missing")
"""What the straight view and the sprite depend on, beside the photo."""
PARTS = ("web", "grid", "measured")
"""The entries of one photo."""
Corners = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Job:
    """One photo of one tile. `corners` only where its grid is to be straightened, `request` only
    where it is to be measured too."""

    tile: str
    path: Path
    corners: Corners | None
    width_mm: float | None
    height_mm: float | None
    rows: int
    columns: int
    missing: tuple[tuple[int, int], ...]
    request: Request | None = None

    def web_key(self, sha: str) -> str:
        """What the web sizes depend on."""
        return digest_of("web", {"tile": self.tile, "photo": sha})

    def grid_key(self, sha: str) -> str:
        """What the straight view and the sprite depend on."""
        made_of: dict[str, Any] = {name: getattr(self, name) for name in GRID}
        return digest_of("grid", {"tile": self.tile, "photo": sha, **made_of})

    def measured_key(self, sha: str) -> str:
        """What the measurement and the balanced view depend on, the code that measures included."""
        from ..measuring.stored import fingerprint

        asked = repr(self.request)  # plain values all through, and many times quicker than a dict
        return digest_of("measured", {"photo": sha, "asked": asked, "by": fingerprint()})

    def key(self, sha: str) -> str:
        """What all of that depends on together."""
        from ..measuring.stored import fingerprint

        made_of: dict[str, Any] = {name: getattr(self, name) for name in ("tile", *GRID)}
        by = fingerprint() if self.request else None
        return digest_of("photo", {"photo": sha, **made_of, "asked": repr(self.request), "by": by})


@dataclass(frozen=True, slots=True)
class Entries:
    """What is kept of a photo: entries of the cache, and what the last of them said."""

    web: Entry | None = None
    grid: Entry | None = None
    measured: Entry | None = None
    says: TileMeasurement | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a job. `sha256` is the photo's checksum for the next run, None where the photo
    changed meanwhile."""

    kept: Entries = Entries()
    faults: tuple[PhotoFault, ...] = ()
    sha256: str | None = None


def recall(
    job: Job, sha: str, cache: Cache, stamps: Stamps | None = None, pack: Pack | None = None
) -> Outcome | None:
    """The outcome if all of it is cached, or known to be impossible; opens no photo. With `pack`
    no entry either, where that knows the photo; else it is told."""
    if pack:
        key = job.key(sha)
        packed = _packed(job, pack.find(key))
        if packed and all(cache.is_whole(one, stamps) for one in _entries(packed)):
            pack.use(key)
            return Outcome(packed, (), sha)
    found = _found(job, sha, cache, stamps)
    if found.web is None:
        fault = known_fault(cache.folder, sha)
        return Outcome(Entries(), (fault,), sha) if fault else None
    outcome = Outcome(found, (), sha) if _is_all(job, found) else None
    if pack and outcome:
        remember(job, outcome, pack)
    return outcome


def remember(job: Job, outcome: Outcome, pack: Pack) -> None:
    """Tell the pack what came of a job, if that was all of it."""
    from ..measuring.stored import as_kept

    kept = outcome.kept
    if not outcome.sha256 or not _is_all(job, kept):
        return
    told: dict[str, Any] = {name: one.written() for name in PARTS if (one := getattr(kept, name))}
    told["says"] = as_kept(kept.says) if kept.says else None
    pack.keep(job.key(outcome.sha256), told)


def _packed(job: Job, told: Any) -> Entries | None:
    from ..measuring.stored import from_kept

    try:
        parts = {name: Entry.read(told[name]) for name in PARTS if name in told}
        found = Entries(**parts, says=from_kept(told["says"]) if told["says"] else None)
    except (ValueError, TypeError, KeyError):
        return None
    return found if _is_all(job, found) else None


def _entries(found: Entries) -> Iterator[Entry]:
    yield from (one for one in (found.web, found.grid, found.measured) if one)


def _found(job: Job, sha: str, cache: Cache, stamps: Stamps | None = None) -> Entries:
    from ..measuring.stored import from_kept

    web = cache.find(job.web_key(sha), stamps)
    grid = cache.find(job.grid_key(sha), stamps) if job.corners else None
    measured = cache.find(job.measured_key(sha), stamps) if job.request else None
    try:
        says = from_kept(measured.says["measured"]) if measured else None
    except (ValueError, KeyError):  # kept by another version, or damaged
        return Entries(web, grid)
    return Entries(web, grid, measured and Entry(measured.pictures, {}), says)


def _is_all(job: Job, found: Entries) -> bool:
    measured = found.measured and found.says
    return bool(found.web and (found.grid or not job.corners) and (measured or not job.request))


def process(job: Job, folder: Path) -> Outcome:
    """Do one job, as far as the cache has not done it already."""
    seen = look(job.path)
    faults = tuple(fault for fault in seen.faults if fault.rule != "photo-private-metadata")
    if faults or seen.width is None or seen.height is None:
        return Outcome(Entries(), faults)
    if job.corners and (fault := check_corners(job.corners, seen.width, seen.height)):
        faults, job = (fault,), replace(job, corners=None, request=None)
    cache, before = Cache(folder), job.path.stat()
    sha = file_sha256(job.path)
    if fault := known_fault(folder, sha):
        return Outcome(Entries(), (fault,), _if_unchanged(job.path, before, sha))
    try:
        kept = _make(job, sha, cache, _found(job, sha, cache))
    except PhotoRefused as refusal:
        remember_fault(folder, sha, refusal)
        return Outcome(Entries(), (refusal.fault,), _if_unchanged(job.path, before, sha))
    return Outcome(kept, faults, _if_unchanged(job.path, before, sha))


def _if_unchanged(path: Path, before: os.stat_result, sha: str) -> str | None:
    after = path.stat()
    same = (before.st_size, before.st_mtime_ns) == (after.st_size, after.st_mtime_ns)
    return sha if same else None


def _make(job: Job, sha: str, cache: Cache, found: Entries) -> Entries:
    """The photo opened once, and what is missing made from it."""
    from ..measuring.stored import as_kept
    from .opening import open_photo

    if _is_all(job, found):
        return found
    web, grid, measured, says = found.web, found.grid, found.measured, found.says
    wants_grid = bool(job.corners) and (grid is None or (bool(job.request) and measured is None))
    opened = open_photo(job.path, factor_for(job, wants_grid))
    if web is None:
        size = {"width": opened.width, "height": opened.height}
        key, notes = job.web_key(sha), list(opened.notes)
        web = cache.keep(key, _web(job, opened), **size, notes=notes)
    if job.corners and grid is None:
        pictures, cell = _grid(job, opened)
        grid = cache.keep(job.grid_key(sha), pictures, **cell)
    if job.request and measured is None:
        says, pictures = _measured(job.request, opened)
        kept = {"measured": as_kept(says), "beside": _names(grid)}
        measured = Entry(cache.keep(job.measured_key(sha), pictures, **kept).pictures, {})
    return Entries(web, grid, measured, says)


def _names(entry: Entry | None) -> list[str]:
    return [picture.name for picture in entry.pictures] if entry else []


def factor_for(job: Job, wants_grid: bool) -> int:
    """The whole factor by which a JPEG may be decoded smaller without a loss in what is made."""
    from .straighten import straight_size

    seen = look(job.path)
    spare = max(seen.width or 0, seen.height or 0) / limits().web_side_3
    if wants_grid and job.corners:
        grid = max(straight_size(job.corners))
        spare = min(spare, max(1.0, grid / limits().straight_side_enough))
    return next((factor for factor in (8, 4, 2) if spare >= factor), 1)


def _web(job: Job, opened: Any) -> list[Made]:
    from .web import encode, resized, web_sizes

    made, picture = [], opened.picture
    for size in reversed(web_sizes(opened.width, opened.height, limits().web_sides)):
        picture = resized(picture, size)
        made.append(Made("web", job.tile, encode(picture, limits().web_quality), *size))
    return made[::-1]


def _grid(job: Job, opened: Any) -> tuple[list[Made], dict[str, Any]]:
    from .sprites import sprite_picture
    from .straighten import straight_view
    from .web import encode

    straight = straight_view(opened, job.corners or (), job.width_mm, job.height_mm)
    sheet, cell = sprite_picture(straight, job.rows, job.columns, job.missing)
    quality = limits().web_quality
    pictures = [
        Made("straight", job.tile, encode(straight, quality), *straight.size),
        Made("sprite", job.tile, encode(sheet, quality), *sheet.size),
    ]
    return pictures, {"cell_width": cell[0], "cell_height": cell[1]}


def _measured(request: Request, opened: Any) -> tuple[TileMeasurement, list[Made]]:
    """What the photo says, and the straight view balanced. A measurement that fails says so: it is
    our fault, and no reason to build no site."""
    from ..measuring.measure import measured_and_seen
    from ..measuring.stored import as_kept, failed, from_kept
    from .balanced import balanced
    from .web import encode

    try:
        found, view = measured_and_seen(opened, request)
        found = from_kept(as_kept(found))
        picture = balanced(view.light) if found.balance.by else None
    except Exception as error:
        why = f"measuring failed, a fault of ours ({type(error).__name__}): please report it"
        return failed(request, why), []
    if picture is None:
        return found, []
    data = encode(picture, limits().web_quality)
    return found, [Made("balanced", request.tile, data, *picture.size)]
