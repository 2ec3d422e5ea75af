"""A formula as the methods file writes it, as MathML that a browser draws by itself.

In: one line of a small notation. Out: `<math>` markup, escaped. Knows no method.

    x_i  x^2  x_{ij}^2      below and above; braces take more than one sign
    frac{a}{b}  sqrt{a}     a fraction, a root
    sum_i  int_a^b          signs with their limits
    words, "two words"      upright: functions, oxides (their figures hang below), what is meant

A single letter is drawn as a variable, a number as a number, everything else as a sign. A fault in
the notation raises ValueError: formulas are written by us, and a test reads them all.
"""

from __future__ import annotations

import re
from functools import cache

from markupsafe import Markup

TOKEN = re.compile(
    r'\s*(?:(?P<text>"[^"]*")|(?P<word>[^\W\d_]+)|(?P<number>\d+(?:\.\d+)?)|(?P<sign>\S))'
)
FUNCTIONS = {"ln", "log", "exp", "sin", "min", "max", "erf"}
SIGNS = {"sum": "∑", "int": "∫"}
OPEN, CLOSE = "{", "}"


@cache
def mathml(text: str) -> Markup:
    """The formula as MathML, drawn large as on a line of its own."""
    reader = _Reader(text)
    return Markup('<math displaystyle="true">{}</math>').format(reader.row(ends=False))


@cache
def symbol(text: str) -> Markup:
    """One symbol, to stand in a line of text."""
    return Markup("<math>{}</math>").format(_Reader(text).row(ends=False))


class _Reader:
    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens = [
            (match.lastgroup or "", match[match.lastgroup or 0]) for match in TOKEN.finditer(text)
        ]
        self.place = 0

    def peek(self) -> str:
        return self.tokens[self.place][1] if self.place < len(self.tokens) else ""

    def take(self) -> tuple[str, str]:
        if self.place == len(self.tokens):
            raise ValueError(f"the formula ends too soon: {self.text}")
        self.place += 1
        return self.tokens[self.place - 1]

    def row(self, ends: bool = True) -> Markup:
        """Everything up to a closing brace (`ends`) or to the end."""
        parts = []
        while self.peek() and self.peek() != CLOSE:
            parts.append(self.scripted())
        if ends:
            self.expect(CLOSE)
        elif self.peek():
            raise ValueError(f"a brace too many: {self.text}")
        return Markup("").join(parts)

    def expect(self, sign: str) -> None:
        if self.take()[1] != sign:
            raise ValueError(f"“{sign}” is missing: {self.text}")

    def scripted(self) -> Markup:
        """One piece with what stands below and above it."""
        big = self.peek() == "sum"
        base = self.piece()
        below = above = None
        while self.peek() in ("_", "^"):
            _, mark = self.take()
            if mark == "_":
                below = self.piece()
            else:
                above = self.piece()
        return _scripts(base, below, above, big)

    def piece(self) -> Markup:
        kind, token = self.take()
        if token == OPEN:
            return Markup("<mrow>{}</mrow>").format(self.row())
        if kind == "text":
            return _words(token.strip('"'))
        if kind == "number":
            return Markup("<mn>{}</mn>").format(token)
        if kind == "word":
            return self.word(token)
        return _operator(token)

    def word(self, token: str) -> Markup:
        if token in ("frac", "sqrt"):
            self.expect(OPEN)
            first = self.row()
            if token == "sqrt":
                return Markup("<msqrt>{}</msqrt>").format(first)
            self.expect(OPEN)
            return Markup("<mfrac><mrow>{}</mrow><mrow>{}</mrow></mfrac>").format(first, self.row())
        if token in SIGNS:
            return Markup("<mo>{}</mo>").format(SIGNS[token])
        if token in FUNCTIONS:
            return Markup('<mi mathvariant="normal">{}</mi>').format(token)
        return Markup("<mi>{}</mi>").format(token) if len(token) == 1 else _words(token)


def _words(text: str) -> Markup:
    """Upright words; the figures of an oxide hang below. A space at an end is kept as one."""
    text = re.sub(r"^ | $", "\u00a0", text)
    if re.fullmatch(r"(?:[A-Z][a-z]?\d*)+", text) and re.search(r"\d", text):
        parts = re.split(r"(\d+)", text)
        return Markup("<mrow>{}</mrow>").format(
            Markup("").join(
                Markup("<msub><mtext>{}</mtext><mn>{}</mn></msub>").format(name, figure)
                if figure
                else Markup("<mtext>{}</mtext>").format(name)
                for name, figure in zip(parts[::2], [*parts[1::2], ""], strict=True)
                if name
            )
        )
    return Markup("<mtext>{}</mtext>").format(text)


def _operator(token: str) -> Markup:
    drawn = {"-": "−", "*": "·"}.get(token, token)
    if token in "()[]|":
        return Markup('<mo stretchy="false">{}</mo>').format(drawn)
    return Markup("<mo>{}</mo>").format(drawn)


def _scripts(base: Markup, below: Markup | None, above: Markup | None, big: bool) -> Markup:
    name = "munderover" if big else "msubsup"
    if below is not None and above is not None:
        return Markup(f"<{name}>{{}}{{}}{{}}</{name}>").format(base, below, above)
    if below is not None:
        name = "munder" if big else "msub"
        return Markup(f"<{name}>{{}}{{}}</{name}>").format(base, below)
    if above is not None:
        name = "mover" if big else "msup"
        return Markup(f"<{name}>{{}}{{}}</{name}>").format(base, above)
    return base
