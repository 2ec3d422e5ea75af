"""What a photo says of one tile: plain values for pages, commands and exports.

A value that could not be read from the photo is None, and `status` says why and what would help:
`not measured: glare covers it`. Lab is CIE 1976 for D65 and the 2° observer.
"""

from __future__ import annotations

from dataclasses import dataclass, field

MEASURED = "measured"


@dataclass(frozen=True, slots=True)
class Balance:
    """How the photo's colours were brought to daylight.

    `by`: `grey card`, `chart` or None. `reflectance` of the card, `assumed` where the record does
    not state it. `gains` multiply linear red, green and blue. `evened_by` names what the light was
    evened by, empty where it was not; `light_ratio` is brightest to darkest over the grid, 1 where
    even. `error_delta_e` is the chart's leave-one-out error (median ΔE00), `reason` says what is
    missing. `clay` is L*a*b* of the bare clay round the grid; `doubt` says why card or chart seem
    to lie in another light than the tile: then nothing absolute is to be trusted, differences
    within the photo are.
    """

    by: str | None
    reflectance: float | None = None
    assumed: bool = False
    gains: tuple[float, float, float] = (1.0, 1.0, 1.0)
    evened_by: tuple[str, ...] = ()
    light_ratio: float | None = None
    error_delta_e: float | None = None
    reason: str | None = None
    notes: tuple[str, ...] = ()
    clay: tuple[float, float, float] | None = None
    doubt: str | None = None


@dataclass(frozen=True, slots=True)
class CellColour:
    """One cell. `spread` is the median ΔE00 of its parts from its own colour, `pixels` how many
    were used, `left_out` the share that was glare or clipped."""

    row: int
    column: int
    lab: tuple[float, float, float] | None
    spread: float | None
    pixels: int
    left_out: float
    status: str


@dataclass(frozen=True, slots=True)
class LineMeasure:
    """One painted line, by the attributes of ISO/IEC 24790, in mm of the tile.

    `upper_mm` and `lower_mm` are the 10 to 90 % spreads of its two edges, the camera's own blur
    taken off; `drag_mm` the lower's less the upper's, toward the edge that was down, with its 90 %
    range and the least drag that this photo could show (`limit_mm`). `kind` says what the edges
    show: crisp | softened or bled | dragged | smudged, None where nothing can be said. `darkness`
    is the core's optical density, `contrast` how much less light it sends back than its ground (a
    share, below 0 for a lighter line), `note` a doubt about the record or the photo.
    """

    row: int
    column: int
    width_mm: float | None
    blur_mm: float | None
    raggedness_mm: float | None
    darkness: float | None
    upper_mm: float | None
    lower_mm: float | None
    drag_mm: float | None
    drag_low_mm: float | None
    drag_high_mm: float | None
    limit_mm: float | None
    kind: str | None
    status: str
    note: str = ""
    contrast: float | None = None


@dataclass(frozen=True, slots=True)
class Surface:
    """What the glaze's surface shows: `haze` 0 to 1 (share of contrast and saturation lost),
    pinholes and bubbles a cm² with their median diameter in mm. None with `status` where the photo
    is too coarse."""

    row: int
    column: int
    haze: float | None
    pinholes_per_cm2: float | None
    bubbles_per_cm2: float | None
    size_mm: float | None
    status: str


@dataclass(frozen=True, slots=True)
class Cover:
    """Whether a colour hides its ground: `contrast_ratio` is Y over the dark ground by Y over the
    light one (1 hides), `ratio_low` to `ratio_high` its 90 % range, `hides` what that says: hides |
    not wholly | cannot tell yet. `streaks` is the directional unevenness (share of the mean),
    `coats_to_hide` how many coats hide the ground by this photo, None with `coats_reason`;
    `coats_low` and `coats_high` the same by the ends of the ranges, None where they cannot tell."""

    row: int
    column: int
    contrast_ratio: float | None
    streaks: float | None
    status: str
    coats_to_hide: int | None = None
    coats_reason: str = ""
    ratio_low: float | None = None
    ratio_high: float | None = None
    hides: str | None = None
    coats_low: int | None = None
    coats_high: int | None = None


@dataclass(frozen=True, slots=True)
class TileMeasurement:
    """Everything one photo says of one tile. `noise_delta_e` is the ΔE00 below which two cells of
    this photo cannot be told apart, None where nothing repeats."""

    tile: str
    photo: str
    px_per_mm: float | None
    balance: Balance
    noise_delta_e: float | None
    cells: tuple[CellColour, ...] = ()
    lines: tuple[LineMeasure, ...] = ()
    cover: tuple[Cover, ...] = ()
    surface: tuple[Surface, ...] = ()
    notes: tuple[str, ...] = field(default=())
