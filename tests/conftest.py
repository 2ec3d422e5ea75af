"""What holds for all tests: no deadline, for other work on the machine says nothing; and the order
in which two processes take the files."""

from pathlib import Path

import clearover  # noqa: F401 - before numpy, which it keeps to one thread
import pytest
from hypothesis import settings

settings.register_profile("clearover", deadline=None)
settings.load_profile("clearover")

TESTS = Path(__file__).parent
SITE = TESTS / "browser" / "test_finder.py"
"""The first to need the demo site, which takes long to build."""
LONG = ("measuring", "pages", "commands", "glass", "photos", "drawn", "hostile")


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """One process builds the demo site while the other does what needs none; what is short comes
    last, so that both end together."""
    items.sort(key=lambda item: _place(Path(item.path)))


def _place(path: Path) -> int:
    if path == SITE:
        return 0
    folder = path.relative_to(TESTS).parts[0]
    if folder == "browser":
        return len(LONG) + 1
    return LONG.index(folder) + 1 if folder in LONG else len(LONG) + 2
