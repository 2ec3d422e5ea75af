"""The real command on a small studio: what is built, what stays when a record is wrong."""

from __future__ import annotations

import gzip
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from clearover.pages.site import FIXED
from clearover.plugin import _gather
from mkdocs.exceptions import PluginError

CONFIG = """\
site_name: Small Studio
site_url: https://example.org/pots/
docs_dir: site_src
theme: {name: material, font: false}
plugins: [clearover]
"""
RECORDS = {
    "studio.yml": "name: Small Studio\ncones: [05, 6]\nusual cone: 6\n",
    "underglazes/hedge-bottom.yml": "name: Hedge Bottom\ncolour: green\n",
    "clears/ferry-glass.yml": "name: Ferry Glass\nzinc: free\ncones: 5..6\n",
    "bodies/white-stoneware.yml": "name: White Stoneware\ncones: 5..6\n",
    "tiles/first/tile.yml": (
        "made: 2026-03-10\nmark: one\ncone: 6\natmosphere: oxidation\n"
        "across: {clear coats: [1, 2]}\n"
        "all: {underglaze: hedge-bottom, clear: ferry-glass, body: white-stoneware}\n"
        "judged:\n  - {by: R. A., on: 2026-03-22, colour: true}\n"
    ),
}
GUIDE = (
    "# Guide\n\n[colours](underglazes/index.html) [a tile](tiles/first.html) [home](index.html)\n"
)


def _studio(folder: Path, **changes: str) -> Path:
    for name, text in {**RECORDS, **changes}.items():
        path = folder / "combos" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    (folder / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    (folder / "site_src").mkdir()
    (folder / "site_src/guide.md").write_text(GUIDE, encoding="utf-8")
    return folder


def _build(folder: Path, *options: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", *options],
        cwd=folder,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1", **environment},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def _files(site: Path) -> dict[str, bytes]:
    return {
        path.relative_to(site).as_posix(): path.read_bytes()
        for path in site.rglob("*")
        if path.is_file()
    }


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small studio, built strictly once. Tests that change something copy it first."""
    folder = _studio(tmp_path_factory.mktemp("studio"))
    done = _build(folder, "--strict")
    assert done.returncode == 0, done.stderr
    return folder


@pytest.fixture
def copy(built: Path, tmp_path: Path) -> Path:
    """The built studio, free to change, with its time stamps."""
    subprocess.run(["cp", "-a", f"{built}/.", tmp_path], check=True)
    return tmp_path


def test_a_strict_build_holds_record_pages_and_guide_pages(built: Path) -> None:
    names = set(_files(built / "site"))
    assert {"index.html", "guide.html", "tiles/first.html", "clears/ferry-glass.html"} <= names
    assert set(FIXED) <= names, "an address that guide pages may link to is never written"
    assert not any(name.startswith(("search/", "assets/javascripts/workers")) for name in names)
    assert sorted(path.name for path in built.iterdir() if path.name.startswith(".site")) == []


def test_every_page_carries_the_policy_and_the_header(built: Path) -> None:
    for name, content in _files(built / "site").items():
        if name.endswith(".html"):
            html = content.decode()
            assert "Content-Security-Policy" in html, name
            assert 'class="top-name"' in html, name
            assert not re.search(r"<script(?![^>]*(?:src=|application/json))", html), name
            assert not re.search(r"<[^>]*\sstyle=|<style", html), name
            assert "//fonts." not in html, name


def test_the_sitemap_names_every_page_with_the_date_of_the_records(built: Path) -> None:
    sitemap = (built / "site/sitemap.xml").read_text()
    pages = {name for name in _files(built / "site") if name.endswith(".html")} - {"404.html"}
    named = set(re.findall(r"<loc>https://example.org/pots/([^<]*)</loc>", sitemap))
    assert named == pages
    assert set(re.findall(r"<lastmod>([^<]*)</lastmod>", sitemap)) == {"2026-03-22"}


def test_a_second_build_is_the_same_byte_for_byte_and_keeps_every_file(copy: Path) -> None:
    before = _files(copy / "site")
    times = {name: (copy / "site" / name).stat().st_mtime_ns for name in before}
    done = _build(copy, "--strict", PYTHONHASHSEED="7", TZ="Asia/Tokyo")
    assert done.returncode == 0, done.stderr
    assert _files(copy / "site") == before
    assert {name: (copy / "site" / name).stat().st_mtime_ns for name in before} == times
    packed = gzip.decompress((copy / "site/sitemap.xml.gz").read_bytes())
    assert packed == (copy / "site/sitemap.xml").read_bytes()


def test_a_whole_build_prunes_the_photo_cache_and_a_failed_one_does_not(copy: Path) -> None:
    pictures = copy / ".cache/clearover/pictures"
    pictures.mkdir(parents=True, exist_ok=True)
    left, fresh = pictures / "gone-12345678.webp", pictures / "fresh-12345678.webp"
    for path in (left, fresh):
        path.write_bytes(b"of a tile that is no more")
    os.utime(left, (1_700_000_000, 1_700_000_000))
    record = copy / "combos/tiles/first/tile.yml"
    sound = record.read_text(encoding="utf-8")
    record.write_text(sound.replace("cone: 6", "cone: sixty"), encoding="utf-8")
    assert _build(copy).returncode == 1
    assert left.exists()
    record.write_text(sound, encoding="utf-8")
    assert _build(copy).returncode == 0
    assert not left.exists() and fresh.exists()


def test_one_changed_record_rewrites_only_what_shows_it(copy: Path) -> None:
    before = {name: (copy / "site" / name).stat().st_mtime_ns for name in _files(copy / "site")}
    record = copy / "combos/bodies/white-stoneware.yml"
    record.write_text(record.read_text() + "notes: a new sack since May\n")
    assert _build(copy).returncode == 0
    changed = {
        name for name, time in before.items() if (copy / "site" / name).stat().st_mtime_ns != time
    }
    assert "bodies/white-stoneware.html" in changed
    assert changed.isdisjoint({"guide.html", "tiles/first.html", "clears/ferry-glass.html"})


def test_errors_are_all_listed_and_the_last_site_stays(copy: Path) -> None:
    before = _files(copy / "site")
    (copy / "combos/clears/ferry-glass.yml").write_text("name: Ferry Glass\nzinc: perhaps\n")
    (copy / "combos/underglazes/new.yml").write_text("name: New\ncolour: gren\n")
    done = _build(copy)
    assert done.returncode == 1
    assert "combos/clears/ferry-glass.yml:2:7: " in done.stderr
    assert "combos/underglazes/new.yml:2:9: " in done.stderr
    assert done.stderr.index("clears/ferry-glass") < done.stderr.index("underglazes/new")
    assert done.stderr.count("fix: ") >= 2
    assert "Traceback" not in done.stderr
    assert _files(copy / "site") == before
    assert not list(copy.glob(".site*"))


def test_a_warning_of_a_record_does_not_fail_a_strict_build(copy: Path) -> None:
    record = copy / "combos/tiles/first/tile.yml"
    record.write_text(record.read_text().replace("cone: 6", "cone: 10"))
    done = _build(copy, "--strict")
    assert done.returncode == 0, done.stderr
    assert "clearover: warning: combos/" in done.stderr


def test_a_strict_build_that_fails_late_keeps_the_last_site(copy: Path) -> None:
    before = _files(copy / "site")
    guide = copy / "site_src/guide.md"
    guide.write_text(guide.read_text() + "\n[nowhere](tiles/no-such-tile.html)\n")
    done = _build(copy, "--strict")
    assert done.returncode == 1
    assert "no-such-tile" in done.stderr
    assert _files(copy / "site") == before
    assert not list(copy.glob(".site*"))


def test_a_missing_folder_is_told_in_one_sentence(tmp_path: Path) -> None:
    folder = _studio(tmp_path)
    (folder / "combos").rename(folder / "elsewhere")
    done = _build(folder)
    assert done.returncode == 1
    assert "no such folder" in done.stderr
    assert "Traceback" not in done.stderr


def test_another_theme_is_refused_with_what_to_write(tmp_path: Path) -> None:
    folder = _studio(tmp_path)
    (folder / "mkdocs.yml").write_text(
        CONFIG.replace("name: material, font: false", "name: mkdocs")
    )
    done = _build(folder)
    assert done.returncode == 1
    assert "theme: {name: material, font: false}" in done.stderr
    assert not (folder / "site").exists()


def test_a_studio_without_any_tile_builds(tmp_path: Path) -> None:
    folder = _studio(tmp_path)
    subprocess.run(["rm", "-r", "combos"], cwd=folder, check=True)
    (folder / "combos").mkdir()
    (folder / "combos/studio.yml").write_text("name: New Studio\ncones: [6]\n")
    (folder / "site_src/guide.md").write_text("# Guide\n")
    done = _build(folder, "--strict")
    assert done.returncode == 0, done.stderr
    assert "0 tiles" in (folder / "site/index.html").read_text()


def test_serving_keeps_the_last_good_records_and_shows_the_problems(
    copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from mkdocs.commands.build import build
    from mkdocs.config import load_config

    record, shown = copy / "combos/clears/ferry-glass.yml", copy / "served"

    def serve_once() -> str:  # as `mkdocs serve` does at each change
        config = load_config(str(copy / "mkdocs.yml"), site_dir=str(shown))
        config.plugins.on_startup(command="serve", dirty=False)
        build(config, serve_url="http://127.0.0.1:8000/pots/")
        assert str(copy / "combos") in config.watch
        return (shown / "clears/ferry-glass.html").read_text()

    good = serve_once()
    assert "Content-Security-Policy" not in good  # the host injects its reload script
    record.write_text("name: Another\nzinc: perhaps\n")
    broken = serve_once()
    assert "combos/clears/ferry-glass.yml:2:7:" in broken
    assert "Ferry Glass" in broken
    record.write_text("name: Another Name\nzinc: free\n")
    mended = serve_once()
    assert "Another Name" in mended
    assert 'class="problems"' not in mended


def test_a_fault_of_ours_says_so(copy: Path) -> None:
    broken = copy / "broken"
    broken.mkdir()
    (broken / "sitecustomize.py").write_text(
        "import clearover.pages.gather as g\n"
        "def gather(*a): raise RuntimeError('something of ours')\n"
        "g.gather = gather\n"
    )
    before = _files(copy / "site")
    done = _build(copy, PYTHONPATH=str(broken))
    assert done.returncode == 1
    assert "a fault in Clearover" in done.stderr
    assert _files(copy / "site") == before


def test_the_plugin_is_cheap_to_import() -> None:
    """It brings nothing but itself and the day: what a build needs is imported when it is built."""
    code = (
        "import sys, mkdocs.plugins, mkdocs.structure.files, mkdocs.config.defaults\n"
        "before = set(sys.modules); import clearover.plugin\n"
        "print(*(set(sys.modules) - before - sys.stdlib_module_names))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert set(done.stdout.split()) == {"clearover", "clearover.day", "clearover.plugin"}


def test_a_day_that_is_none_stops_the_build(
    built: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "noon")
    with pytest.raises(PluginError, match="SOURCE_DATE_EPOCH must be seconds"):
        _gather(built / "combos", tmp_path)
