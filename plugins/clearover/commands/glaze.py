"""`clearover glaze`: what a clear's chemistry says; a table of analyses; a batch for a formula.

In: a clear's id or name and a cone, or `--table FILE`, or `--batch FORMULA`. Out: its numbers with
their bands and sources, and one flag for each pigment system in use. What cannot be computed is
told with the reason.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..firing.cone import Cone
from ..records.words import ATMOSPHERES, UNKNOWN
from .console import say_json
from .group import Refused
from .opening import ConeType, combos_option, find_id, json_option, open_catalogue

if TYPE_CHECKING:
    from ..records.catalogue import Catalogue

USUAL_RATE = 60.0
"""°C/h over the last 100 °C, where nobody says another."""

_ONE_OF = "name one thing: a clear, --table FILE or --batch FORMULA"


class Between(click.FloatRange):
    """A number between two limits; `nan` is none, whatever a float is."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Read it, or say what was wrong with it."""
        number = super().convert(value, param, ctx)
        if not math.isfinite(number):
            self.fail(f"{value} is not a number", param, ctx)
        return number


@click.command("glaze", epilog="Example: clearover glaze lantern-pane --cone 6")
@click.argument("clear", metavar="[CLEAR]", required=False)
@click.option("--cone", type=ConeType(), help="Else the hottest that the clear is meant for.")
@click.option(
    "--rate",
    type=Between(1, 1000),
    default=USUAL_RATE,
    show_default=True,
    help="Heating over the last 100 degrees, deg C an hour.",
)
@click.option("--temperature", type=Between(0, 2000), help="deg C; else the cone's at that rate.")
@click.option("--atmosphere", type=click.Choice(ATMOSPHERES), help="Else the studio's.")
@click.option("--table", metavar="FILE", help="A CSV of analyses, oxides in its first row.")
@click.option(
    "--basis",
    type=click.Choice(("mol", "weight")),
    help="What the figures of a table or formula are.",
)
@click.option("--batch", metavar="FORMULA", help="A formula to turn into a batch.")
@click.option("--from", "materials", metavar="A,B,...", help="The materials a batch may use.")
@json_option
@combos_option
@click.pass_context
def command(
    ctx: click.Context,
    clear: str | None,
    cone: Cone | None,
    rate: float,
    temperature: float | None,
    atmosphere: str | None,
    table: str | None,
    basis: str | None,
    batch: str | None,
    materials: str | None,
    as_json: bool,
    combos: Path,
) -> None:
    """Show what is known of a clear, and what it does to the colours in use here.

    CLEAR is an id or, in quotes, a name. With --table every row of a spreadsheet is computed; with
    --batch a formula like "K2O 0.3, CaO 0.7, Al2O3 0.5, SiO2 4" becomes a batch.
    """
    if [clear, table, batch].count(None) != 2:
        raise Refused(_ONE_OF)
    _check_options(clear, table, batch, basis, materials)
    if table is not None:
        from .glaze_table import Heat, run_table

        heat = Heat(cone, rate, temperature)
        ctx.exit(run_table(table, str(basis), heat, as_json=as_json))
    if batch is not None:
        from .glaze_batch import run_batch

        return run_batch(batch, materials, basis or "mol", combos, as_json=as_json)
    catalogue = open_catalogue(combos)
    id = find_id(catalogue, "clear", str(clear))
    report = report_of(
        catalogue, id, cone, atmosphere or catalogue.studio.atmosphere, rate, temperature
    )
    if as_json:
        return say_json(report)
    from .glaze_text import say_report

    return say_report(report)


def _check_options(
    clear: str | None,
    table: str | None,
    batch: str | None,
    basis: str | None,
    materials: str | None,
) -> None:
    if table is not None and basis is None:
        raise Refused("say what the table's figures are: --basis mol or --basis weight")
    if clear is not None and basis is not None:
        raise Refused("--basis belongs to --table or --batch")
    if materials is not None and batch is None:
        raise Refused("--from belongs to --batch")


def report_of(
    catalogue: Catalogue,
    id: str,
    cone: Cone | None,
    atmosphere: str,
    rate: float = USUAL_RATE,
    temperature: float | None = None,
) -> dict[str, Any]:
    """The report on one clear, with the pigments of all underglazes and all bodies in use."""
    from ..chemistry.clear import chemistry_of
    from ..chemistry.materials import MaterialBook
    from ..chemistry.report import glaze_report

    record = catalogue.clears[id]
    book = MaterialBook.with_studio(catalogue.materials.values())
    pigments = sorted(
        {
            pigment
            for underglaze in catalogue.underglazes.values()
            if underglaze.status == "in use"
            for pigment in underglaze.makeup[0]
            if pigment != UNKNOWN
        }
    )
    return glaze_report(
        record,
        chemistry_of(record, book),
        cone=cone,
        rate_c_per_h=rate,
        temperature_c=temperature,
        atmosphere=atmosphere,
        pigments=pigments,
        bodies=catalogue.bodies.values(),
    )
