"""The words a record may use, each list in one place.

All are the trade's own. What a word means to a reader stands in the guide; what follows from it is
decided in `evidence`.
"""

from __future__ import annotations

COLOURS = (
    "black",
    "white",
    "grey",
    "red",
    "orange",
    "yellow",
    "green",
    "turquoise",
    "blue",
    "purple",
    "pink",
    "brown",
)
"""Basic colour words; `data/colour-words.csv` ties each to measured colours."""

COLOUR_VERDICTS = ("true", "shifted", "faded", "gone")
SHIFTS = (*COLOURS, "paler", "darker", "greyer")
LINE_VERDICTS = ("crisp", "softened", "dragged", "bled", "smudged", "gone")
COVER_VERDICTS = ("opaque", "streaky", "sheer")
SURFACE_VERDICTS = (
    "clean",
    "hazy",
    "milky",
    "dry",
    "pinholed",
    "bubbled",
    "blistered",
    "crawled",
    "flaked",
    "crazed",
    "shivered",
)
PROPERTIES = ("colour", "line", "cover", "surface")

STATUSES = ("in use", "retired", "member's own")
GUESS = "guess"
KNOWN_FROM = ("recipe", "data sheet", "maker", "label", GUESS)
SURFACES = ("gloss", "satin", "matte")
RECIPE_UNITS = ("weight", "moles")
ANALYSIS_UNITS = ("weight %", "mol %", "unity")
ATMOSPHERES = ("oxidation", "neutral", "reduction", "unknown")
WITNESS_STATES = ("standing", "leaning", "half", "down", "flat")
HEATS = ("electric", "gas", "wood", "oil", "other")
COOLINGS = ("natural", "slow", "fast")
STANDINGS_OF_TILE = ("upright", "leaning", "flat")
EDGES = ("top", "right", "bottom", "left")
SHAPES = ("flat", "curved", "textured")
APPLICATIONS = ("brush", "sponge", "spray", "dip", "pour", "trailer", "pen", "transfer")
GROUNDS = ("bare", "white slip", "dark slip")
LINE_WIDTHS = ("thin", "thick")
BRUSHED = ("along lines", "across lines")
BODY_STATES = ("leather hard", "bone dry", "bisque")

FACTORS = (
    "underglaze",
    "clear",
    "underglaze coats",
    "clear coats",
    "underglaze by",
    "clear by",
    "clear brushed",
    "ground",
    "body",
    "body was",
    "underglaze fired",
    "line",
    "line width mm",
    "specific gravity",
    "clear batch",
)
"""What may differ from cell to cell of one tile."""

NONE = "none"
UNKNOWN = "unknown"

FOLDERS = {
    "underglaze": "underglazes",
    "clear": "clears",
    "body": "bodies",
    "material": "materials",
    "firing": "firings",
    "tile": "tiles",
}
"""Each kind of record that has a folder of its own below the catalogue's, and that folder."""
