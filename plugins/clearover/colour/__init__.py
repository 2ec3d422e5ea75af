"""Colour arithmetic on numpy arrays: sRGB, CIE Lab, colour differences, colour words.

`ciede2000` is stable for scripts. Knows nothing of photos, tiles or glazes.
"""

from .difference import ciede2000

__all__ = ["ciede2000"]
