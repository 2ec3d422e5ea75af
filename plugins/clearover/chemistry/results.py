"""What chemistry says of a clear and of a colour under it: plain values for pages and commands.

Unknown is a value: `Class.value == "unknown"` means nobody knows: no recipe tells, and nobody
declared it but by a guess.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Class:
    """Zinc (`bearing`, `free`), lime or magnesia (`high`, `low`, `between`), or `unknown`.

    `weight_percent` is of the fired glass, None where nothing was computed. `known_from` says
    `recipe`, `analysis`, `declared (label)`, `declared`, `guess` or `nobody`. What was only guessed
    is unknown, and `guessed` says what the guess was.
    """

    value: str
    weight_percent: float | None
    known_from: str
    guessed: str | None = None


@dataclass(frozen=True, slots=True)
class ClearChemistry:
    """A clear's oxides. The three mappings are None together, with `reason` saying why.

    `oxides_weight_percent` and `oxides_mol_percent` sum to 100 (fired); `unity` is the Seger
    formula, fluxes summing to 1, None where there is no flux (`reason` says so).
    `loss_percent` is what leaves in the fire, per cent of the raw weight. `brought_by` names, for
    each oxide, the recipe's material that brings most of it. `boron` is not declared anywhere: it
    is known only where it was computed. `r2o_to_ro` is moles of alkali for one of other fluxes.
    """

    clear: str
    oxides_weight_percent: dict[str, float] | None
    oxides_mol_percent: dict[str, float] | None
    unity: dict[str, float] | None
    silica_to_alumina: float | None
    loss_percent: float | None
    zinc: Class
    lime: Class
    magnesia: Class
    reason: str | None = None
    unknown_materials: tuple[str, ...] = ()
    brought_by: dict[str, str] = field(default_factory=dict)
    boron: Class = Class("unknown", None, "nobody")
    r2o_to_ro: float | None = None


@dataclass(frozen=True, slots=True)
class Flag:
    """What the chemistry says of one pigment under one clear.

    `direction`: harm | help | none | unknown; `property`: colour | surface | line;
    `strength`: strong | some | slight; `evidence`: published | memory | common practice.
    `would_change` says what would make it otherwise.
    """

    rule: str
    pigment: str
    underglaze: str | None
    effect: str
    direction: str
    property: str
    strength: str
    because: str
    source: str
    evidence: str
    disagrees: str | None = None
    would_change: str | None = None
