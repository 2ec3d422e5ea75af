"""A glass's composition as the models want it: mol % in, shares to 100, weight %, parts left out.

Nothing here knows a model. Molar masses and the order of the oxides are those of
`chemistry/oxides.py` (`data/oxides.csv`).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from ..chemistry.oxides import oxides, percent, to_moles, to_weights


@dataclass(frozen=True, slots=True)
class Split:
    """What a model knows of a glass, brought to 100 (`kept`), and what it does not (`left_out`).

    `left_out` keeps the shares of the whole glass; `left_out_share` is their sum, in per cent.
    """

    kept: dict[str, float]
    left_out: dict[str, float]

    @property
    def left_out_share(self) -> float:
        return sum(self.left_out.values())


def normalised(amounts: Mapping[str, float]) -> dict[str, float]:
    """The amounts as per cent of their sum, those of nothing left out; {} where all is nothing.

    In the order of the oxides table; names that the table does not hold stay, at the end. So a
    model gives the same answer whatever the sum and order of what it was handed.
    """
    strange = {name: a for name, a in sorted(amounts.items()) if name not in oxides()}
    ordered = {name: amounts[name] for name in oxides() if name in amounts} | strange
    present = {name: amount for name, amount in ordered.items() if amount > 0}
    total = sum(present.values())
    return {name: 100 * amount / total for name, amount in present.items()}


def weight_percent(mol: Mapping[str, float]) -> dict[str, float]:
    """Mol % -> weight %, summing to 100. KeyError for a name that `data/oxides.csv` lacks."""
    return percent(to_weights(mol)) or {}


def mol_percent(weight: Mapping[str, float]) -> dict[str, float]:
    """Weight % -> mol %, summing to 100. KeyError for a name that `data/oxides.csv` lacks."""
    return percent(to_moles(weight)) or {}


def split(mol: Mapping[str, float], known: Collection[str]) -> Split:
    """Part a glass into what a model knows, brought back to 100, and the rest."""
    shares = normalised(mol)
    kept = normalised({name: share for name, share in shares.items() if name in known})
    return Split(kept, {name: share for name, share in shares.items() if name not in known})


def told_as(mol: Mapping[str, float], other: str, each: float, one: str) -> dict[str, float]:
    """The same glass with one oxide told as another, `each` moles of it for a mole of `one`.

    Iron and manganese are counted by their metal: a mole of FeO is half a mole of Fe2O3.
    """
    told = {name: amount for name, amount in mol.items() if name != one}
    amount = mol.get(one, 0.0)
    if amount > 0:
        told[other] = told.get(other, 0.0) + each * amount
    return told


def named_shares(shares: Mapping[str, float], unit: str = "mol %") -> str:
    """Amounts in words, the largest first: “3.2 mol % V2O5 and 0.5 mol % P2O5”."""
    largest_first = sorted(shares.items(), key=lambda item: (-item[1], item[0]))
    named = [f"{share:.2g} {unit} {name}" for name, share in largest_first]
    return " and ".join([", ".join(named[:-1]), named[-1]] if len(named) > 1 else named)
