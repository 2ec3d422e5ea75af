"""A clay body's page: what is known of it, and every tile made on it.

In: the site. Out: one page a body.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from ..records.models import Body
from ..records.words import PROPERTIES
from . import fit, words
from .environment import body_environment
from .lookup import ROOT, Lookup, lookup
from .page import Page, Site


def pages(site: Site) -> Iterator[Page]:
    """One page for each body."""
    known = lookup(site)
    template = body_environment().get_template("body.html")
    for body in site.catalogue.bodies.values():
        yield Page(
            address=f"bodies/{body.id}.html",
            kind="body",
            title=body.name,
            description=f"Tiles on {body.name}, and what is known of the clay.",
            nav="tiles",
            body_html=template.render(body_view(known, body)),
        )


def body_view(known: Lookup, body: Body) -> dict[str, Any]:
    """Everything the template says of one body, as plain values."""
    tiles = known.tiles_of("body", body.id)
    return {
        "root": ROOT,
        "record": body,
        "kicker": " · ".join(
            part
            for part in (
                "Clay body",
                body.colour,
                f"cone {body.cones.shown}" if body.cones else "",
                "" if body.status == "in use" else body.status,
            )
            if part
        ),
        "facts": _facts(body),
        "seen": _seen(known, body),
        "fit": fit.under_clears(known, body),
        "tiles": known.tile_rows(tiles),
    }


def _facts(body: Body) -> list[tuple[str, str]]:
    facts = [("Maker", body.maker)] if body.maker else []
    if body.expansion is None:
        facts.append(("Expansion", "unknown"))
    else:
        known = f", {body.expansion_from}" if body.expansion_from else ""
        facts.append(("Expansion", f"{body.expansion:g} × 10⁻⁶ per K{known}"))
    absorbs = "unknown" if body.absorption is None else f"{body.absorption:g} %"
    facts.append(("Absorption of water", absorbs))
    return facts


def _seen(known: Lookup, body: Body) -> list[tuple[str, str]]:
    """What was seen on it, newest verdict of each cell: [(`Surface`, `clean 12, crazed 3`)]."""
    counted: dict[str, Counter[str]] = {prop: Counter() for prop in PROPERTIES}
    for tile in known.tiles_of("body", body.id):
        for seen in known.cells.get(tile.id, {}).values():
            if seen.body == body.id and seen.counts:
                for prop, texts in seen.verdicts.items():
                    counted[prop].update(texts[:1])
    return [
        (words.first_upper(prop), ", ".join(f"{text} {n}" for text, n in number.most_common()))
        for prop, number in counted.items()
        if number
    ]
