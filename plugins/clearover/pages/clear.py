"""A clear's page, and its shelf card: what stays true under it and what does not.

In: the site. Out: one page a clear. First the colours, the usual cone first; then what is known of
its chemistry, what that does to each pigment in use, and the sentence about food.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

from ..chemistry.flags import ANY, NOT_KNOWN
from ..chemistry.results import ClearChemistry
from ..chemistry.turns import said_often
from ..firing.cone import Cone
from ..records.models import Clear
from ..tables import read_text
from . import fit, movement, words
from .answers import UNDER, groups, told_flags
from .environment import body_environment
from .lookup import ROOT, Lookup, lookup
from .page import Page, Site
from .reasons import number_sources

NETWORK = ("B2O3", "Al2O3", "Fe2O3", "SiO2", "TiO2", "ZrO2", "SnO2", "P2O5")
"""Oxides that a unity formula writes after the fluxes."""


def pages(site: Site) -> Iterator[Page]:
    """One page for each clear."""
    known = lookup(site)
    template = body_environment().get_template("clear.html")
    for clear in site.catalogue.clears.values():
        yield Page(
            address=f"clears/{clear.id}.html",
            kind="clear",
            title=clear.name,
            description=f"What stays true under {clear.name}, and what does not.",
            nav="clears",
            body_html=template.render(clear_view(known, clear)),
        )


def clear_view(known: Lookup, clear: Clear) -> dict[str, Any]:
    """Everything the template says of one clear, as plain values."""
    chemistry = known.findings.chemistry[clear.id]
    flags = _flags(known, clear)
    often = said_often((_of(row), row["flag"]) for row in flags)
    return {
        "root": ROOT,
        "record": clear,
        "banded": bool(known.findings.measured),
        "kicker": _kicker(clear),
        "classes": classes(chemistry),
        "cones": [part for place in known.places if (part := _at(known, clear, *place))],
        "recipe": _recipe(clear),
        "analysis": clear.analysis or {},
        "formula": _formula(chemistry),
        "chemistry": chemistry,
        "changed": [words.day(date) for date in clear.changed],
        "sources": number_sources(flags),
        "flags": flags,
        "often": {said: words.joined(of) for said, of in often.items()},
        "movement": movement.clear_section(known, clear),
        "fit": fit.on_bodies(known, clear),
        "tiles": known.tile_rows(known.tiles_of("clear", clear.id)),
        "food": food_sentence(),
    }


@cache
def food_sentence() -> str:
    """The one sentence about food that stands on every clear's page."""
    text = read_text("food-sentence.txt")
    return text.strip()


def _kicker(clear: Clear) -> str:
    cones = f"cone {clear.cones.shown}" if clear.cones else ""
    status = "" if clear.status == "in use" else clear.status
    return " · ".join(part for part in ("Clear", clear.surface, cones, status) if part)


def classes(chemistry: ClearChemistry) -> list[tuple[str, str, str]]:
    """Zinc, lime, magnesia, boron: [(`Zinc`, `zinc-free`, `from the recipe`), …]."""
    return [
        (words.first_upper(name), *words.known_class(name, found))
        for name, found in (
            ("zinc", chemistry.zinc),
            ("lime", chemistry.lime),
            ("magnesia", chemistry.magnesia),
            ("boron", chemistry.boron),
        )
    ]


def _at(known: Lookup, clear: Clear, cone: Cone, atmosphere: str) -> dict[str, Any] | None:
    """What stays true at one cone; None where the clear is not meant for it and not tested."""
    rows = known.board(cone, atmosphere).by_clear.get(clear.id, [])
    told = groups(known, "underglaze", rows, UNDER)
    studio = known.catalogue.studio
    own = cone in studio.cones and atmosphere == studio.atmosphere
    meant = own and (clear.cones is None or cone in clear.cones)
    if not told or not (meant or any(group["edge"] == "tested" for group in told)):
        return None
    return {
        "name": known.place(cone, atmosphere),
        "id": known.place_id(cone, atmosphere),
        "groups": told,
    }


def _recipe(clear: Clear) -> list[tuple[str, str, str]]:
    """[(material, parts, percent)], percent of the parts as written; additions count over 100."""
    total = sum((clear.recipe or {}).values())
    # Beside a recipe in moles additions are per cent by weight already.
    whole = 100.0 if clear.recipe_in == "moles" else total
    lines = [
        (name, f"{parts:g}", f"{100 * parts / total:.1f}" if total else "")
        for name, parts in (clear.recipe or {}).items()
    ]
    return lines + [
        (f"+ {name}", f"{parts:g}", f"+{100 * parts / whole:.1f}" if whole else "")
        for name, parts in (clear.additions or {}).items()
    ]


def _formula(chemistry: ClearChemistry) -> list[tuple[str, str, str, str]]:
    """[(oxide, unity, mol %, weight %)], fluxes first, then the rest."""
    weights = chemistry.oxides_weight_percent
    if weights is None:
        return []
    moles, unity = chemistry.oxides_mol_percent or {}, chemistry.unity or {}
    ordered = sorted(weights, key=lambda name: NETWORK.index(name) if name in NETWORK else -1)
    return [
        (
            name,
            f"{unity[name]:.2f}" if name in unity else "–",
            f"{moles[name]:.1f}" if name in moles else "–",
            f"{weights[name]:.1f}",
        )
        for name in ordered
    ]


def _of(row: dict[str, Any]) -> str:
    """Whom a flag is said of: the pigments, or the colours where nobody knows these."""
    return words.joined(row["of"] if row["flag"].pigment in (ANY, NOT_KNOWN) else row["pigments"])


def _flags(known: Lookup, clear: Clear) -> list[dict[str, Any]]:
    """What it does to each pigment in use, at the studio's first cone the clear is meant for."""
    colours = known.catalogue.underglazes
    for place in known.places:
        if clear.cones is None or place[0] in clear.cones:
            rows = known.board(*place).by_clear.get(clear.id, [])
            return told_flags(
                (colours[id_].name, flag)
                for id_, answer in rows
                for flag in answer.flags
                if flag.direction != "none" and colours[id_].status != "retired"
            )
    return []
