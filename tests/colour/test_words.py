"""Colour words and what a difference means to an eye."""

import numpy as np
import pytest
from clearover.colour.difference import ciede2000
from clearover.colour.seeing import direction, limits, seen_as
from clearover.colour.srgb import bytes_to_lab, srgb_to_lab
from clearover.colour.words import _centroids, named, names_of
from clearover.records.words import COLOURS
from clearover.tables import rows

# Focal colours (B. Berlin and P. Kay, 1969, "Basic Color Terms"; from memory, a chip may be one
# step off; L*a*b* computed from the Munsell renotation).
FOCAL = {
    "red": (40.57, 61.29, 29.69),
    "orange": (60.99, 43.11, 66.80),
    "yellow": (80.61, 8.08, 94.07),
    "brown": (30.36, 19.07, 29.90),
    "green": (51.20, -57.03, 48.69),
    "blue": (40.65, -12.59, -39.38),
    "purple": (30.16, 37.02, -32.15),
    "pink": (80.48, 24.04, 12.91),
    "white": (95.06, 0.0, 0.0),
    "grey": (51.0, 0.0, 0.0),
    "black": (10.41, 0.0, 0.0),
}
# Modal answers of a survey on screens (xkcd colour survey, 2010, CC0).
SURVEY = {
    "turquoise": (6, 194, 172),
    "red": (229, 0, 0),
    "green": (21, 176, 26),
    "blue": (3, 67, 223),
    "brown": (101, 55, 0),
}


@pytest.mark.parametrize("word", FOCAL)
def test_focal_colours_get_their_word(word):
    assert named(FOCAL[word]).word == word


@pytest.mark.parametrize("word", SURVEY)
def test_what_most_people_call_it(word):
    assert named(bytes_to_lab(np.array(SURVEY[word], dtype=np.uint8))).word == word


def test_the_table_has_only_words_that_records_know():
    table = rows("colour-words.csv")
    assert len(table) == 267 + 13
    assert {row["word"] for row in table} == set(COLOURS)
    for row in table[::20]:
        found = named([float(row[k]) for k in ("L", "a", "b")])
        assert (found.word, found.name) == (row["word"], row["name"])
        assert found.distance < 1e-6


def test_limits_rise_and_have_sources():
    starts = [start for start, _, _ in limits()]
    assert starts == sorted(set(starts)) and starts[0] == 0
    assert all(source for _, _, source in limits())


@pytest.mark.parametrize(
    ("delta", "noise", "word"),
    [
        (0.5, 0.0, "no visible difference"),
        (1.2, 0.0, "slight"),
        (1.2, 1.3, "no visible difference"),
        (3.0, 0.5, "clear"),
        (12.0, 0.5, "different colour"),
    ],
)
def test_what_an_eye_makes_of_it(delta, noise, word):
    assert seen_as(delta, noise) == word


GREEN, BROWN = (45.0, -30.0, 25.0), (42.0, 10.0, 25.0)


def test_directions():
    assert direction(GREEN, BROWN)[0] == "browner"
    assert direction(GREEN, (65.0, -30.0, 25.0)) == ("paler",)
    assert direction(GREEN, (30.0, -30.0, 25.0)) == ("darker",)
    assert direction(GREEN, (45.0, -12.0, 10.0)) == ("greyer",)
    assert direction((50, 30, -10), (50, 5, -35))[0] == "bluer"
    assert direction(GREEN, GREEN) == ()
    assert ciede2000(GREEN, BROWN) > 5


def test_the_few_that_are_looked_at_hold_the_nearest():
    """CIEDE2000 judges only some of the centroids: on a grid over all of sRGB they are enough."""
    steps = np.linspace(0, 1, 9)
    labs = srgb_to_lab(np.stack(np.meshgrid(steps, steps, steps), axis=-1).reshape(-1, 3))
    centroids = _centroids()[0]
    best = np.concatenate(
        [ciede2000(centroids, part[:, None]).min(axis=1) for part in np.array_split(labs, 9)]
    )
    assert [one.distance for one in names_of(labs)] == pytest.approx(best.tolist(), abs=1e-9)


def test_a_grey_has_no_hue():
    """At so little chroma a hue is noise: a black is not purple because b* went from 1 to -1."""
    assert direction((20.0, 0.5, 1.0), (20.0, 0.5, -1.0)) == ()
    assert direction((20.0, 0.0, 1.0), (20.0, 0.0, -8.0)) == ("more saturated", "bluer")
