"""The photo guide's pairs are what the drawing program makes of the measured ways."""

import draw_guide
import numpy as np
import photo_rules
from PIL import Image


def test_a_pair_is_drawn_again_as_it_stands_in_the_guide():
    with Image.open(draw_guide.PICTURES / "photo-card.webp") as kept:
        shown = np.asarray(kept.convert("RGB"), dtype=float)
    drawn = np.asarray(draw_guide.pair("card"), dtype=float)
    assert np.abs(shown - drawn).mean() < 2.5  # the file is compressed


def test_every_pair_shows_a_way_that_was_measured():
    assert set(draw_guide.PAIRS.values()) < {way.name for way in photo_rules.WAYS}
    assert set(draw_guide.LINE_PAIRS.values()) < {way.name for way in photo_rules.LINE_WAYS}


def test_each_way_breaks_one_rule():
    plain = photo_rules.Way("")
    for way in (*photo_rules.WAYS[1:], *photo_rules.LINE_WAYS[1:]):
        broken = [
            bool(way.settings),
            way.spoil is not None,
            way.card != plain.card,
            way.share != plain.share,
        ]
        assert sum(broken) == 1, way.name
        assert len(way.settings) <= 1, way.name
