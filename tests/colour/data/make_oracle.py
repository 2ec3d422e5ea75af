"""Writes srgb_oracle.csv: random colours through `colour-science` 0.4.7, its definitions as ours
(matrix derived from the primaries, white from the four-decimal x, y). Needs that library."""

import csv
from pathlib import Path

import colour
import numpy as np

space = colour.RGB_COLOURSPACES["sRGB"].copy()
space.use_derived_transformation_matrices(True)
white = np.array([0.3127, 0.3290])
rng = np.random.default_rng(20261125)
rgb = np.vstack([rng.random((60, 3)), rng.random((20, 3)) * 0.05, np.eye(3), np.ones((1, 3))])


def curve(value: np.ndarray) -> np.ndarray:
    """The standard's transfer function, threshold 0.04045."""
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


xyz = curve(rgb) @ space.matrix_RGB_to_XYZ.T
lab = colour.XYZ_to_Lab(xyz, white)
fifty = colour.XYZ_to_Lab(
    colour.chromatic_adaptation(
        xyz,
        colour.xy_to_XYZ(white),
        colour.xy_to_XYZ(np.array([0.3457, 0.3585])),
        method="Von Kries",
        transform="Bradford",
    ),
    np.array([0.3457, 0.3585]),
)
other = np.roll(lab, 1, axis=0)
delta = colour.difference.delta_E_CIE2000(lab, other)
with Path(__file__).with_name("srgb_oracle.csv").open("w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["R", "G", "B", "L", "a", "b", "L50", "a50", "b50", "de00_to_the_row_before"])
    for parts in zip(rgb, lab, fifty, delta, strict=True):
        out.writerow([f"{v:.9f}" for part in parts for v in np.atleast_1d(part)])
