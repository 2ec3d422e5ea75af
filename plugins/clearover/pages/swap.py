"""Build beside the site, then put the new one in its place: a failed build changes nothing.

In: the site's folder. Out: a folder to build in, and the exchange. It must not know what the
files hold.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from pathlib import Path

from .links import keep_unchanged

BUILDING = ".building-"
REPLACED = ".replaced"
STALE_SECONDS = 6 * 3600  # what a killed build left; no build takes that long


def beside(site: Path) -> Path:
    """A new, empty folder next to the site, on the same disk. Clears away what was left over."""
    site.parent.mkdir(parents=True, exist_ok=True)
    _recover(site)
    for left in site.parent.glob(f".{site.name}{BUILDING}*"):
        if time.time() - left.stat().st_mtime > STALE_SECONDS:
            shutil.rmtree(left, ignore_errors=True)
    return Path(tempfile.mkdtemp(prefix=f".{site.name}{BUILDING}", dir=site.parent))


def discard(building: Path) -> None:
    """Forget a build."""
    shutil.rmtree(building, ignore_errors=True)


def publish(building: Path, site: Path, settled: set[str]) -> None:
    """Make `building` the site. `settled` are files that need no comparison with the old ones.

    Entries that begin with a dot (`.git`, `.nojekyll`) are carried over from the old site, as
    MkDocs does. Where the folder cannot be renamed (a mount point), files are replaced one by one.
    """
    building.chmod(0o777 & ~_umask())
    if site.exists():
        for path in _files(building):
            address = path.relative_to(building).as_posix()
            if address not in settled:
                keep_unchanged(path, site / address)
        _carry(site, building)
    replaced = _replaced(site)
    shutil.rmtree(replaced, ignore_errors=True)
    try:
        if site.exists():
            site.rename(replaced)
        building.rename(site)
    except OSError:
        if replaced.exists() and not site.exists():
            replaced.rename(site)
        _one_by_one(building, site)
        discard(building)
    shutil.rmtree(replaced, ignore_errors=True)


def _replaced(site: Path) -> Path:
    return site.with_name(f".{site.name}{REPLACED}")


def _recover(site: Path) -> None:
    """Undo an exchange that was killed between its two renames."""
    replaced = _replaced(site)
    if replaced.exists() and not site.exists():
        replaced.rename(site)


def _files(folder: Path) -> list[Path]:
    return [Path(where) / name for where, _, names in os.walk(folder) for name in names]


def _carry(site: Path, building: Path) -> None:
    for entry in site.iterdir():
        target = building / entry.name
        if not entry.name.startswith(".") or target.exists():
            continue
        if entry.is_dir():
            shutil.copytree(entry, target, symlinks=True, copy_function=_link_or_copy)
        else:
            _link_or_copy(entry, target)


def _link_or_copy(source: str | Path, target: str | Path) -> None:
    try:
        os.link(source, target, follow_symlinks=False)
    except OSError:
        shutil.copy2(source, target)


def _one_by_one(building: Path, site: Path) -> None:
    """The exchange for a folder that must stay: new files in, then old files out."""
    new = {path.relative_to(building) for path in _files(building)}
    for name in sorted(new):
        target = site / name
        if target.is_dir():
            shutil.rmtree(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.move(str(building / name), target)
    for path in _files(site):
        name = path.relative_to(site)
        if name not in new and not name.parts[0].startswith("."):
            path.unlink()


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
