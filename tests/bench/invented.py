"""Names, recipes and remarks for a catalogue of any size, all invented.

In: numbers and a seeded generator. Out: names, ids and text. Knows nothing of records.
"""

from __future__ import annotations

import itertools
import random


def _words(text: str) -> tuple[str, ...]:
    return tuple(text.split())


FIRST = _words(
    "Apple Ash Barn Bell Birch Bramble Brook Candle Chapel Cherry Clay Clover Copper Cotton "
    "Crab Dairy Dusk Ember Fern Field Flint Forge Frost Garden Gate Glen Gravel Harvest Hazel "
    "Heath Holly Honey Iris Ivy Juniper Kettle Lamp Larch Lark Lime Linen Maple Marsh Meadow "
    "Mill Mint Moss Oat Olive Orchard Otter Pebble Pepper Plum Poppy Quarry Quince Rain Reed "
    "Robin Rook"
)
SECOND = _words(
    "Apron Bank Basket Bench Bottle Bucket Chair Cloth Corner Cup Door Drawer Edge Fence Floor "
    "Glove Handle Hill Jar Ladder Lane Lantern Loaf Morning Needle Oven Path Pocket Pool Ribbon "
    "Roof Saddle Shelf Shutter Sleeve Spoon Stair Stone Table Thread Tin Towel Trough Wall "
    "Window"
)

RECIPES: tuple[tuple[str, str, dict[str, int]], ...] = (
    (
        "gloss",
        "5..6",
        {"nepheline syenite": 30, "calcium carbonate": 14, "kaolin": 16, "quartz": 40},
    ),
    (
        "gloss",
        "5..6",
        {
            "nepheline syenite": 28,
            "colemanite": 10,
            "calcium carbonate": 9,
            "zinc oxide": 7,
            "kaolin": 12,
            "quartz": 34,
        },
    ),
    (
        "satin",
        "5..6",
        {"nepheline syenite": 34, "dolomite": 12, "talc": 14, "kaolin": 20, "quartz": 20},
    ),
    ("matte", "6", {"nepheline syenite": 34, "calcium carbonate": 26, "kaolin": 32, "quartz": 8}),
    ("gloss", "10", {"orthoclase": 38, "calcium carbonate": 19, "kaolin": 13, "quartz": 30}),
)
"""Surface, cones, parts. Invented for measuring; nobody has fired them."""

REMARKS = (
    "second batch, a little thinner than the first",
    "edges thinned where the brush ran dry",
    "same day as its twin, other shelf",
    "dried overnight between coats; the first coat had crawled on the dusty half",
    "made in the Tuesday class; four people brushed, so the coats differ a little",
    "looked at by daylight and again under the studio lamp",
    "kept for comparison with last year's jar",
)
PEOPLE = ("R. A.", "Jen K.", "M. O.", "Tuesday class", "S. P.")


def names(count: int, seed: int) -> list[str]:
    """So many different two-word names; the same for the same seed."""
    pairs = [f"{one} {two}" for one, two in itertools.product(FIRST, SECOND)]
    random.Random(seed).shuffle(pairs)
    if count > len(pairs):
        raise SystemExit(f"at most {len(pairs)} names")
    return pairs[:count]


def as_id(name: str) -> str:
    """`Hedge Bottom` -> `hedge-bottom`."""
    return name.lower().replace(" ", "-")
