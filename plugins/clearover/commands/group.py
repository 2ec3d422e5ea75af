"""The `clearover` command itself: finds the subcommand, turns every failure into an exit code.

In: the command line. Out: exit code 0 done, 1 the records or the input have errors, 2 wrong use,
3 our own fault. Subcommands are imported when asked for, so that a start stays quick.
"""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Sequence
from importlib import import_module
from typing import Any

import click

from .. import __version__
from ..day import NoDay
from ..suggest import hint
from .console import one_line, prepare, tell

COMMANDS = {
    "check": "check",
    "answer": "answer",
    "glaze": "glaze",
    "cone": "cone",
    "firing": "firing",
    "new": "new",
    "measure": "measure",
    "export": "export",
    "clean-photo": "clean_photo",
}
"""Every command, in the order a potter meets them, and the module that holds it."""

DONE, RECORDS_AT_FAULT, WRONG_USE, OUR_FAULT, INTERRUPTED = 0, 1, 2, 3, 130
TRACE = "CLEAROVER_TRACE"


class Refused(click.ClickException):
    """Wrong use of a command: an unknown id, a missing folder. Ends with 2."""

    exit_code = WRONG_USE


class RecordsBroken(click.ClickException):
    """A record that the command needs has errors. Ends with 1."""

    exit_code = RECORDS_AT_FAULT


class Commands(click.Group):
    """A group that loads its commands late and speaks plainly when one fails."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names, in the order of the table."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of this name, imported now."""
        if cmd_name not in COMMANDS:
            return None
        command = import_module(f"{__package__}.{COMMANDS[cmd_name]}").command
        assert isinstance(command, click.Command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does it, with a hint where the name was mistyped."""
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            raise Refused(f"there is no command {args[0]}{hint(args[0], COMMANDS)}")
        return super().resolve_command(ctx, args)

    def main(  # type: ignore[override]
        self, args: Sequence[str] | None = None, standalone_mode: bool = True, **extra: Any
    ) -> Any:
        """Run and leave with an exit code; without `standalone_mode` click's own way holds."""
        extra.setdefault("prog_name", "clearover")
        if not standalone_mode:
            return super().main(args, standalone_mode=False, **extra)
        prepare()
        sys.exit(self._run(args, extra))

    def _run(self, args: Sequence[str] | None, extra: dict[str, Any]) -> int:
        try:
            code = super().main(args, standalone_mode=False, **extra)
            sys.stdout.flush()
            return code if isinstance(code, int) else DONE
        except click.UsageError as error:
            # Newer releases of click raise this where nothing was asked: the message is the help.
            if type(error).__name__ == "NoArgsIsHelpError":
                tell(error.format_message())
                return WRONG_USE
            tell(f"clearover: {one_line(error.format_message())}")
            if error.ctx is not None:
                tell(f"Help: {error.ctx.command_path} --help")
            return WRONG_USE
        except click.ClickException as error:
            tell(f"clearover: {error.format_message()}")
            return error.exit_code
        except (click.Abort, KeyboardInterrupt):
            tell("clearover: stopped")
            return INTERRUPTED
        except NoDay as error:
            tell(f"clearover: {one_line(str(error))}")
            return WRONG_USE
        except BrokenPipeError:
            # Whoever read our output has enough of it (`| head`): not worth a word.
            sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115, PTH123
            return DONE
        except Exception as error:
            return _own_fault(error)


def _own_fault(error: Exception) -> int:
    """Say that it is our fault, and how to see more of it."""
    if os.environ.get(TRACE):
        tell("".join(traceback.format_exception(error)).rstrip())
    tell(
        f"clearover: this is a fault of Clearover, not of your records "
        f"({type(error).__name__}: {one_line(str(error))[:300]})"
    )
    if not os.environ.get(TRACE):
        tell(f"To report it, set {TRACE}=1, run the command again and send what it prints.")
    return OUR_FAULT


@click.group(
    cls=Commands,
    epilog="Example: clearover --version",
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(__version__, prog_name="clearover", message="%(prog)s %(version)s")
def main() -> None:
    """Fired test tiles: which clear over which underglaze, at which cone."""
