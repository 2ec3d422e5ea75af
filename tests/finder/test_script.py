"""The data reaches the page as a classic script that no record can break out of."""

from __future__ import annotations

import json
import shutil
import subprocess
from typing import Any

import pytest
from clearover.finder.data import as_script
from hypothesis import given
from hypothesis import strategies as st

NASTY = {"a": "</script><script>alert(1)</script>", "b": "it's \\ \" \u2028 \u2029 \n \0 ½ 🏺"}


def undone(script: bytes, variable: str) -> Any:
    """The value, by the two readings a browser makes: a JS string literal, then JSON."""
    text = script.decode()
    head, tail = f"window.{variable}=JSON.parse('", "');\n"
    assert text.startswith(head)
    assert text.endswith(tail)
    literal = text[len(head) : -len(tail)]
    return json.loads(literal.replace("\\'", "'").replace("\\\\", "\\"))


def test_nothing_can_end_the_script() -> None:
    script = as_script(NASTY)
    assert b"<" not in script
    assert script.count(b"\n") == 1
    assert undone(script, "clearoverData") == NASTY


@given(st.dictionaries(st.text(), st.text() | st.integers() | st.lists(st.text())))
def test_any_text_comes_back_as_it_was(value: dict[str, Any]) -> None:
    script = as_script(value, "x")
    assert b"<" not in script
    assert undone(script, "x") == value


@pytest.mark.skipif(shutil.which("node") is None, reason="no JavaScript engine at hand")
def test_a_javascript_engine_reads_the_same() -> None:
    program = (
        "const window={};"
        + as_script(NASTY).decode()
        + ("process.stdout.write(JSON.stringify(window.clearoverData))")
    )
    ran = subprocess.run(["node", "-e", program.replace("\0", "\\0")], capture_output=True)
    assert json.loads(ran.stdout) == NASTY


def test_data_is_plain(data: dict[str, Any]) -> None:
    assert undone(as_script(data), "clearoverData") == json.loads(json.dumps(data))
