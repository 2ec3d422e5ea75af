"""A firing as temperature over time: what the heat-work and the movement models integrate.

Comes from a kiln log or from a schedule. Knows no cone, no tile and no glaze.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Profile:
    """Times in hours since the start, rising; temperatures in °C, one for each time.

    Between two points the temperature is a straight line. `known_from` is `log` or `schedule`;
    `notes` say what was taken for granted.
    """

    hours: tuple[float, ...]
    celsius: tuple[float, ...]
    known_from: str
    notes: tuple[str, ...] = ()

    @property
    def peak_c(self) -> float:
        """The hottest temperature, °C."""
        return max(self.celsius)
