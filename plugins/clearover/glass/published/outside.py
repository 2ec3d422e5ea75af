"""How a published model says that it does not reach: an `Outside` in place of the number."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Outside:
    """The model does not apply. `reason` is one clause a potter understands, without “not
    computed” before it: “the Appen model has no factor for 3.2 mol % V2O5”."""

    reason: str


def value_of(answer: float | Outside) -> float | None:
    """The bare number, or None where there is none: for whoever only measures models."""
    return None if isinstance(answer, Outside) else answer
