"""Make everything that one photo gives: its web sizes and, with corners, straight view and sprite.

In: a `Job` and the cache's folder. Out: an `Outcome`. Runs in a worker process, so both are plain
values. Knows nothing of records; a bad photo is an outcome, not an exception.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .cache import Cache, Entry, Made, Stamps, digest_of, file_sha256
from .check import check_corners, look
from .faults import known_fault, remember_fault
from .limits import limits
from .results import PhotoFault, PhotoRefused

Corners = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Job:
    """One photo of one tile. `corners` only where its grid is to be straightened."""

    tile: str
    path: Path
    corners: Corners | None
    width_mm: float | None
    height_mm: float | None
    rows: int
    columns: int
    missing: tuple[tuple[int, int], ...]

    def web_key(self, sha: str) -> str:
        """What the web sizes depend on."""
        return digest_of("web", {"tile": self.tile, "photo": sha})

    def grid_key(self, sha: str) -> str:
        """What the straight view and the sprite depend on."""
        made_of: dict[str, Any] = {name: getattr(self, name) for name in Job.__slots__[2:]}
        return digest_of("grid", {"tile": self.tile, "photo": sha, **made_of})


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a job. `stamp` is the photo's size, time and checksum for the next run."""

    web: Entry | None
    grid: Entry | None
    faults: tuple[PhotoFault, ...] = ()
    sha256: str | None = None


def recall(job: Job, sha: str, cache: Cache, stamps: Stamps | None = None) -> Outcome | None:
    """The outcome if all of it is cached, or known to be impossible; opens no photo."""
    web = cache.find(job.web_key(sha), stamps)
    if web is None:
        fault = known_fault(cache.folder, sha)
        return Outcome(None, None, (fault,), sha) if fault else None
    grid = cache.find(job.grid_key(sha), stamps) if job.corners else None
    return Outcome(web, grid, (), sha) if grid or not job.corners else None


def process(job: Job, folder: Path) -> Outcome:
    """Do one job, as far as the cache has not done it already."""
    seen = look(job.path)
    faults = tuple(fault for fault in seen.faults if fault.rule != "photo-private-metadata")
    if faults or seen.width is None or seen.height is None:
        return Outcome(None, None, faults)
    if job.corners and (fault := check_corners(job.corners, seen.width, seen.height)):
        faults = (fault,)
    cache, before = Cache(folder), job.path.stat()
    sha = file_sha256(job.path)
    if fault := known_fault(folder, sha):
        return Outcome(None, None, (fault,), _if_unchanged(job.path, before, sha))
    web = cache.find(job.web_key(sha))
    grid = cache.find(job.grid_key(sha)) if job.corners and not faults else None
    try:
        web, grid = _make(job, sha, cache, web, grid, with_grid=bool(job.corners) and not faults)
    except PhotoRefused as refusal:
        remember_fault(folder, sha, refusal)
        return Outcome(None, None, (refusal.fault,), _if_unchanged(job.path, before, sha))
    return Outcome(web, grid, faults, _if_unchanged(job.path, before, sha))


def _if_unchanged(path: Path, before: os.stat_result, sha: str) -> str | None:
    after = path.stat()
    same = (before.st_size, before.st_mtime_ns) == (after.st_size, after.st_mtime_ns)
    return sha if same else None


def _make(
    job: Job, sha: str, cache: Cache, web: Entry | None, grid: Entry | None, *, with_grid: bool
) -> tuple[Entry, Entry | None]:
    from .opening import open_photo

    wants_grid = with_grid and grid is None
    if web and not wants_grid:
        return web, grid
    opened = open_photo(job.path, factor_for(job, wants_grid))
    if web is None:
        pictures = _web(job, opened)
        says = {"width": opened.width, "height": opened.height, "notes": list(opened.notes)}
        web = cache.keep(job.web_key(sha), pictures, **says)
    if wants_grid:
        pictures, says = _grid(job, opened)
        grid = cache.keep(job.grid_key(sha), pictures, **says)
    return web, grid


def factor_for(job: Job, wants_grid: bool) -> int:
    """The whole factor by which a JPEG may be decoded smaller without a loss in what is made."""
    from .straighten import straight_size

    seen = look(job.path)
    spare = max(seen.width or 0, seen.height or 0) / limits().web_side_3
    if wants_grid and job.corners:
        grid = max(straight_size(job.corners))
        spare = min(spare, max(1.0, grid / limits().straight_side_max))
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
    from .straighten import straighten
    from .web import encode

    straight = straighten(
        opened.picture,
        opened.inside(job.corners or ()),
        job.width_mm,
        job.height_mm,
        side_max=limits().straight_side_max,
    )
    sheet, cell = sprite_picture(straight, job.rows, job.columns, job.missing)
    quality = limits().web_quality
    pictures = [
        Made("straight", job.tile, encode(straight, quality), *straight.size),
        Made("sprite", job.tile, encode(sheet, quality), *sheet.size),
    ]
    return pictures, {"cell_width": cell[0], "cell_height": cell[1]}
