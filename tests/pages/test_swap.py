"""Built beside, then exchanged: what stays, what goes, and what a failure leaves."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from clearover.pages import links
from clearover.pages.links import Writer
from clearover.pages.swap import beside, discard, publish

OLD = 1_700_000_000


def _site(folder: Path, files: dict[str, str]) -> Path:
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
        os.utime(path, (OLD, OLD))
    return folder


def _contents(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): path.read_text()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def _build(site: Path, stamped: dict[str, str], copied: dict[str, str]) -> None:
    building = beside(site)
    writer = Writer(building, site)
    for name, text in stamped.items():
        writer.write(name, text.encode())
    for name, text in copied.items():
        (building / name).parent.mkdir(parents=True, exist_ok=True)
        (building / name).write_text(text)
    publish(building, site, writer.written)


@pytest.fixture(params=["links", "no links"])
def disk(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """A disk with hard links, and one without (FAT)."""
    if request.param == "no links":

        def refuse(*_: object, **__: object) -> None:
            raise OSError("links are not supported")

        monkeypatch.setattr(os, "link", refuse)
    return str(request.param)


def test_what_did_not_change_keeps_its_time(tmp_path: Path, disk: str) -> None:
    site = _site(tmp_path / "site", {"a.html": "a", "b.html": "b", "css/c.css": "c", "d.css": "d"})
    _build(site, {"a.html": "a", "b.html": "new"}, {"css/c.css": "c", "d.css": "new"})
    assert _contents(site) == {"a.html": "a", "b.html": "new", "css/c.css": "c", "d.css": "new"}
    kept = {name for name in _contents(site) if (site / name).stat().st_mtime == OLD}
    assert kept == {"a.html", "css/c.css"}


def test_what_is_gone_is_gone_and_dot_entries_stay(tmp_path: Path, disk: str) -> None:
    site = _site(tmp_path / "site", {"gone.html": "x", ".nojekyll": "", ".git/HEAD": "ref"})
    _build(site, {"new.html": "n"}, {})
    assert _contents(site) == {"new.html": "n", ".nojekyll": "", ".git/HEAD": "ref"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_the_first_site_needs_no_old_one(tmp_path: Path) -> None:
    _build(tmp_path / "deep/site", {"index.html": "x"}, {})
    assert _contents(tmp_path / "deep/site") == {"index.html": "x"}
    assert (tmp_path / "deep/site").stat().st_mode & 0o055 == 0o055


def test_a_discarded_build_leaves_the_site_alone(tmp_path: Path) -> None:
    site = _site(tmp_path / "site", {"a.html": "a"})
    building = beside(site)
    Writer(building, site).write("a.html", b"half")
    discard(building)
    assert _contents(site) == {"a.html": "a"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_folder_that_cannot_be_renamed_is_filled_file_by_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    site = _site(tmp_path / "site", {"a.html": "a", "gone.html": "g", ".nojekyll": ""})
    rename = Path.rename

    def mount_point(self: Path, target: Path) -> Path:
        if self == site:
            raise OSError("device or resource busy")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", mount_point)
    _build(site, {"a.html": "new", "deep/b.html": "b"}, {})
    assert _contents(site) == {"a.html": "new", "deep/b.html": "b", ".nojekyll": ""}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_an_exchange_that_was_killed_half_way_is_undone(tmp_path: Path) -> None:
    _site(tmp_path / ".site.replaced", {"a.html": "a"})
    discard(beside(tmp_path / "site"))
    assert _contents(tmp_path / "site") == {"a.html": "a"}


def test_what_a_killed_build_left_is_cleared_away_but_no_running_build(tmp_path: Path) -> None:
    left, running = beside(tmp_path / "site"), beside(tmp_path / "site")
    os.utime(left, (OLD, OLD))
    discard(beside(tmp_path / "site"))
    assert not left.exists()
    assert running.exists()


def test_writing_never_reaches_through_a_link_into_the_old_site(tmp_path: Path) -> None:
    site = _site(tmp_path / "site", {"a.html": "a"})
    building = beside(site)
    os.link(site / "a.html", building / "a.html")
    Writer(building, site).write("a.html", b"other")
    assert (site / "a.html").read_text() == "a"
    assert (building / "a.html").read_text() == "other"


def test_a_picture_is_linked_from_the_cache_or_copied(tmp_path: Path, disk: str) -> None:
    source = _site(tmp_path / "cache", {"p.webp": "picture"}) / "p.webp"
    writer = Writer(tmp_path / "site")
    writer.place("assets/photos/p.webp", source)
    writer.place("assets/photos/p.webp", source)  # a second page may name it too
    made = tmp_path / "site/assets/photos/p.webp"
    assert made.read_text() == "picture"
    assert made.samefile(source) == (disk == "links")


def test_a_picture_keeps_its_time_when_the_cache_was_made_anew(tmp_path: Path, disk: str) -> None:
    site = _site(tmp_path / "site", {"assets/photos/p.webp": "picture"})
    source = _site(tmp_path / "cache", {"p.webp": "picture"}) / "p.webp"
    os.utime(source)
    building = beside(site)
    Writer(building, site).place("assets/photos/p.webp", source)
    assert (building / "assets/photos/p.webp").stat().st_mtime == OLD


def test_keeping_is_measured_by_content_not_by_size_or_time(tmp_path: Path) -> None:
    old, new = tmp_path / "old", tmp_path / "new"
    old.write_text("abc")
    new.write_text("abd")
    now = time.time()
    os.utime(old, (now, now))
    os.utime(new, (now, now))
    links.keep_unchanged(new, old)
    assert new.read_text() == "abd"
