"""Where what people judged and what the photo says do not go together.

In: a tile's verdicts, its measurement, its differences from true. Out: for each cell the
contradictions in words. The rules stand in `data/measured-beside-judged.csv`. Which of the two is
right is not decided here: a photo may be of the wrong tile, and so may a verdict.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from ..tables import rows
from .against import Against, Spot
from .results import TileMeasurement

TABLE = "measured-beside-judged.csv"
Value = float | str | tuple[str, ...] | None


@dataclass(frozen=True, slots=True)
class Disagreement:
    """`judged true` and `measured browner: ΔE 8`; `prop` is colour, line, cover or surface."""

    prop: str
    judged: str
    measured: str

    @property
    def text(self) -> str:
        """`judged true, measured browner: ΔE 8`; a line's and a cover's say of what."""
        return f"{self.judged}, {self.measured}"


@dataclass(frozen=True, slots=True)
class Rule:
    """One row of the table: a verdict, and the values of a quantity that contradict it."""

    prop: str
    judged: str
    quantity: str
    least: float | None
    below: float | None
    among: tuple[str, ...]
    says: str

    def breaks(self, value: Value) -> str | None:
        """The value that contradicts, as text where it is a word; None where nothing does."""
        if isinstance(value, float):
            low = self.least is None or value >= self.least
            high = self.below is None or value < self.below
            return "" if low and high and not self.among else None
        words = (value,) if isinstance(value, str) else value or ()
        return next((word for word in words if word in self.among), None)


@cache
def rules() -> tuple[Rule, ...]:
    """The table."""
    return tuple(
        Rule(
            row["property"],
            row["judged"],
            row["quantity"],
            float(row["from"]) if row["from"] else None,
            float(row["below"]) if row["below"] else None,
            tuple(row["among"].split("|")) if row["among"] else (),
            row["says"],
        )
        for row in rows(TABLE)
    )


def disagreements(
    verdicts: Mapping[Spot, Mapping[str, tuple[str, ...]]],
    measured: TileMeasurement,
    differences: Mapping[Spot, Against],
) -> dict[Spot, tuple[Disagreement, ...]]:
    """Each cell that contradicts itself. `verdicts` holds texts by property, the newest first; the
    newest is the one that is compared."""
    found: dict[Spot, tuple[Disagreement, ...]] = {}
    for spot, values in _values(measured, differences).items():
        told = tuple(_of_cell(verdicts.get(spot, {}), values))
        if told:
            found[spot] = told
    return found


def _of_cell(
    verdicts: Mapping[str, tuple[str, ...]], values: Mapping[str, Value]
) -> Iterator[Disagreement]:
    for prop, texts in verdicts.items():
        for rule in _rules_of(prop, texts[0]) if texts else ():
            broken = rule.breaks(values.get(rule.quantity))
            if broken is not None:
                yield Disagreement(prop, f"judged {_named(prop, texts[0])}", _says(rule, values))
                break


@cache
def _rules_of(prop: str, text: str) -> tuple[Rule, ...]:
    """The rules that speak of a verdict: few verdicts, told of thousands of cells. `shifted brown`
    is shifted; of `hazy and bubbled` either word counts."""
    said = {text, *text.split(" and "), text.split(" ")[0]}
    return tuple(rule for rule in rules() if rule.prop == prop and rule.judged in said)


def _named(prop: str, text: str) -> str:
    return f"line {text}" if prop == "line" else text


def _says(rule: Rule, values: Mapping[str, Value]) -> str:
    value = values[rule.quantity]
    changes = values.get("change")
    words = ", ".join(changes) if isinstance(changes, tuple) else ""
    shown = rule.breaks(value) or value
    return rule.says.format(value=shown, changes=words or "another colour")


def _values(
    measured: TileMeasurement, differences: Mapping[Spot, Against]
) -> dict[Spot, dict[str, Value]]:
    """What was measured on each cell, by the names of the table's quantities."""
    found: dict[Spot, dict[str, Value]] = {}
    for spot, off in differences.items():
        name = "delta_e" if off.same_photo else "delta_e_across"
        found.setdefault(spot, {}).update({name: off.delta_e, "change": off.changes})
    for cover in measured.cover:
        told = {
            "contrast_ratio_low": cover.ratio_low,
            "contrast_ratio_high": cover.ratio_high,
            "streaks": cover.streaks,
        }
        found.setdefault((cover.row, cover.column), {}).update(told)
    for skin in measured.surface:
        names = ("haze", "pinholes_per_cm2", "bubbles_per_cm2")
        found.setdefault((skin.row, skin.column), {}).update(
            {name: getattr(skin, name) for name in names}
        )
    for line in measured.lines:
        of_line: dict[str, Value] = {"kind": line.kind, "drag_mm": line.drag_mm}
        found.setdefault((line.row, line.column), {}).update(of_line)
    return found
