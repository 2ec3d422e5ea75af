"""Judge photos and their corners at the door.

In: a path, or four corners and a size. Out: faults, in a record rule's words. Nothing is decoded
unless `verified` names a cache: then each new content is decoded once, fully, and remembered.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist
from pathlib import Path

from .header import faults_of, read_header
from .limits import limits
from .results import PhotoFault, PhotoRefused

Corners = Sequence[tuple[float, float]]
ORDER = "clockwise from the tile's own top left: top left, top right, bottom right, bottom left"
NAMES = ("top left", "top right", "bottom right", "bottom left")


@dataclass(frozen=True, slots=True)
class Look:
    """What a first look says. Width and height in px after orientation, None where unreadable."""

    faults: tuple[PhotoFault, ...]
    width: int | None = None
    height: int | None = None


def look(path: Path) -> Look:
    """Look at a photo's header: its faults and its upright size. Never raises."""
    try:
        header = read_header(path)
    except PhotoRefused as refusal:
        return Look((refusal.fault,))
    width, height = header.upright
    return Look(tuple(faults_of(header, path)), width, height)


def check_photo(path: Path, verified: Path | None = None) -> list[PhotoFault]:
    """Every fault of one photo; none for a sound one. Never raises.

    `verified` is a photo cache: given one, a photo whose header is sound is decoded fully, once for
    each content.
    """
    faults = list(look(path).faults)
    if verified is not None and not faults:
        from .verify import verify

        fault = verify(path, verified)
        faults += [fault] if fault else []
    return faults


def check_corners(corners: Corners, width: int, height: int) -> PhotoFault | None:
    """The first fault of four corners in a photo of this upright size, px; None where sound.

    A corner's coordinates are counted from the photo's upper left edge, so 0 and `width` both lie
    on its border.
    """
    for name, (x, y) in zip(NAMES, corners, strict=True):
        if not (0 <= x <= width and 0 <= y <= height):
            return PhotoFault("corners-outside", f"{name} [{x:g}, {y:g}]", f"{width} × {height} px")
    turns = _turns(corners)
    ring = [*corners, corners[0]]
    shortest = min(dist(one, other) for one, other in pairwise(ring))
    side = limits().corner_side_min
    if shortest < side:
        return PhotoFault("corners-tiny", f"one edge is {shortest:.0f} px long", f"{side} px")
    if all(turn < 0 for turn in turns):
        return PhotoFault("corners-anticlockwise", "anticlockwise", ORDER)
    if not all(turn > 0 for turn in turns):
        return PhotoFault("corners-crossed", _crossing(turns), ORDER)
    return None


def _crossing(turns: list[float]) -> str:
    if 0.0 in turns:
        return "three of them lie in a line"
    right_turns = sum(turn > 0 for turn in turns)
    return "the outline crosses itself" if right_turns == 2 else "one corner is dented inward"


def _turns(corners: Corners) -> list[float]:
    """The cross product at each corner: positive where the outline turns clockwise on screen.

    Less than one degree counts as no turn: such a corner lies on an edge.
    """
    turns = []
    for at in range(4):
        (ax, ay), (bx, by), (cx, cy) = (corners[(at + step) % 4] for step in (-1, 0, 1))
        cross = (bx - ax) * (cy - by) - (by - ay) * (cx - bx)
        span = dist((ax, ay), (bx, by)) * dist((bx, by), (cx, cy))
        turns.append(cross if abs(cross) > 0.0175 * span else 0.0)
    return turns
