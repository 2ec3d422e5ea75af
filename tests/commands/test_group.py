"""How commands start and end: versions, mistakes, our own faults."""

from __future__ import annotations

import shlex
from pathlib import Path

import clearover
import click
import pytest
from clearover.commands import main
from clearover.commands.group import COMMANDS


def test_version(run):
    done = run("--version")
    assert (done.returncode, done.stdout) == (0, f"clearover {clearover.__version__}\n")


def test_a_mistyped_command_is_guessed(run):
    done = run("anwser", "hedge-bottom")
    assert done.returncode == 2
    assert "did you mean `answer`" in done.stderr


def test_an_unknown_option_points_to_the_help(run):
    done = run("check", "--stricter")
    assert done.returncode == 2
    assert "clearover check --help" in done.stderr


def test_without_words_the_help_is_shown(run):
    done = run()
    assert done.returncode in (0, 2)
    assert "clean-photo" in done.stdout + done.stderr


def test_our_own_fault_says_so_without_a_trace(run, studio):
    broken = "import clearover.catalogue as c; c.read = lambda combos: 1 / 0; "
    done = _run_code(studio, broken)
    assert done.returncode == 3
    assert "a fault of Clearover" in done.stderr
    assert "Traceback" not in done.stderr
    traced = _run_code(studio, broken, CLEAROVER_TRACE="1")
    assert traced.returncode == 3
    assert "Traceback" in traced.stderr


def _run_code(folder, code, **environment):
    import os
    import subprocess
    import sys

    code += "from clearover.commands import main; main(['check', '--json'])"
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=folder,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        check=False,
    )


def command(name: str) -> click.Command:
    found = main.get_command(click.Context(main), name)
    assert found is not None
    return found


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_that_reads_records_takes_combos_and_json(name):
    options = {option for each in command(name).params for option in each.opts}
    if name != "clean-photo":
        assert {"--combos", "--json"} <= options


@pytest.mark.parametrize("name", COMMANDS)
def test_every_example_works(run, studio, name, request):
    example = shlex.split(str(command(name).epilog).removeprefix("Example: "))
    assert example[0] == "clearover"
    if name == "clean-photo":
        photo = studio / example[-1]
        photo.parent.mkdir(parents=True)
        _draw(photo)
    if name == "measure":
        request.getfixturevalue("photographed")
    done = run(*example[1:])
    assert done.returncode == 0, done.stderr


def _draw(path: Path) -> None:
    from PIL import Image

    Image.effect_mandelbrot((400, 300), (-3, -2.5, 2, 2.5), 100).convert("RGB").save(path)
