"""Checks on firing records: logs beside them, witness cones that bend in order."""

from __future__ import annotations

import os
from itertools import pairwise
from pathlib import Path

from ...suggest import hint
from .. import words
from ..models import Firing
from .context import Context


def check_firings(context: Context) -> None:
    """Note what is wrong with each firing by itself."""
    for firing in context.firings.values():
        _check_log(context, firing)
        _check_witness(context, firing)
        if not firing.witness and firing.log is None and firing.aimed is None:
            context.note(firing, (), "nothing-fired")


def _check_log(context: Context, firing: Firing) -> None:
    if firing.log is None:
        return
    beside, folder = context.beside(firing), context.folder(firing)
    if not is_bare_name(firing.log):
        context.note(firing, ("log",), "path-leaves-folder", found=firing.log)
    elif firing.log not in beside and os.path.isfile(folder / firing.log):  # noqa: PTH113
        # `Path.is_file` raises for a name longer than any file's.
        wanted = f"{firing.id}{Path(firing.log).suffix}"
        context.note(firing, ("log",), "log-other-name", found=firing.log, wanted=wanted)
    elif firing.log not in beside:
        wanted = f"{firing.file.rpartition('/')[0]}/{firing.log}"
        near = hint(firing.log, beside)
        context.note(
            firing, ("log",), "log-missing", found=firing.log, wanted=wanted, suggestion=near
        )


def is_bare_name(name: str) -> bool:
    """Whether a file name stays in its own folder."""
    return not (set(name) & set('/\\:*?"<>|')) and name not in (".", "..") and name[0] != "."


def _check_witness(context: Context, firing: Firing) -> None:
    """A hotter cone never bends further than a cooler one beside it."""
    for shelf, cones in firing.witness.items():
        states = [(cone, words.WITNESS_STATES.index(cones[cone])) for cone in sorted(cones)]
        for (cooler, less), (hotter, more) in pairwise(states):
            if more > less:
                context.note(
                    firing,
                    ("witness", shelf),
                    "witness-out-of-order",
                    shelf=shelf,
                    hotter=hotter.shown,
                    hotter_state=words.WITNESS_STATES[more],
                    cooler=cooler.shown,
                    cooler_state=words.WITNESS_STATES[less],
                )
