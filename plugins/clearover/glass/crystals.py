"""Which clears hold crystals once they are cool: a surface in, the reason for no number out.

A satin or a matte crystallises as it cools, so that it neither flows nor expands like the glass of
its recipe. Source: common practice.
"""

from __future__ import annotations

CRYSTALLINE = ("satin", "matte")


def crystallises(surface: str | None, so: str) -> str | None:
    """Why a model of a glass does not hold for a clear of this surface, `so` being what follows
    from the crystals; None where the surface is another or nobody knows it."""
    return (
        f"a {surface} clear crystallises as it cools, and {so}" if surface in CRYSTALLINE else None
    )
