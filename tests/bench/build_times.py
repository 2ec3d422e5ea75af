"""How long a build takes, what memory it needs, how it grows, and how heavy a page's shell is.

`python tests/bench/build_times.py` makes its catalogues in a temporary folder and prints a table.
Every build is a process of its own, from nothing: no site, no cache. Sizes are without photos.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from dataclasses import dataclass
from pathlib import Path

import psutil
from as_markdown import as_markdown
from make_catalogue import make

ROOT = Path(__file__).resolve().parent.parent.parent
_THEME = "site_name: Stock theme\ntheme: {name: material, font: false}\n"
_QUIET = "validation: {omitted_files: ignore, links: {not_found: ignore, anchors: ignore}}\n"
STOCK = {
    "leanest": f"{_THEME}plugins: []\nnav: [index.md]\n{_QUIET}",
    "not in nav": f"{_THEME}nav: [index.md]\n{_QUIET}",
    "as it comes": f"{_THEME}{_QUIET}",
}
"""The stock theme: without search and navigation, without navigation, with both (its default)."""


@dataclass(frozen=True, slots=True)
class Run:
    """One build. Seconds of wall clock and of processor, peak resident memory in MiB."""

    wall: float
    processor: float
    peak: float


def main() -> None:
    """Measure, print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--tiles", type=int, default=2000, help="the smaller of the two sizes")
    parser.add_argument("--times", type=int, default=5, help="builds of each size, interleaved")
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="build-times-") as folder:
        measured = measure(Path(folder), given.tiles, given.times)
    print(json.dumps(measured, indent=1) if given.json else table(measured))


def measure(folder: Path, tiles: int, times: int) -> dict[str, object]:
    """All figures. The stock theme gets the text of the very pages that we stamped."""
    small = project(folder / "small", tiles)
    large = project(folder / "large", 2 * tiles)
    runs: dict[Path, list[Run]] = {small: [], large: []}
    for _ in range(times):
        for each in runs:
            runs[each].append(build(each))
    one, two = runs[small], runs[large]
    return {
        "tiles": tiles,
        "times": times,
        "pages": sum(1 for _ in (small / "site").rglob("*.html")),
        "wall_s": round(middle(one, "wall"), 2),
        "processor_s": round(middle(one, "processor"), 2),
        "processor_s_of_twice": round(middle(two, "processor"), 2),
        "growth": round(middle(two, "processor") / middle(one, "processor"), 2),
        "peak_mib": round(max(run.peak for run in one)),
        "peak_mib_of_twice": round(max(run.peak for run in two)),
        "shell_bytes": shell_bytes(small / "site"),
        "site_mb": round(sum(p.stat().st_size for p in (small / "site").rglob("*")) / 1e6, 1),
        **_stock(folder, small, middle(one, "processor")),
    }


def _stock(folder: Path, small: Path, ours: float) -> dict[str, object]:
    """The stock theme, side by side with our own build of the same pages and all the others."""
    stock = stock_project(folder / "stock", small / "site")
    found: dict[str, object] = {}
    for name, settings in STOCK.items():
        (stock / "mkdocs.yml").write_text(settings, encoding="utf-8")
        run = build(stock)
        found[f"stock theme, {name}: processor_s"] = round(run.processor, 2)
        found[f"stock theme, {name}: times_slower"] = round(run.processor / ours, 1)
    return found


def middle(runs: list[Run], what: str) -> float:
    """The median of one figure."""
    return statistics.median(getattr(run, what) for run in runs)


def project(folder: Path, tiles: int) -> Path:
    """This repository's own site, its demo replaced by a catalogue of so many tiles."""
    folder.mkdir()
    shutil.copytree(ROOT / "site_src", folder / "site_src")
    shutil.copy(ROOT / "mkdocs.yml", folder)
    make(tiles, folder / "combos")
    return folder


def stock_project(folder: Path, site: Path) -> Path:
    """The same tile pages as Markdown, for the theme alone."""
    docs = folder / "docs"
    docs.mkdir(parents=True)
    (docs / "index.md").write_text("# Tiles\n", encoding="utf-8")
    for page in sorted((site / "tiles").glob("*.html")):
        if page.name != "index.html":
            text = as_markdown(page.read_text(encoding="utf-8"))
            (docs / f"{page.stem}.md").write_text(text, encoding="utf-8")
    return folder


def build(folder: Path, keep: tuple[str, ...] = ()) -> Run:
    """Build from nothing (but what is kept), in a process of its own, which may start others."""
    for old in {"site", ".cache"} - set(keep):
        shutil.rmtree(folder / old, ignore_errors=True)
    words = [sys.executable, "-m", "mkdocs", "build", "--quiet"]
    start = time.perf_counter()
    child = subprocess.Popen(words, cwd=folder, env={**os.environ, "NO_MKDOCS_2_WARNING": "1"})
    peaks: list[float] = []
    watcher = threading.Thread(target=_watch, args=(child.pid, peaks))
    watcher.start()
    # wait4 tells the processor time of the child and of all that it started and waited for.
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    wall = time.perf_counter() - start
    watcher.join()
    if status:
        raise SystemExit(f"the build in {folder} failed")
    return Run(wall, used.ru_utime + used.ru_stime, max(used.ru_maxrss / 1024, *peaks, 0.0))


def _watch(pid: int, peaks: list[float]) -> None:
    """Note the memory of a process and all it started, MiB, 20 times a second.

    Resident sizes are summed, so memory that two processes share counts twice.
    """
    with contextlib.suppress(psutil.Error):
        top = psutil.Process(pid)
        while top.is_running():
            total = 0
            for each in (top, *top.children(recursive=True)):
                with contextlib.suppress(psutil.Error):
                    total += each.memory_info().rss
            peaks.append(total / 2**20)
            time.sleep(0.05)


def shell_bytes(site: Path) -> int:
    """The largest shell of any stamped tile page: all of it but what stands in `<main>`."""
    return max(
        len(re.sub(rb"(<main\b[^>]*>).*(</main>)", rb"\1\2", page.read_bytes(), flags=re.S))
        for page in (site / "tiles").glob("*.html")
    )


LIMITS = {
    "wall_s": 10,
    "stock theme, as it comes: times_slower": 6,
    "growth": 2.2,
    "peak_mib": 300,
    "shell_bytes": 8000,
}
"""What the figures are to keep within; `times_slower` is a least, the others a most."""


def table(measured: dict[str, object]) -> str:
    """The figures as Markdown, with what they are to keep within."""
    rows = ["| figure | measured | to keep |", "|---|---|---|"]
    for name, value in measured.items():
        limit = LIMITS.get(name)
        bound = "" if limit is None else f"{'≥' if 'slower' in name else '≤'} {limit}"
        rows.append(f"| {name} | {value} | {bound} |")
    return "\n".join(rows)


if __name__ == "__main__":
    main()
