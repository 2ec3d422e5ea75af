"""Gives equal values one number, so that a text or a list is sent to the browser once."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Generic, TypeVar

T = TypeVar("T", bound=Hashable)


class Pool(Generic[T]):
    """Values in the order they were first met; `pool(value)` is the value's place."""

    def __init__(self) -> None:
        self._places: dict[T, int] = {}

    def __call__(self, value: T) -> int:
        return self._places.setdefault(value, len(self._places))

    @property
    def values(self) -> list[T]:
        """All values, each at its place."""
        return list(self._places)
