"""The text of a chemical formula: letters, numbers, brackets and dots in, counted atoms out.

Pure reading: it knows which symbols are elements because it is told, and nothing of their weights
or oxides. A full stop between two digits can be read in two ways; both readings are given.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

LONGEST = 200
"""Characters of a formula at the most; our own limit."""

_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")
_DOTS = re.compile(r"[·•∙⋅‧・*×+]")
_OPEN, _CLOSE = "([{", ")]}"
_AMBIGUOUS = re.compile(r"[1-9]\d*\.\d")
_ELEMENT = re.compile(r"[A-Z][a-z]?")
_NUMBER = re.compile(r"\d{1,6}")
_DECIMAL = re.compile(r"\d{1,6}(\.\d{1,6})?")


class FormulaFault(ValueError):
    """A formula that cannot be read or counted; the message is one clause for a potter."""


def readings(text: str, symbols: frozenset[str]) -> Iterator[dict[str, float]]:
    """Atoms of one formula unit, one dictionary for each way to read the text.

    Where a full stop stands between digits it first parts two compounds, as in `Na2B4O7.10H2O`
    (common practice), and then marks decimals; where the text parts by other dots, the other way
    round. Raises `FormulaFault` where no reading makes sense.
    """
    if len(text) > LONGEST:
        raise FormulaFault(f"it is longer than {LONGEST} characters")
    plain = _plain(text)
    ways = [False, True] if _AMBIGUOUS.search(plain) else [False]
    if "·" in plain:
        ways.reverse()
    fault: FormulaFault | None = None
    done = 0
    for decimals in ways:
        try:
            atoms = _Reader(plain, symbols, decimals).read()
        except FormulaFault as error:
            fault = fault or error
        else:
            done += 1
            yield atoms
    if fault is not None and not done:
        raise fault


def _plain(text: str) -> str:
    """One spelling: plain digits, `·` between compounds, a point for a decimal comma."""
    spelt = _DOTS.sub("·", text.strip().translate(_SUBSCRIPTS))
    spelt = re.sub(r"(?<=\d),(?=\d)", ".", spelt)
    spelt = re.sub(r"\sx\s|\s+\.\s*|\.\s+", "·", spelt)
    # A gap parts compounds as a dot does; `Al2 Si2 O5` comes to the same either way.
    return re.sub(r"\s+", "_", re.sub(r"\s*·\s*", "·", spelt.strip()))


class _Reader:
    """One pass over a formula, from left to right, with a stack for brackets."""

    def __init__(self, text: str, symbols: frozenset[str], decimals: bool) -> None:
        self.text, self.symbols, self.decimals = text, symbols, decimals
        self.at = 0

    def read(self) -> dict[str, float]:
        """All compounds of the formula, summed."""
        total: dict[str, float] = {}
        while self.at < len(self.text):
            factor = self._coefficient()
            for symbol, count in self._compound().items():
                total[symbol] = total.get(symbol, 0.0) + factor * count
        if not total:
            raise FormulaFault("there is no formula")
        return total

    def _coefficient(self) -> float:
        """The number before a compound, 1 where there is none."""
        found = _DECIMAL.match(self.text, self.at)
        if not found:
            return 1.0
        self.at = found.end()
        if self.text.startswith("_", self.at):
            self.at += 1
        return _positive(found[0])

    def _compound(self) -> dict[str, float]:
        """One compound, up to a dot, a gap or the end."""
        groups: list[dict[str, float]] = [{}]
        brackets = ""
        while self.at < len(self.text):
            char = self.text[self.at]
            if char in "·._":
                self.at += 1
                break
            if char in _OPEN:
                brackets += char
                groups.append({})
                self.at += 1
                if len(groups) > 9:
                    raise FormulaFault("its brackets are nested too deep")
            elif char in _CLOSE:
                if not brackets or _OPEN.index(brackets[-1]) != _CLOSE.index(char):
                    raise FormulaFault(f"a bracket {char} closes nothing")
                brackets = brackets[:-1]
                self.at += 1
                self._add(groups[-2], groups.pop())
            else:
                self._add(groups[-1], {self._element(): 1.0})
        if brackets:
            raise FormulaFault(f"a bracket {brackets[-1]} is never closed")
        if not groups[0]:
            raise FormulaFault("a dot or a number stands where a compound should be")
        return groups[0]

    def _add(self, group: dict[str, float], part: dict[str, float]) -> None:
        times = self._subscript()
        for symbol, count in part.items():
            group[symbol] = group.get(symbol, 0.0) + times * count

    def _element(self) -> str:
        found = _ELEMENT.match(self.text, self.at)
        if found is None:
            strange = self.text[self.at]
            why = "; large and small letters count, as in SiO2" if strange.isalpha() else ""
            raise FormulaFault(f"“{strange}” does not belong in a formula there{why}")
        for symbol in (found[0], found[0][0]):
            if symbol in self.symbols:
                self.at += len(symbol)
                return symbol
        raise FormulaFault(
            f"“{found[0]}” is no element known here; large and small letters count, as in SiO2"
        )

    def _subscript(self) -> float:
        """The number behind an element or a bracket, 1 where there is none."""
        found = _NUMBER.match(self.text, self.at)
        if not found:
            return 1.0
        decimal = _DECIMAL.match(self.text, self.at)
        # Nothing is taken no times: `0.5` behind an element can only be a half.
        if decimal is not None and (self.decimals or int(found[0]) == 0):
            found = decimal
        self.at = found.end()
        return _positive(found[0])


def _positive(text: str) -> float:
    value = float(text)
    if not 0 < value <= 10_000:
        raise FormulaFault(f"{text} is no count of atoms")
    return value
