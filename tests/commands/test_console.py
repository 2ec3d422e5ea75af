"""Output on consoles that lack characters, and text that would take a terminal over."""

from __future__ import annotations

import io
import json
import re
import sys
import unicodedata
from subprocess import CompletedProcess

import pytest
from clearover.commands.console import one_line
from clearover.commands.group import COMMANDS
from hypothesis import given
from hypothesis import strategies as st

QUESTION = ("answer", "hedge-bottom", "--cone", "5½")


@pytest.fixture
def console(here, monkeypatch):
    """Run `clearover` on a console that knows this encoding alone, as Python opens one; gives the
    bytes."""

    def run(encoding, *words):
        out, error = io.BytesIO(), io.BytesIO()
        with monkeypatch.context() as turned:
            opened = io.TextIOWrapper(out, encoding)
            beside = io.TextIOWrapper(error, encoding, errors="backslashreplace")
            turned.setattr(sys, "stdout", opened)
            turned.setattr(sys, "stderr", beside)
            code = here(*words).returncode
            opened.flush()
            beside.flush()
        return CompletedProcess(words, code, out.getvalue(), error.getvalue())

    return run


def test_a_full_console_shows_the_half(run):
    assert "cone 5½" in run(*QUESTION).stdout


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437"])
def test_a_poor_console_gets_plain_spellings(run, encoding):
    done = run(*QUESTION, PYTHONIOENCODING=encoding)
    assert done.returncode == 0, done.stderr
    shown = done.stdout.encode("utf-8", "surrogateescape").decode(encoding)
    assert ("cone 5.5" if encoding == "ascii" else "cone 5½") in shown


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
@pytest.mark.parametrize(
    "words",
    [("check",), ("answer", "“hédge-bottom” △"), ("answer", "hedge-bottom", "--cone", "½")],
)
def test_problems_and_refusals_never_break_a_console(console, studio, encoding, words):
    tile = studio / "combos/tiles/hedge-bottom-two-clears/tile.yml"
    text = tile.read_text(encoding="utf-8")
    tile.write_text(text.replace("shelf: top", "shelf: “oben” △ 5½ 下"), encoding="utf-8")
    done = console(encoding, *words)
    assert done.returncode in (1, 2)
    said = (done.stdout + done.stderr).decode(encoding)
    assert said and "Traceback" not in said


def test_json_is_the_same_on_any_console(console):
    full, poor = (console(code, *QUESTION, "--json").stdout for code in ("utf-8", "ascii"))
    assert json.loads(full) == json.loads(poor)
    assert full and poor.isascii()


@pytest.mark.parametrize("command", [(), *((name,) for name in COMMANDS)])
def test_help_is_ascii_and_ends_with_an_example(run, command):
    done = run(*command, "--help")
    assert done.returncode == 0
    assert done.stdout.isascii()
    assert re.search(r"\n\s+Example: clearover ", done.stdout)


@given(st.text())
def test_one_line_holds_no_control_character(text):
    bad = {"Cc", "Cf", "Cs", "Zl", "Zp"}
    assert not any(unicodedata.category(char) in bad for char in one_line(text))


def test_a_colour_code_or_a_turn_of_direction_is_made_visible():
    assert one_line("a\x1b[2J\u202eb\nc") == "a\\u001b[2J\\u202eb c"


def test_one_line_leaves_words_alone():
    assert one_line("Café “½” 5° × naïve") == "Café “½” 5° × naïve"
