"""Lines measured: on made pictures whose edges are known exactly, and on drawn photos."""

from dataclasses import replace

import numpy as np
import pytest
from clearover.measuring.light import LUMA
from clearover.measuring.lines import FLAT, NO_EDGE, UPHILL, line_measures
from clearover.measuring.measure import measure
from clearover.measuring.request import CellRequest, Request
from clearover.measuring.results import MEASURED
from clearover.measuring.view import View

SCALE = 12.0
GROUND, DARK = (0.6, 0.55, 0.45), (0.06, 0.10, 0.05)


def made(
    up=0.3,
    down=0.3,
    width=3.0,
    ground=GROUND,
    core=DARK,
    lower="bottom",
    sway=0.0,
    noise=0.004,
    blur=0.0,
    scale=SCALE,
):
    """A view of one cell, 20 × 15 mm, with a line whose edges are straight ramps of `up` and `down`
    mm outside it (so their 10 to 90 % spreads are 0.8 of that), and its request."""
    rng = np.random.default_rng(1)
    tall, wide = round(15 * scale), round(20 * scale)
    x, y = (np.arange(wide) + 0.5) / scale, (np.arange(tall) + 0.5) / scale
    middle = 6 + sway * np.sin(2 * np.pi * x / 25)
    away = y[:, None] - middle[None, :]
    share = np.clip(np.minimum((away + width / 2) / up + 1, (width / 2 - away) / down + 1), 0, 1)
    share *= (x > 2) & (x < 18)
    if blur:
        ramp = np.arange(-4 * blur * scale, 4 * blur * scale + 1) / scale
        kernel = np.exp(-0.5 * (ramp / blur) ** 2)
        share = np.apply_along_axis(np.convolve, 0, share, kernel / kernel.sum(), "same")
    light = np.array(ground) * (1 - share[..., None]) + np.array(core) * share[..., None]
    light = (light + rng.normal(0, noise, light.shape)).astype(np.float32)
    if lower in ("top", "left"):
        light = light[::-1]
    if lower in ("left", "right"):
        light = light.transpose(1, 0, 2)
    view = View(np.ascontiguousarray(light), np.ones(light.shape[:2], bool), 1, 1, scale)
    return view, Request(
        "made", "", 1, 1, (), (CellRequest(1, 1, line=True),), lower=lower, upright=True
    )


def only(*picture):
    (line,) = line_measures(*picture)
    return line


@pytest.mark.parametrize("down", [0.3, 0.8, 1.5, 3.0, 5.0])
def test_drag_of_known_ramps(down):
    """Half the sharpest edge's square is taken for the camera's blur: up to 0.3 of its width, here
    0.07 mm, may be read as drag. The range allows for it."""
    line = only(*made(down=down))
    true = 0.8 * (down - 0.3)
    assert line.status == MEASURED
    assert line.drag_mm == pytest.approx(true, abs=max(0.09, 0.05 * true))
    assert line.drag_low_mm <= true <= line.drag_high_mm


def test_width_lies_between_the_sixty_percent_contours():
    line = only(*made(up=1.0, down=2.0))
    assert line.width_mm == pytest.approx(3.0 + 0.4 * 1.0 + 0.4 * 2.0, abs=0.05)


@pytest.mark.parametrize("lower", ["top", "right", "bottom", "left"])
def test_every_edge_may_be_down(lower):
    line = only(*made(down=2.0, lower=lower))
    assert line.drag_mm == pytest.approx(0.8 * 1.7, abs=0.1)
    assert line.kind == "dragged"


@pytest.mark.parametrize(
    ("ground", "core"),
    [
        (GROUND, DARK),
        (DARK, GROUND),
        ((0.55, 0.40, 0.38), (0.50, 0.10, 0.12)),
        ((0.30, 0.12, 0.08), (0.10, 0.12, 0.35)),
    ],
)
def test_lighter_darker_and_coloured_lines(ground, core):
    line = only(*made(down=2.0, ground=ground, core=core))
    assert line.drag_mm == pytest.approx(0.8 * 1.7, abs=0.12)
    darker = np.dot(core, LUMA) < np.dot(ground, LUMA)
    assert (line.contrast > 0) == darker


def test_a_crooked_line_is_not_a_blurred_one():
    straight, crooked = only(*made()), only(*made(sway=0.8))
    assert crooked.blur_mm == pytest.approx(straight.blur_mm, abs=0.08)
    assert abs(crooked.drag_mm) < 0.1


def test_bleed_is_no_drag():
    line = only(*made(up=1.5, down=1.5))
    assert line.kind == "softened or bled"
    assert line.drag_low_mm < 0 < line.drag_high_mm


def test_a_blurred_photo_shows_less_and_says_so():
    sharp, soft = only(*made()), only(*made(blur=0.4))
    assert abs(soft.drag_mm) < 0.15
    assert soft.blur_mm > 2 * sharp.blur_mm


def test_drag_against_the_lower_edge_is_doubted():
    view, request = made(down=3.0)
    line = only(view, replace(request, lower="top"))
    assert line.drag_high_mm < 0
    assert line.note == UPHILL


def test_no_drag_without_an_edge_or_on_a_flat_tile():
    view, request = made(down=3.0)
    unsaid, flat = (
        only(view, replace(request, lower=None)),
        only(view, replace(request, upright=False)),
    )
    assert unsaid.drag_mm is None and NO_EDGE in unsaid.status
    assert flat.drag_mm is None and FLAT in flat.status
    assert unsaid.width_mm and flat.width_mm


def test_a_line_may_run_either_way_where_no_edge_is_said():
    view, request = made(down=2.0, lower="right")
    line = only(view, replace(request, lower=None))
    assert line.width_mm == pytest.approx(3.0 + 0.12 + 0.8, abs=0.06)


def test_a_tail_out_of_the_cell_is_no_drag():
    line = only(*made(down=13.0))
    assert line.drag_mm is None and "out of the cell" in line.status


def test_specks_and_glare_do_not_count():
    view, request = made(down=1.5)
    light, keep = view.light.copy(), view.keep.copy()
    rng = np.random.default_rng(3)
    for y, x in rng.integers(4, (170, 230), (60, 2)):
        light[y - 2 : y + 3, x - 2 : x + 3] *= 0.5
    light[30:80, 100:130], keep[30:80, 100:130] = 1.2, False
    line = only(replace_view(view, light, keep), request)
    assert line.drag_mm == pytest.approx(0.8 * 1.2, abs=0.15)


def replace_view(view, light, keep):
    return View(light, keep, view.rows, view.columns, view.px_per_mm)


def test_glare_all_over_is_told():
    view, request = made()
    light, keep = view.light.copy(), view.keep.copy()
    light[60:90, 20:220], keep[60:90, 20:220] = 1.2, False
    line = only(replace_view(view, light, keep), request)
    assert line.width_mm is None and "glare" in line.status


def test_a_line_like_its_ground_is_not_measured():
    line = only(*made(core=(0.595, 0.546, 0.447), noise=0.02))
    assert line.width_mm is None and "too like its ground" in line.status


@pytest.mark.parametrize("value", [0.0, 1.0, 0.5])
@pytest.mark.parametrize("side", [1, 6, 20, 21, 40, 200])
@pytest.mark.parametrize("scale", [None, 0.5, 12.0])
@pytest.mark.parametrize("lower", [None, "left"])
def test_odd_pictures_never_raise(value, side, scale, lower):
    light = np.full((side, side + 3, 3), value, np.float32)
    for keep in (np.ones(light.shape[:2], bool), np.zeros(light.shape[:2], bool)):
        view = View(light, keep, 1, 1, scale)
        line = only(
            view, Request("odd", "", 1, 1, (), (CellRequest(1, 1, line=True),), lower=lower)
        )
        assert line.width_mm is None and line.status.startswith("not measured: ")


@pytest.mark.parametrize("seed", range(12))
def test_noise_alone_is_no_line(seed):
    rng = np.random.default_rng(seed)
    light = np.abs(rng.normal(0.4, 0.1, (90, 140, 3))).astype(np.float32)
    view = View(light, np.ones(light.shape[:2], bool), 1, 1, 9.0)
    line = only(
        view, Request("noise", "", 1, 1, (), (CellRequest(1, 1, line=True),), lower="bottom")
    )
    assert line.drag_mm is None


def seen(drawn):
    truths = {tuple(cell["at"]): cell for cell in drawn.truth["cells"]}
    return [(truths[line.row, line.column], line) for line in drawn.measured.lines]


def test_drag_on_drawn_photos(drawn_lines):
    """The figure to reach: within 0.15 mm or 10 %, the range honest."""
    told = [(t, line) for t, line in seen(drawn_lines) if line.drag_mm is not None]
    assert len(told) >= 6
    near = [abs(m.drag_mm - t["drag"]) <= max(0.15, 0.1 * abs(t["drag"])) for t, m in told]
    held = [m.drag_low_mm <= t["drag"] <= m.drag_high_mm for t, m in told]
    assert np.mean(near) >= 0.85
    assert np.mean(held) >= 0.8
    assert all(m.limit_mm < 0.5 for _, m in told)


def test_words_on_drawn_photos(drawn_lines):
    told = [
        ("dragged" if truth["drag"] > 1 else "softened or bled", line.kind)
        for truth, line in seen(drawn_lines)
        if line.kind is not None
    ]
    assert {word for word, _ in told} == {"dragged", "softened or bled"}
    assert sum(word == kind for word, kind in told) >= 0.8 * len(told)


def test_an_upside_down_photo_is_doubted(drawn_lines):
    lines = measure(drawn_lines.opened, replace(drawn_lines.request, lower="top")).lines
    assert any(line.note == UPHILL for line in lines)
    assert not any(line.note for _, line in seen(drawn_lines))
