"""The records a studio keeps, one class a kind, except the tile (see `tile`).

In: text-only data from `loading`. Out: frozen models with typed values. They say only what a
record says: nothing computed is stored here, and nothing is known of other records.
Keys are written with spaces in a record (`known from`) and with underscores here.
"""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from . import words
from .fields import (
    Amount,
    Atmosphere,
    Colour,
    ConesText,
    ConeText,
    Day,
    Id,
    KnownFrom,
    Name,
    Percent,
    Status,
    Text,
    as_cones_map,
    as_list,
    as_map,
    number,
    one_of,
)


def _written(name: str) -> str:
    return name.rstrip("_").replace("_", " ")


class Part(BaseModel):
    """A group of keys inside a record."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, alias_generator=_written, hide_input_in_errors=True
    )


class Record(Part):
    """One file of the catalogue. `id` is its name, `file` its path below the catalogue's parent."""

    kind: ClassVar[str] = ""

    id: str = Field(alias="@id")
    file: str = Field(alias="@file")
    notes: Text | None = None


Words = Annotated[list[Name], BeforeValidator(as_list)]
Sentences = Annotated[list[Text], BeforeValidator(as_list)]
Ids = Annotated[list[Id], BeforeValidator(as_list)]
Days = Annotated[list[Day], BeforeValidator(as_list)]


class Studio(Record):
    """The studio itself: what it fires, how it works, whom to tell."""

    kind: ClassVar[str] = "studio"

    name: Name
    cones: Annotated[list[ConeText], BeforeValidator(as_list)] = []
    usual_cone: ConeText | None = None
    atmosphere: Atmosphere = "oxidation"
    stale_after: Text | None = None
    wrong_verdict: Text | None = None
    habits: Sentences = []
    contact: Text | None = None


class Underglaze(Record):
    """A decorating colour. `pigment` may be empty: then `colorants` may still be known."""

    kind: ClassVar[str] = "underglaze"

    name: Name
    maker: Name | None = None
    status: Status = "in use"
    colour: Colour
    pigment: Words = []
    colorants: Words = []
    known_from: KnownFrom | None = None
    stands_in_for: Ids = []
    melts_from: ConeText | None = None
    cones: ConesText | None = None
    true_colour: Id | None = None

    @property
    def makeup(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Pigments and colouring elements as rules may take them: none where they are guessed."""
        if self.known_from == words.GUESS:
            return (), ()
        return tuple(self.pigment), tuple(self.colorants)


class Clear(Record):
    """A clear glaze. Its chemistry is declared, computed from recipe or analysis, or unknown.

    `additions` come on top of the recipe: in the same parts, or, beside a recipe in moles, in per
    cent of its weight.
    """

    kind: ClassVar[str] = "clear"

    name: Name
    maker: Name | None = None
    status: Status = "in use"
    surface: Annotated[str, BeforeValidator(one_of(*words.SURFACES))] | None = None
    zinc: Annotated[str, BeforeValidator(one_of("bearing", "free", "unknown"))] | None = None
    lime: Annotated[str, BeforeValidator(one_of("high", "low", "unknown"))] | None = None
    magnesia: Annotated[str, BeforeValidator(one_of("high", "low", "unknown"))] | None = None
    known_from: KnownFrom | None = None
    cones: ConesText | None = None
    recipe: Annotated[dict[Name, Amount], BeforeValidator(as_map)] | None = None
    recipe_in: Annotated[str, BeforeValidator(one_of(*words.RECIPE_UNITS))] = "weight"
    additions: Annotated[dict[Name, Amount], BeforeValidator(as_map)] | None = None
    analysis: Annotated[dict[Name, Percent], BeforeValidator(as_map)] | None = None
    analysis_in: Annotated[str, BeforeValidator(one_of(*words.ANALYSIS_UNITS))] = "weight %"
    changed: Days = []


class Body(Record):
    """A clay body."""

    kind: ClassVar[str] = "body"

    name: Name
    maker: Name | None = None
    status: Status = "in use"
    colour: Colour | None = None
    cones: ConesText | None = None
    expansion: Annotated[float, BeforeValidator(number(0, 20, "1e-6/K"))] | None = None
    expansion_from: Annotated[str, BeforeValidator(one_of("measured", "maker", "guess"))] | None = (
        None
    )
    absorption: Annotated[float, BeforeValidator(number(0, 40, "percent"))] | None = Field(
        default=None, alias="absorption %"
    )


class Material(Record):
    """A studio's own raw material: its analysis in weight percent, `loss` on ignition included, or
    the formula from which that is computed."""

    kind: ClassVar[str] = "material"

    name: Name
    also: Words = []
    analysis: Annotated[dict[Name, Percent], BeforeValidator(as_map)] | None = None
    formula: Text | None = None
    source: Text | None = None


State = Annotated[str, BeforeValidator(one_of(*words.WITNESS_STATES))]
Shelf = Annotated[dict[ConeText, State], BeforeValidator(as_cones_map)]


class Firing(Record):
    """One kiln load."""

    kind: ClassVar[str] = "firing"

    fired: Day
    kiln: Name | None = None
    heat: Annotated[str, BeforeValidator(one_of(*words.HEATS))] | None = None
    atmosphere: Atmosphere = "unknown"
    aimed: ConeText | None = None
    witness: Annotated[dict[Name, Shelf], BeforeValidator(as_map)] = {}
    hold: Text | None = None
    cooling: Annotated[str, BeforeValidator(one_of(*words.COOLINGS))] | None = None
    log: Text | None = None
    near: Words = []
    by: Name | None = None
