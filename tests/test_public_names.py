"""The package as others see it: every module says what it is, and importing is cheap."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import clearover
import pytest

PACKAGE = Path(clearover.__file__).parent
MODULES = sorted(PACKAGE.rglob("*.py"))
LONGEST_MODULE = 300
HEAVY = ("numpy", "PIL", "jinja2", "mkdocs", "pydantic")


def name(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def by_name(paths):
    return pytest.mark.parametrize("path", paths, ids=[name(path) for path in paths])


@by_name([path for path in MODULES if path.read_text(encoding="utf-8").strip()])
def test_every_module_says_what_it_is(path):
    docstring = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    assert docstring
    assert docstring.splitlines()[0].strip().endswith((".", "”", ":", "?"))


@by_name(MODULES)
def test_no_module_is_long(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_MODULE


@by_name([path for path in MODULES if path.name != "plugin.py"])
def test_only_the_plugin_knows_the_host(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    imported = {
        alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.Import)
        for alias in node.names
    } | {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert not [module for module in imported if module.split(".")[0] in ("mkdocs", "properdocs")]


@by_name(MODULES)
def test_public_names_say_what_they_mean(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    kinds = (ast.FunctionDef, ast.ClassDef)
    public = [n for n in tree.body if isinstance(n, kinds) and not n.name.startswith("_")]
    assert [node.name for node in public if not ast.get_docstring(node)] == []


def loaded_by(statement: str) -> set[str]:
    """The top-level packages that a statement loads in a fresh process."""
    code = f"import sys; {statement}; print(*sorted({{m.split('.')[0] for m in sys.modules}}))"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    return set(done.stdout.split())


def test_importing_the_package_loads_nothing_heavy():
    assert not loaded_by("import clearover") & set(HEAVY)


def test_a_command_starts_without_what_it_does_not_need():
    assert not loaded_by("import clearover.commands") & set(HEAVY)


def test_checking_needs_no_host():
    assert "mkdocs" not in loaded_by("import clearover.catalogue, clearover.commands.check")


def test_the_command_is_a_public_name():
    from importlib.metadata import entry_points

    found = entry_points(group="console_scripts", name="clearover")
    assert [entry.value for entry in found] == ["clearover.commands:main"]
    assert callable(next(iter(found)).load())
