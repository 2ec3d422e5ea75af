"""Colours that a file names by numbers instead of a profile (coding-independent code points).

In: the numbers of primaries and transfer. Out: why they cannot be used, or None. Knows nothing of
files; `cicp_profile` makes a profile of them.

Source: ITU-T H.273 (2021), tables 2 (primaries) and 3 (transfers).
"""

from __future__ import annotations

UNSAID = 2
SRGB_PRIMARIES = (1, UNSAID)
WIDE_PRIMARIES = {
    9: ((0.708, 0.292), (0.170, 0.797), (0.131, 0.046)),
    12: ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060)),
}
"""Chromaticities of red, green and blue with the white D65: ITU-R BT.2020, and P3 with D65."""
# 13 is sRGB. 1, 6, 14 and 15 are the curve of a video camera: files of photos bear them by habit,
# and are meant for the same screen. Taken as sRGB: our choice, as 2 (unsaid) is.
SRGB_TRANSFERS = (1, UNSAID, 6, 13, 14, 15)
HDR_TRANSFERS = (16, 18)


def why_not(cicp: tuple[int, int]) -> str | None:
    """Why colours of these numbers cannot be used, or None."""
    primaries, transfer = cicp
    if transfer in HDR_TRANSFERS:
        return "high dynamic range (HDR)"
    known = primaries in SRGB_PRIMARIES or primaries in WIDE_PRIMARIES
    if transfer not in SRGB_TRANSFERS or not known:
        return f"an unusual colour space (numbers {primaries} and {transfer})"
    return None
