"""What a glass model says of one composition: plain values for pages, commands and other models.

A value never comes alone: with it come its 90 % band, the model and its source. Where a model does
not reach, there is no value and a reason instead: "not computed", never a guess.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Estimate:
    """One computed quantity, in the unit its function names.

    `low` and `high` bound 90 % of what measurements of such glasses gave. `model` names the model
    in words, `source` says author, year, title, table. `value` is None where nothing was computed,
    and `reason` says why ("not computed: …").
    """

    value: float | None
    low: float | None = None
    high: float | None = None
    model: str | None = None
    source: str | None = None
    reason: str | None = None

    def as_dict(self) -> dict[str, float | str | None]:
        """The keys scripts get: value, low, high, model, source; or value (null) and reason."""
        if self.value is None:
            return {"value": None, "reason": self.reason}
        return {
            "value": self.value,
            "low": self.low,
            "high": self.high,
            "model": self.model,
            "source": self.source,
        }


def not_computed(why: str) -> Estimate:
    """No value, and why: one clause a potter understands, without “not computed” before it."""
    return Estimate(None, reason=f"not computed: {why}")
