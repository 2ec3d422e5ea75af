"""What reaches the terminal: text that any console can show, and JSON for scripts.

In: text for people, values for scripts. Out: standard output and standard error. A console that
knows no `½` or curly quote gets the nearest plain spelling; control characters that a record may
hold never reach a terminal.
"""

from __future__ import annotations

import codecs
import io
import json
import sys
import unicodedata
from collections.abc import Mapping
from typing import Any

import click

from .. import __version__

PLAIN = {
    "½": ".5",
    "“": '"',
    "”": '"',
    "„": '"',
    "‘": "'",
    "’": "'",
    "–": "-",
    "—": "-",
    "−": "-",
    "…": "...",
    "→": "->",
    "×": "x",
    "·": "-",
    "•": "*",
    "≤": "<=",
    "≥": ">=",
    "≈": "about ",
    "±": "+/-",
    "△": "cone ",
    "µ": "u",
    "μ": "u",
    "°": " deg ",
    "\u00a0": " ",
    "\u202f": " ",
}
"""Spellings for consoles that lack a character."""

_HANDLER = "clearover-plain"


def _plain(error: UnicodeError) -> tuple[str | bytes, int]:
    """A codec error handler: the nearest spelling that ASCII has, `?` where there is none."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    text = error.object[error.start : error.end]
    return "".join(_spelling(char) for char in text), error.end


def _spelling(char: str) -> str:
    if char in PLAIN:
        return PLAIN[char]
    folded = unicodedata.normalize("NFKD", char).encode("ascii", "ignore").decode("ascii")
    return folded or "?"


def prepare() -> None:
    """Make both streams fall back to plain spellings instead of failing."""
    codecs.register_error(_HANDLER, _plain)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=_HANDLER)


def say(text: str = "") -> None:
    """One paragraph for people, on standard output."""
    # The stream is named: left to itself, click writes UTF-8 to a console that said ASCII.
    click.echo(text, file=sys.stdout)


def tell(text: str) -> None:
    """One remark beside the result, on standard error."""
    click.echo(text, file=sys.stderr)


def say_json(value: Mapping[str, Any]) -> None:
    """One JSON value, the version first. ASCII only, so no console can spoil it."""
    # Written straight to the stream: click would strip what looks like a colour code.
    sys.stdout.write(json.dumps({"clearover": __version__, **value}, indent=2) + "\n")


def one_line(text: str) -> str:
    """Text of a record on one line, every control or direction-changing character made visible."""
    return "".join(char if _harmless(char) else _escaped(char) for char in text)


def _harmless(char: str) -> bool:
    return unicodedata.category(char) not in ("Cc", "Cf", "Cs", "Zl", "Zp")


def _escaped(char: str) -> str:
    if char in "\n\r\t":
        return " "
    return f"\\u{ord(char):04x}" if ord(char) < 0x10000 else f"\\U{ord(char):08x}"
