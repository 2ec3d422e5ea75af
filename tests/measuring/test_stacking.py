"""Outer lines held to what all borders have in common, on a grid drawn here with rims."""

import numpy as np
import pytest
from clearover.measuring.borders import borders_of
from clearover.measuring.lattice import carry_of, square_on
from clearover.measuring.stacking import best_ring, energy, stack_of
from clearover.photos.straighten import apply
from PIL import Image, ImageDraw

ROWS, COLUMNS, CELL, GAP, AT = 2, 3, 180, 5, 120
RING = np.array([(0, 0), (COLUMNS, 0), (COLUMNS, ROWS), (0, ROWS)], dtype=float)


@pytest.fixture(scope="module")
def picture():
    return _drawn(rims=True)


def _drawn(rims):
    """Cells of colour, 5 px in from their borders; a thin rim on every border, outer ones too."""
    drawn = Image.new("RGB", (COLUMNS * CELL + 2 * AT, ROWS * CELL + 2 * AT), (200, 190, 180))
    pen = ImageDraw.Draw(drawn)
    for row in range(ROWS):
        for column in range(COLUMNS):
            x, y = AT + column * CELL, AT + row * CELL
            box = (x + GAP, y + GAP, x + CELL - GAP - 1, y + CELL - GAP - 1)
            pen.rectangle(box, fill=(90 + 30 * column, 120 - 20 * row, 80))
    for k in range(COLUMNS + 1) if rims else ():
        x = AT + k * CELL
        pen.rectangle((x - 1, AT, x, AT + ROWS * CELL), fill=(225, 215, 205))
    for k in range(ROWS + 1) if rims else ():
        y = AT + k * CELL
        pen.rectangle((AT, y - 1, AT + COLUMNS * CELL, y), fill=(225, 215, 205))
    noise = np.random.default_rng(7).normal(0, 2, (drawn.height, drawn.width, 3))
    return Image.fromarray(np.clip(np.asarray(drawn) + noise, 0, 255).astype(np.uint8))


def _stack(picture, ring_px):
    carry = carry_of(ring_px, ROWS, COLUMNS)
    square = square_on(picture, carry, ROWS, COLUMNS, 900.0)
    half = GAP * square.cell[0] / CELL
    return carry, stack_of(borders_of(square), half), half


@pytest.mark.parametrize("wrong", [(GAP, 0, 0, 0), (0, 0, -GAP, GAP)])
def test_an_outer_line_on_the_edge_of_colour_goes_to_the_rim(picture, wrong):
    """Left, top, right and bottom moved in from the rim to where colour ends, or the like."""
    true = RING * CELL + AT
    left, top, right, bottom = wrong
    start = true + np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
    carry, stack, half = _stack(picture, start)
    ring, sharp = best_ring(stack, half)
    assert sharp > energy(stack, RING)
    assert np.abs(apply(carry, ring) - true).max() < 1.0


def test_a_right_grid_stays(picture):
    true = RING * CELL + AT
    carry, stack, half = _stack(picture, true)
    assert np.abs(apply(carry, best_ring(stack, half)[0]) - true).max() < 1.0


def test_each_place_across_a_line_counts_once(picture):
    """What lies on a line is seen from both its sides: counted twice, it would draw grids onto the
    edges of colour beside their lines."""
    stack = _stack(picture, RING * CELL + AT)[1]
    total = {}
    for side in (1, -1):
        for offset, weight in zip(stack.offsets, stack.weights, strict=True):
            at = side * int(offset)
            total[at] = total.get(at, 0.0) + float(weight)
    assert min(total) < -2 * GAP and set(total.values()) == {1.0}


def test_a_grid_between_colours_without_rims_stays():
    true = RING * CELL + AT
    carry, stack, half = _stack(_drawn(rims=False), true)
    assert np.abs(apply(carry, best_ring(stack, half)[0]) - true).max() < 1.0
