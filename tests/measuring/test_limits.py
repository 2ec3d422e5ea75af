"""The numbers of measuring stand in their table with a source, and nowhere else."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from clearover import measuring
from clearover.tables import rows

FOLDER = Path(measuring.__file__).parent
TABLE = "measuring-limits.csv"
OWN = [
    *("card", "request", "asking", "cover", "hiding", "remedies", "against", "disagree"),
    *("report", "results", "shapes", "clays", "clay_ring", "other_light"),
]
"""Modules without a number of their own."""
PLAIN = {-1, 0, 1, 2, 3, 100}
"""Counts, powers, decimals of a report, per cent."""


def _tree(name: str) -> ast.Module:
    return ast.parse((FOLDER / f"{name}.py").read_text(encoding="utf-8"))


def _named(tree: ast.Module) -> set[ast.AST]:
    """What is given a name at the top of a module, and the default of a field: said what it is."""
    named = (ast.Assign, ast.AnnAssign)
    found: set[ast.AST] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef):
            for line in node.body:
                found |= set(ast.walk(line)) if isinstance(line, named) else set()
    return found


@pytest.mark.parametrize("name", OWN)
def test_no_number_hides_in_a_module(name: str) -> None:
    tree = _tree(name)
    named = _named(tree)
    loose = {
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, int | float)
        and not isinstance(node.value, bool)
        and node not in named
    }
    assert loose <= PLAIN, loose - PLAIN


def _asked() -> set[str]:
    """Every name that a module gives to `limit`, as far as it is written out."""
    found = set()
    for file in FOLDER.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "limit":
                found |= {
                    part.value
                    for part in ast.walk(node.args[0])
                    if isinstance(part, ast.Constant) and isinstance(part.value, str)
                }
    return found


def test_every_limit_is_used_and_every_used_one_is_there() -> None:
    names = {row["name"] for row in rows(TABLE)}
    ending = {"_lightest"}  # `limit(f"{what}_lightest")`
    assert _asked() - ending <= names
    unused = names - _asked()
    assert unused == {"clay_lightest", "cells_lightest"}


def test_every_limit_has_a_unit_and_a_source() -> None:
    for row in rows(TABLE):
        float(row["value"])
        assert row["unit"] and row["source"], row["name"]
        assert row["known"] in ("convention", "computed", "memory", "seen"), row["name"]
    names = [row["name"] for row in rows(TABLE)]
    assert len(names) == len(set(names))
