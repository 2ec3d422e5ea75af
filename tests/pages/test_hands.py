"""Two processes at once: the same results, and faults that are not lost."""

from __future__ import annotations

import os
import sys

import pytest
from clearover.pages.hands import by_two

linux = pytest.mark.skipif(sys.platform != "linux", reason="forks on Linux only")
NAMES = ("one", "two", "three")


@linux
def test_each_name_is_done_once_and_some_elsewhere() -> None:
    found = by_two(lambda name: (name.upper(), os.getpid()), NAMES, {"two"})
    assert {name: word for name, (word, _) in found.items()} == {n: n.upper() for n in NAMES}
    assert found["one"][1] == found["three"][1] == os.getpid()
    assert found["two"][1] != os.getpid()


@linux
@pytest.mark.parametrize("where", ["one", "two"])
def test_a_fault_on_either_side_is_raised(where: str) -> None:
    def job(name: str) -> str:
        if name == where:
            raise LookupError(name)
        return name

    with pytest.raises(LookupError, match=where):
        by_two(job, NAMES, {"two"})
