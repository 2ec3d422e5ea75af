"""A real browser on the real site, from `file:` and over HTTP, with every sort of leak recorded.

`page_file("tiles/x.html")` and `page_http(...)` open a page of the demo site. A request that leaves
the site, a console error, a script error or a violation of the Content-Security-Policy fails the
test that opened it. Without a browser these tests are skipped, loudly; with
CLEAROVER_BROWSER=required they fail instead. CLEAROVER_SITE names a site that is built already.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from clearover.pages.photo import PARTS
from clearover.pages.shell import POLICY

sys.path.insert(0, str(Path(__file__).parent))  # the tests find their own helpers by themselves
from opener import Opener

ROOT = Path(__file__).parents[2]
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """All tests beside this file drive a browser."""
    for item in items:
        if Path(item.path).parent == Path(__file__).parent:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo site, built once by the command a studio uses, strictly."""
    if given := os.environ.get("CLEAROVER_SITE"):
        return Path(given).resolve()
    base = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" not in os.environ:
        return _built(base / "browser-site")
    return _built_by_one(base.parent / "browser-site")


def _built(target: Path) -> Path:
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict", "--site-dir", str(target)],
        cwd=ROOT,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    assert done.returncode == 0, f"the demo does not build:\n{done.stderr[-6000:]}"
    return target


def _built_by_one(target: Path) -> Path:
    """Of several test processes the first builds; the others wait for it."""
    ready, failed = target.with_suffix(".ready"), target.with_suffix(".failed")
    try:
        target.with_suffix(".taken").mkdir()
    except FileExistsError:
        while not ready.exists():
            assert not failed.exists(), "the demo does not build; another test process tells why"
            time.sleep(0.2)
        return target
    try:
        _built(target)
    except BaseException:
        failed.touch()
        raise
    ready.touch()
    return target


def _missing(why: str) -> None:
    if os.environ.get("CLEAROVER_BROWSER") == "required":
        pytest.fail(f"a browser is required: {why}")
    pytest.skip(f"NO BROWSER, NOT TESTED: {why}")


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Chromium, headless. CLEAROVER_CHROMIUM names another program."""
    try:
        from playwright.sync_api import Error, sync_playwright
    except ImportError as error:
        _missing(str(error))
    named = os.environ.get("CLEAROVER_CHROMIUM")
    program = named or next(filter(None, map(shutil.which, BROWSERS)), None)
    with sync_playwright() as play:
        try:
            running = play.chromium.launch(executable_path=program, args=["--no-sandbox"])
        except Error as error:
            _missing(str(error).splitlines()[0])
        yield running
        running.close()


def _openers(browser: Any, base: str) -> Iterator[Opener]:
    opener = Opener(browser, base)
    yield opener
    opener.close()


def _used(opener: Opener) -> Iterator[Opener]:
    yield opener
    faults = opener.forget()
    assert not faults, "\n".join(faults)


@pytest.fixture(scope="session")
def from_file(browser: Any, site: Path) -> Iterator[Opener]:
    """Opens pages of the site from a disk, in all tests."""
    yield from _openers(browser, f"{site.as_uri()}/")


@pytest.fixture
def page_file(from_file: Opener) -> Iterator[Opener]:
    """Opens pages as from a stick, by double-click."""
    yield from _used(from_file)


@pytest.fixture(scope="session")
def served(site: Path) -> Iterator[str]:
    """The site over HTTP on this machine; gives its address."""

    class Quiet(SimpleHTTPRequestHandler):
        def log_message(self, *_: Any) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()


@pytest.fixture(scope="session")
def from_host(browser: Any, served: str) -> Iterator[Opener]:
    """Opens pages of the site over HTTP, in all tests."""
    yield from _openers(browser, served)


@pytest.fixture
def page_http(from_host: Opener) -> Iterator[Opener]:
    """Opens pages as from a static host."""
    yield from _used(from_host)


@pytest.fixture
def watched(browser: Any) -> Iterator[Any]:
    """An opener for pages a test writes itself: `watched(folder)`; its faults fail nothing."""
    openers: list[Opener] = []

    def make(folder: Path) -> Opener:
        openers.append(Opener(browser, f"{folder.as_uri()}/"))
        return openers[-1]

    yield make
    for opener in openers:
        opener.close()


@pytest.fixture(scope="session")
def kinds(site: Path) -> dict[str, str]:
    """An address of each kind of page: record pages by their kind and depth, guide pages all."""
    found: dict[str, str] = {}
    for path in sorted(site.rglob("*.html")):
        address = path.relative_to(site).as_posix()
        head = path.read_text(encoding="utf-8").partition('<body class="page-')[2]
        ours = head.partition('"')[0]
        kind = f"{ours} {address.count('/')}" if head else f"guide {address}"
        found.setdefault(kind, address)
    found.pop("guide 404.html", None)  # its links are for a host's root
    return found


@pytest.fixture(scope="session")
def mark_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The mark-a-photo page alone, with the site's own tokens and policy: needs no build."""
    folder = tmp_path_factory.mktemp("mark")
    package = files("clearover") / "pages"
    scripts = [f"js/mark-{part}.js" for part in PARTS]
    for name in ("css/tokens.css", "css/mark-photo.css", *scripts):
        target = folder / name
        target.parent.mkdir(exist_ok=True)
        target.write_bytes((package / "assets" / name).read_bytes())
    body = (package / "templates/mark_photo.html").read_text(encoding="utf-8")
    head = (
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
        '<meta name="viewport" content="width=device-width,initial-scale=1"><title>Mark</title>'
        '<link rel="stylesheet" href="css/tokens.css">'
        '<link rel="stylesheet" href="css/mark-photo.css">'
        + "".join(f'<script src="{name}" defer></script>' for name in scripts)
    )
    (folder / "photo.html").write_text(
        f'<!doctype html><html lang="en"><head><meta charset="utf-8">{head}</head>'
        f"<body><main>{body}</main></body></html>",
        encoding="utf-8",
    )
    return folder


@pytest.fixture
def take() -> Callable[[Any, bytes, str], None]:
    """Picks a file on the mark-a-photo page: `take(page, content, name)`."""

    def pick(page: Any, photo: bytes, name: str) -> None:
        page.set_input_files(
            "input[type=file]", {"name": name, "mimeType": "image/jpeg", "buffer": photo}
        )

    return pick


@pytest.fixture(scope="session")
def from_mark_page(browser: Any, mark_page: Path) -> Iterator[Opener]:
    """Opens the mark-a-photo page, in all tests."""
    yield from _openers(browser, f"{mark_page.as_uri()}/")


@pytest.fixture
def opened(from_mark_page: Opener, take: Any) -> Iterator[Callable[..., Any]]:
    """Opens the mark-a-photo page with a photo on it; whatever it did wrong fails the test."""

    def make(photo: bytes | None = None, name: str = "front.jpg", **options: Any) -> Any:
        page = from_mark_page("photo.html", **options)
        if photo is not None:
            take(page, photo, name)
            page.wait_for_selector("[data-part=work]:not([hidden])")
        return page

    yield make
    faults = from_mark_page.forget()
    assert not faults, "\n".join(faults)
