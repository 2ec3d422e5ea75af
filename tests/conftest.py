"""What holds for all tests: no deadline, for other work on the machine says nothing; and how the
processes share the tests: what they make at some cost is made in one of them, and long goes first.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import clearover  # noqa: F401 - before numpy, which it keeps to one thread
import pytest
from hypothesis import settings

settings.register_profile("clearover", deadline=None)
settings.load_profile("clearover")

TESTS = Path(__file__).parent
TOGETHER = ("browser/test_mark_", "browser/", "measuring/")
"""Beginnings of files that one process takes all of, since they share windows or drawn photos."""
LONG = (*TOGETHER, "pages/", "commands/", "photos/", "drawn/", "glass/", "hostile/")
"""What comes first, in this order; what is short comes last, so that all end together."""


def _place(path: Path) -> int:
    name = path.relative_to(TESTS).as_posix()
    return next((n for n, long in enumerate(LONG) if name.startswith(long)), len(LONG))


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long before short."""
    items.sort(key=lambda item: _place(Path(item.path)))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Files go to the processes one by one, those of `TOGETHER` at once."""
    from xdist.scheduler import LoadFileScheduling

    class Together(LoadFileScheduling):
        def _split_scope(self, nodeid: str) -> str:
            file = nodeid.partition("::")[0]
            name = file.partition("tests/")[2]
            return next((some for some in TOGETHER if name.startswith(some)), file)

    return Together(config, log) if config.getvalue("dist") == "loadfile" else None
