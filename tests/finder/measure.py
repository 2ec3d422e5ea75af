"""How fast the finder is at a given size: `python tests/finder/measure.py [TILES]`.

In: a number of tiles (2,000 unless given), a browser. Out: figures on the console: time to make
the data, size of the scripts, time until the page answers from a disk, work of one keystroke, of
one question and of one pass over all tests. Not a test: it decides nothing.
"""

from __future__ import annotations

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from clearover import catalogue
from clearover.finder.data import as_script, finder_data, names_data
from clearover.pages import home
from clearover.pages.asset_files import assets, styles
from clearover.pages.links import Writer
from clearover.pages.page import Page, Site
from clearover.pages.shell import Frame

BENCH = Path(__file__).parents[1] / "bench" / "make_catalogue.py"
TYPED = ("h", "he", "hed", "wal", "green l", "blu", "rosw", "lanten", "zz", "1", "11", "b", "mo")
KEYSTROKE = """typed => {
  const input = document.querySelector("[role=combobox]");
  const times = [];
  for (const text of typed) {
    input.value = text;
    const from = performance.now();
    input.dispatchEvent(new InputEvent("input"));
    document.body.offsetHeight;  /* the layout is part of the work */
    times.push(performance.now() - from);
  }
  return times;
}"""
DRAW = """hashes => hashes.map(hash => {
  history.replaceState(null, "", hash);
  const from = performance.now();
  clearover.finder.draw();
  document.body.offsetHeight;
  return performance.now() - from;
})"""


def main() -> None:
    """Make, build, open, print."""
    tiles = sys.argv[1] if len(sys.argv) > 1 else "2000"
    with tempfile.TemporaryDirectory() as folder:
        combos, target = Path(folder) / "combos", Path(folder) / "site"
        subprocess.run([sys.executable, str(BENCH), tiles, str(combos)], check=True)
        site = Site(catalogue.compute(catalogue.read(combos)), {}, Path(folder))
        started = time.process_time()
        data = finder_data(site.findings, {})
        made = time.process_time() - started
        started = time.process_time()
        script = as_script(data)
        print(f"data {made:.2f} s, script {time.process_time() - started:.2f} s (processor time)")
        names = as_script(names_data(site.findings, home.OWN_PAGES), "clearoverNames")
        print(f"{len(script) / 1e6:.2f} MB and {len(names) / 1e3:.0f} kB")
        _write(site, target)
        _browse(target, sorted(site.catalogue.underglazes))


def _write(site: Site, target: Path) -> None:
    writer = Writer(target)
    frame = Frame(site_name="Measured", version="0", styles=styles())
    for made in home.pages(site):
        writer.write(made.address, frame.stamp(made) if isinstance(made, Page) else made.content)
    for address, path in assets():
        writer.write(address, path.read_bytes())


def _browse(target: Path, colours: list[str]) -> None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox"]
        )
        page = browser.new_page()
        ready = []
        for _ in range(7):
            page.goto((target / "index.html").as_uri())
            ready.append(_ready(page))
        _say("ready after the page was read, ms", [after for after, _ in ready])
        _say("  of it before the load event, ms", [before for _, before in ready])
        _say("one keystroke, ms", page.evaluate(KEYSTROKE, TYPED * 3))
        over = [f"#over={','.join(colours[n : n + 3])}&cone=6" for n in range(0, 60, 3)]
        _say("one question of three colours, ms", page.evaluate(DRAW, over))
        _say("all tests, filtered, ms", page.evaluate(DRAW, ["#tests", "#tests&colour=green"] * 5))
        browser.close()


def _ready(page: Any) -> tuple[float, float]:
    ready, read, load = page.evaluate(
        """() => { const [page] = performance.getEntriesByType("navigation");
          return [performance.getEntriesByName("finder ready")[0].startTime,
                  page.domInteractive, page.loadEventStart]; }"""
    )
    return ready - read, load - ready


def _say(what: str, times: list[float]) -> None:
    print(f"{what}: median {statistics.median(times):.1f}, worst {max(times):.1f}")


if __name__ == "__main__":
    main()
