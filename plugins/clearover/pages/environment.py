"""The template engine of all pages: escaping is always on, a missing name is an error.

In: nothing. Out: one Jinja environment over `pages/templates`. It knows no record and no host.
Templates are given `root`, what leads from the page back to the site (`""`, `../`).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path

import jinja2
from markupsafe import Markup, escape

from .pictures import Crop

TEMPLATES = Path(__file__).with_name("templates")
_BETWEEN = "\x1f"
"""Stands between texts that are escaped together; no record may hold it, and escaping keeps it."""


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
    environment.filters["as_td"] = as_td
    environment.globals["cell_svg"] = cell_svg
    return environment


def rel(address: str, root: str | int) -> str:
    """An address below the site as seen from a page: `root` is its prefix or its depth."""
    return ("../" * root if isinstance(root, int) else root) + address


def as_td(texts: Sequence[str]) -> Markup:
    """Table cells, escaped together: of the numbers of a large catalogue there are a hundred
    thousand."""
    cells = escape(_BETWEEN.join(texts)).replace(_BETWEEN, Markup("</td><td>"))
    return Markup("<td>") + cells + Markup("</td>") if texts else Markup("")


def cell_svg(one: Crop, label: str) -> Markup:
    """The crop of one cell, a band in the colour measured there across its lower edge. Written here
    and not by a template: a large catalogue has tens of thousands."""
    name = f'role="img" aria-label="{escape(label)}"' if label else 'aria-hidden="true"'
    box = f'viewBox="{one.x} {one.y} {one.w} {one.h}" preserveAspectRatio="xMidYMid slice"'
    image = f'<image href="{escape(one.href)}" width="{one.width}" height="{one.height}"/>'
    if not one.fill:
        return Markup(f'<svg class="crop" {box} {name}>{image}</svg>')
    inner = f'<svg aria-hidden="true" width="100%" height="100%" {box}>{image}</svg>'
    band = '<rect class="band" x="-2" y="87%" width="110%" height="20%"'
    filled = f'{inner}{band} fill="{escape(one.fill)}"/>'
    return Markup(f'<svg class="crop filled" {name}>{filled}</svg>')
