"""A record to fill in: the text that `clearover new` writes.

In: a kind, an id, and what is known already. Out: the text of a record in which what is unknown
stands as a blank or behind a `#`. The blanks themselves are `data/blank-*.yml`.
"""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files
from string import Template

from ..records.words import COLOURS

_BARE = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._½-]*")


@dataclass(frozen=True, slots=True)
class Layout:
    """What a new tile holds. Of the three lists at most two may have more than one entry."""

    underglazes: tuple[str, ...] = ()
    clears: tuple[str, ...] = ()
    coats: tuple[str, ...] = ()
    body: str | None = None

    @property
    def too_many(self) -> bool:
        """Whether more changes than two directions can hold."""
        return sum(len(each) > 1 for each in (self.underglazes, self.clears, self.coats)) > 2


@dataclass(frozen=True, slots=True)
class Fired:
    """When a tile was made and what it went through: its firings, or its cone alone."""

    made: str | None = None
    mark: str | None = None
    firings: tuple[str, ...] = ()
    cone: str | None = None
    atmosphere: str | None = None


def name_from(id: str) -> str:
    """`hedge-bottom` -> `Hedge Bottom`."""
    return " ".join(word.capitalize() for word in id.split("-"))


def blank(kind: str, id: str) -> str:
    """A record of any kind but a tile."""
    return _template(kind).substitute(name=name_from(id), colours=" | ".join(COLOURS))


def blank_tile(layout: Layout, fired: Fired, today: dt.date) -> str:
    """A tile's record with its layout, and a picture of dots for the verdicts."""
    across, down, everywhere = _directions(layout)
    rows = max(map(len, down.values()), default=1)
    columns = max(map(len, across.values()), default=1)
    return _template("tile").substitute(
        made=_line("made", fired.made or today.isoformat(), "made"),
        mark=_line("mark", fired.mark or "", "what is scratched into the clay"),
        firing=_firing(fired),
        layout="\n".join(_layout_lines(across, down, everywhere)),
        picture="\n".join([f"#      - [{', '.join('.' * columns)}]"] * rows),
        today=today.isoformat(),
    )


def _template(kind: str) -> Template:
    source = files("clearover").joinpath(f"data/blank-{kind}.yml")
    return Template(source.read_text(encoding="utf-8"))


def quoted(text: str) -> str:
    """A text as a record may hold it: bare where that is safe, else in quotes."""
    return (
        text
        if _BARE.fullmatch(text) and text == text.strip()
        else json.dumps(text, ensure_ascii=False)
    )


def _line(key: str, value: str, remark: str) -> str:
    if not value:
        return f"{f'#{key}: 114':<30}# {remark}"
    return f"{key}: {quoted(value)}"


def _firing(fired: Fired) -> str:
    if fired.firings:
        return f"firings: {_flow(fired.firings)}"
    if fired.cone:
        atmosphere = f"\natmosphere: {fired.atmosphere}" if fired.atmosphere else ""
        return f"cone: {fired.cone}{atmosphere}"
    return (
        "firings:                      # all of them in order, the glaze firing last\n"
        "#cone: 6                      # instead of `firings:` when none was recorded"
    )


def _flow(values: Sequence[str]) -> str:
    return f"[{', '.join(quoted(value) for value in values)}]"


Factors = dict[str, tuple[str, ...]]


def _directions(layout: Layout) -> tuple[Factors, Factors, dict[str, str]]:
    """What changes across, what changes down, and what holds everywhere."""
    across: Factors = {}
    down: Factors = {}
    everywhere: dict[str, str] = {}
    for factor, values in (
        ("clear", layout.clears),
        ("underglaze", layout.underglazes),
        ("clear coats", layout.coats),
    ):
        if len(values) == 1:
            everywhere[factor] = values[0]
        elif values and not across:
            across[factor] = values
        elif values:
            down[factor] = values
    if layout.body:
        everywhere["body"] = layout.body
    return across, down, everywhere


def _layout_lines(across: Factors, down: Factors, everywhere: dict[str, str]) -> list[str]:
    lines = [
        f"{direction}: {{{factor}: {_flow(values)}}}"
        for direction, factors in (("across", across), ("down", down))
        for factor, values in factors.items()
    ]
    lines.append("all:                          # what holds for every cell")
    stated = set(everywhere) | set(across) | set(down)
    for factor in ("underglaze", "clear"):
        if factor not in stated:
            everywhere = {factor: "", **everywhere}
    lines += [f"  {factor}: {value}".rstrip() for factor, value in everywhere.items()]
    for remark in _OFTEN_STATED:
        if remark.split(":")[0].strip("# ") not in stated:
            lines.append(remark)
    return lines


_OFTEN_STATED = (
    "#  underglaze coats: 3",
    "#  underglaze by: brush        # brush | sponge | spray | dip | pour | trailer ...",
    "#  clear coats: 2",
    "#  clear by: dip 3 s",
    "#  body: white-stoneware",
    "#  body was: bisque 04         # leather hard | bone dry | bisque CONE",
    "#  underglaze fired: no        # the cone it was fired on at before the clear, or no",
)
