"""YAML is read as text, and every value knows where it stands."""

from __future__ import annotations

import pytest
from clearover.records.yaml_text import decode, read, spots, start
from hypothesis import given
from hypothesis import strategies as st

WORDS = "05 5 010 0o10 no off y yes true null ~ 1:30 1e3 .inf 2026-03-12 12_000 0x1F = 5½"


@pytest.mark.parametrize("written", WORDS.split(" "))
def test_no_value_is_typed(written: str) -> None:
    assert read(f"a: {written}\nb: [{written}]\n", "f") == ({"a": written, "b": [written]}, [])


def test_quotes_and_blocks_are_text_too() -> None:
    text = "a: 'it''s'\nb: \"½\\t\"\nc: |\n  one\n  two\nd: >-\n  one\n  two\ne:\n"
    data, problems = read(text, "f")
    assert problems == []
    assert data == {"a": "it's", "b": "½\t", "c": "one\ntwo\n", "d": "one two", "e": ""}


def test_places_in_block_and_flow_style() -> None:
    text = "# head\nname: x\nacross: {clear: [a, 'b'], 'clear coats': [1]}\njudged:\n  - by: R\n"
    found = spots(text, "f")
    assert found[()].value == (2, 1)
    assert (found[("name",)].key, found[("name",)].value) == ((2, 1), (2, 7))
    assert found[("across", "clear", 1)].value == (3, 21)
    assert found[("across", "clear coats")].key == (3, 27)
    assert found[("judged", 0, "by")].value == (5, 9)


def test_columns_count_letters_not_bytes() -> None:
    found = spots("{é½漢: '🏺 é', b: c}", "f")
    assert found[("b",)].key == (1, 14)


def test_the_start_is_the_first_key() -> None:
    for text in ("# a\n\n  name: x\n", "name: x", "{a: b}", "- a\n", "---\n# b\nname: x\n"):
        assert start(text).value == spots(text, "f")[()].value
    assert start("# nothing\n").value == (1, 1)


def test_windows_line_ends_keep_their_lines() -> None:
    text, problems = decode(b"a: 1\r\nb: 2\r\n", "f")
    assert problems == [] and text is not None
    assert spots(text, "f")[("b",)].value == (2, 4)


def test_of_a_key_written_twice_the_first_counts() -> None:
    data, problems = read("a: 1\nb: 2\na: 3\n", "f")
    assert data == {"a": "1", "b": "2"}
    assert [str(p.place) for p in problems] == ["f:3:1"]
    assert spots("a: 1\nb: 2\na: 3\n", "f")[("a",)].value == (1, 4)


def test_joiners_that_scripts_need_are_kept() -> None:
    assert decode("name: می\u200cخواهم\n".encode(), "f")[1] == []


@given(st.text())
def test_any_text_gives_data_or_problems(text: str) -> None:
    data, problems = read(text, "f")
    if problems:
        assert all(problem.is_error and problem.place.line for problem in problems)
    else:
        _only_text(data)
    spots(text, "f")


@given(st.text(alphabet="ab:-[]{}&*!|>'\"#%@`,?\n \t\\<0."))
def test_any_yaml_like_text_gives_data_or_problems(text: str) -> None:
    data, problems = read(text, "f")
    lines = text.split("\n")
    for problem in problems:
        line, column = problem.place.line, problem.place.column
        assert line is not None and column is not None
        assert 1 <= line <= len(lines)
        assert 1 <= column <= len(lines[line - 1]) + 1
    if not problems:
        _only_text(data)


@given(st.binary())
def test_any_bytes_decode_or_say_why(data: bytes) -> None:
    text, problems = decode(data, "f")
    assert (text is None) == any(problem.is_error for problem in problems)


def _only_text(data: object) -> None:
    if isinstance(data, dict):
        for key, value in data.items():
            assert isinstance(key, str)
            _only_text(value)
    elif isinstance(data, list):
        for value in data:
            _only_text(value)
    else:
        assert data is None or isinstance(data, str)
