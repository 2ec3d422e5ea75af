"""The template engine of all pages: escaping is always on, a missing name is an error.

In: nothing. Out: one Jinja environment over `pages/templates`. It knows no record and no host.
Templates are given `root`, what leads from the page back to the site (`""`, `../`).
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup, escape

from .pictures import Crop

TEMPLATES = Path(__file__).with_name("templates")


@cache
def body_environment() -> jinja2.Environment:
    """The environment for bodies and shell. Made once: compiled templates are kept."""
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=False,
        auto_reload=False,
    )
    environment.filters["rel"] = rel
    environment.globals.update(crop_svg=crop_svg, strip_svg=strip_svg, window_svg=window_svg)
    return environment


def rel(address: str, root: str | int) -> str:
    """An address below the site as seen from a page: `root` is its prefix or its depth."""
    return ("../" * root if isinstance(root, int) else root) + address


def crop_svg(sprite: Any, row: int, column: int, label: str, root: str) -> Markup:
    """One cell (counted from 1) of a sprite, as inline SVG: needs no style attribute."""
    return strip_svg(sprite, [(row, column)], label, root)


def strip_svg(sprite: Any, cells: list[tuple[int, int]], label: str, root: str) -> Markup:
    """Several cells of one sprite side by side, in the order given, as one picture."""
    wide, high = sprite.cell_width, sprite.cell_height
    picture = _image(f"{root}assets/photos/{sprite.image.name}", sprite.image)
    first = cells[0]
    if cells == [(first[0], first[1] + i) for i in range(len(cells))]:
        x, y = (first[1] - 1) * wide, (first[0] - 1) * high
        return _svg("crop", (x, y, len(cells) * wide, high), label, picture)
    parts = Markup("").join(
        Markup('<svg x="{}" y="0" width="{}" height="{}" viewBox="{} {} {} {}">{}</svg>').format(
            i * wide, wide, high, (column - 1) * wide, (row - 1) * high, wide, high, picture
        )
        for i, (row, column) in enumerate(cells)
    )
    return _svg("crop", (0, 0, len(cells) * wide, high), label, parts)


def window_svg(window: Crop) -> Markup:
    """The same for a place that was worked out before."""
    picture = _image(window.href, window)
    return _svg("crop", (window.x, window.y, window.w, window.h), window.label, picture)


def _image(href: str, size: Any) -> Markup:
    return Markup('<image href="{}" width="{}" height="{}"/>').format(href, size.width, size.height)


def _svg(name: str, box: tuple[int, int, int, int], label: str, inner: Markup) -> Markup:
    x, y, wide, high = box
    spoken = (
        Markup(' role="img" aria-label="{}"').format(escape(label))
        if label
        else Markup(' aria-hidden="true"')
    )
    return Markup('<svg class="{}" viewBox="{} {} {} {}"{}>{}</svg>').format(
        name, x, y, wide, high, spoken, inner
    )
