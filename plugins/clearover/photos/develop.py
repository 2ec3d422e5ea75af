"""Make the pictures of every tile, as far as they are not in the cache already.

In: a catalogue and a cache folder. Out: a `TilePhotos` for each tile that has photos, and problems.
Never raises for a bad photo; a full disk or an unwritable folder does raise.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import replace
from pathlib import Path

from ..measuring.asking import request_for
from ..measuring.results import TileMeasurement
from ..records.catalogue import Catalogue
from ..records.problem import Place, Problem, in_order, problem
from ..records.tile import Photo, Tile
from .cache import Cache, Stamps
from .cache import prune as prune_names
from .limits import limits
from .pack import Pack
from .results import PhotoFault, Sprite, TilePhotos, WebPhoto
from .work import Job, Outcome, process, recall, remember

CRASHED = PhotoFault(
    "photo-not-a-photo", "opening it made the program stop", "save it again as JPEG"
)


def develop(
    catalogue: Catalogue, cache: Path, *, jobs: int | None = None
) -> tuple[dict[str, TilePhotos], list[Problem]]:
    """Every tile's pictures by tile id, and what was wrong with photos, sorted.

    `jobs` processes at most (one for each processor unless given; 1 keeps all in this process). An
    unchanged photo is not opened: its size and time tell. Delete what is no longer used with
    `prune`.
    """
    planned = [
        (tile, photo) for _, tile in sorted(catalogue.tiles.items()) for photo in tile.photos
    ]
    if not planned:
        return {}, []
    outcomes = _outcomes((job_of(catalogue, *one) for one in planned), cache, jobs)
    store, problems = Cache(cache), []
    found: dict[str, list[tuple[Photo, Outcome]]] = {}
    for (tile, photo), outcome in zip(planned, outcomes, strict=True):
        problems += _problems(tile, photo, outcome)
        found.setdefault(tile.id, []).append((photo, outcome))
    tiles = {tile: _photos(catalogue.tiles[tile], rows, store) for tile, rows in found.items()}
    return tiles, in_order(problems)


def kept_measurements(catalogue: Catalogue, cache: Path) -> dict[str, TileMeasurement]:
    """What photos say by tile, as far as a build has measured them already; opens no photo."""
    store, stamps, pack = Cache(cache), Stamps(cache), Pack(cache)
    found = {}
    for tile in catalogue.tiles.values():
        photo = tile.measured_photo
        if photo is None or photo.corners is None:
            continue
        outcome = _recalled(job_of(catalogue, tile, photo), store, stamps, pack)
        if outcome and outcome.kept.says:
            found[tile.id] = outcome.kept.says
    return found


def prune(cache: Path, tiles: Iterable[TilePhotos], strips: Iterable[Sprite] = ()) -> int:
    """Delete cached pictures that neither these tiles nor these strips use; how many there were."""
    used = {sprite.image.name for sprite in strips}
    for photos in tiles:
        used |= {image.name for photo in photos.photos for image in photo.sizes}
        used |= {photos.sprite.image.name} if photos.sprite else set()
        used |= {image.name for image in (photos.straight, photos.balanced) if image}
    return prune_names(cache, used)


def job_of(catalogue: Catalogue, tile: Tile, photo: Photo) -> Job:
    """What is to be made of one photo of a tile."""
    grid = photo is tile.measured_photo
    return Job(
        tile=tile.id,
        path=catalogue.photo_path(tile, photo.file),
        corners=photo.corners if grid else None,
        width_mm=photo.width_mm,
        height_mm=photo.height_mm,
        rows=tile.rows,
        columns=tile.columns,
        missing=tuple(sorted(tile.missing_cells)),
        request=request_for(tile, photo) if grid else None,
    )


def _outcomes(jobs: Iterable[Job], folder: Path, processes: int | None) -> list[Outcome]:
    """One outcome a job, in order: from the cache where possible, the rest made now."""
    cache, stamps, pack = Cache(folder), Stamps(folder), Pack(folder)
    outcomes: list[Outcome | None] = []
    todo: dict[int, Job] = {}
    for number, job in enumerate(jobs):
        outcomes.append(_recalled(job, cache, stamps, pack))
        if outcomes[-1] is None:
            todo[number] = job
    made = _made(list(todo.values()), folder, processes)
    for (number, job), outcome in zip(todo.items(), made, strict=True):
        outcomes[number] = outcome
        if outcome.sha256:
            stamps.remember(job.path, outcome.sha256, job.path.stat())
            remember(job, outcome, pack)
    stamps.save()
    pack.save()
    return [outcome for outcome in outcomes if outcome is not None]


def _recalled(job: Job, cache: Cache, stamps: Stamps, pack: Pack) -> Outcome | None:
    try:
        sha = stamps.known(job.path)
    except (OSError, ValueError):
        return None
    return recall(job, sha, cache, stamps, pack) if sha else None


def _made(jobs: list[Job], folder: Path, processes: int | None) -> list[Outcome]:
    processes = min(processes or os.cpu_count() or 1, len(jobs))
    if processes <= 1 or len(jobs) < limits().pool_from:
        return [process(job, folder) for job in jobs]
    done: dict[int, Outcome] = {}
    try:
        with _pool(processes) as pool:
            futures = [pool.submit(process, job, folder) for job in jobs]
            for number, future in enumerate(futures):
                done[number] = future.result()
    except BrokenProcessPool:
        pass  # one photo made its decoder crash: find out which, each in a process of its own
    return [
        done[number] if number in done else _alone(job, folder) for number, job in enumerate(jobs)
    ]


def _alone(job: Job, folder: Path) -> Outcome:
    try:
        with _pool(1) as pool:
            return pool.submit(process, job, folder).result()
    except BrokenProcessPool:
        return Outcome(faults=(CRASHED,))


def _pool(processes: int) -> ProcessPoolExecutor:
    # A fresh process each: the host may hold threads, which a forked one would not survive.
    return ProcessPoolExecutor(processes, mp_context=multiprocessing.get_context("spawn"))


def _problems(tile: Tile, photo: Photo, outcome: Outcome) -> list[Problem]:
    place = Place(str(Path(tile.file).parent / photo.file))
    faults, web = list(outcome.faults), outcome.kept.web
    for note in web.says.get("notes", []) if web else []:
        faults.append(PhotoFault("photo-profile-unusable", str(note), "sRGB"))
    return [problem(row.rule, place, found=row.found, wanted=row.wanted) for row in faults]


def _photos(tile: Tile, rows: list[tuple[Photo, Outcome]], store: Cache) -> TilePhotos:
    found = TilePhotos(tile.id, (), None, None)
    photos = []
    for photo, outcome in rows:
        kept = outcome.kept
        if kept.web is None:
            continue
        sizes = tuple(store.image(size) for size in kept.web.of("web"))
        corners = _fractions(photo, outcome)
        photos.append(WebPhoto(photo.file, sizes, photo.drawn == "yes", photo.caption, corners))
        if kept.grid:
            straight = store.image(kept.grid.of("straight")[0])
            image, says = store.image(kept.grid.of("sprite")[0]), kept.grid.says
            cell = (int(says["cell_width"]), int(says["cell_height"]))
            sprite = Sprite(image, tile.rows, tile.columns, *cell)
            found = replace(found, sprite=sprite, straight=straight)
        if kept.measured:
            balanced = [store.image(picture) for picture in kept.measured.of("balanced")]
            view = balanced[0] if balanced else None
            found = replace(found, measured=kept.says, balanced=view)
    return replace(found, photos=tuple(photos))


def _fractions(photo: Photo, outcome: Outcome) -> tuple[tuple[float, float], ...] | None:
    web = outcome.kept.web
    if not photo.corners or not web or outcome.faults:
        return None
    width, height = web.says["width"], web.says["height"]
    return tuple((x / width, y / height) for x, y in photo.corners)
