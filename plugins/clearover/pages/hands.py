"""Work done by two processes at once, where the machine can fork and it is worth it.

In: a job for each name, and the names to be done beside. Out: what each job gave, by name. A job
must leave its effects in files or in what it returns: memory of the second process is lost.
"""

from __future__ import annotations

import multiprocessing
import os
import sys
import threading
from collections.abc import Callable, Collection, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import Any, TypeVar

T = TypeVar("T")

_job: Callable[[str], Any] | None = None
"""Set before forking, so that the second process has it without it being sent."""


def can_share() -> bool:
    """Whether a second process would help and is safe: Linux, two cores, no other thread."""
    cores = len(os.sched_getaffinity(0)) if sys.platform == "linux" else 1
    return cores > 1 and threading.active_count() == 1


def by_two(job: Callable[[str], T], names: Sequence[str], beside: Collection[str]) -> dict[str, T]:
    """`job(name)` for each name, those in `beside` in a second process. Faults are raised here."""
    global _job
    _job = job
    try:
        with ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("fork")) as pool:
            theirs = pool.submit(_each, tuple(name for name in names if name in beside))
            found = {name: job(name) for name in names if name not in beside}
            return found | theirs.result()
    finally:
        _job = None


def _each(names: tuple[str, ...]) -> dict[str, Any]:
    assert _job is not None
    return {name: _job(name) for name in names}
