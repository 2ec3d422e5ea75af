"""Every reason for which something was not measured has a sentence on what would help."""

from __future__ import annotations

import ast
import json
from pathlib import Path

import pytest
from clearover import measuring
from clearover.measuring.other_light import ANOTHER
from clearover.measuring.remedies import TABLE, help_for, reasons, remedies
from clearover.measuring.results import Balance, CellColour, Cover, Surface, TileMeasurement
from clearover.tables import rows

FOLDER = Path(measuring.__file__).parent
LEFT_OUT = {
    "report": "puts together what others said",
    "stored": "passes on what others said",
    "disagree": "words for what was measured",
    "remedies": "the remedies themselves",
    "shown": "the key of a picture",
    "doubts": "notes beside the numbers; each says itself where to look",
    "other_light": "parts of sentences that all begin with ANOTHER, below",
    "clays": "the same",
}
NO_LACK = {
    "this cell itself is what true means",
    "the fewest coats measured hide it",
    "the grid's edges are where they should be",
    "computed from fewer coats",
    "it is taken out",
    "line width mm",
    "softened or bled",
    "its grey patch",
    "the clay round the grid",
    "the grey card",
    "the bare clay",
    "one of the cells",
    "the tile is curved",
    "the tile is textured",
}
"""Sentences that stand where reasons stand and name no lack."""


CARRIES = (": 1", ", 1")
"""So ends what passes another's reason on."""


def _text(node: ast.expr) -> str | None:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        parts = [part.value if isinstance(part, ast.Constant) else "1" for part in node.values]
        return "".join(str(part) for part in parts)
    return None


def _sentences(file: Path) -> set[str]:
    """Every text of several words in a module that is no docstring and no key."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    loose = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    inside = {
        id(part)
        for node in ast.walk(tree)
        if isinstance(node, ast.JoinedStr)
        for part in node.values
    }
    found = set()
    for node in ast.walk(tree):
        text = _text(node) if isinstance(node, ast.expr) else None
        carries = text and text.endswith(CARRIES)
        if text and not carries and id(node) not in loose | inside and text.count(" ") >= 2:
            found.add(text)
    return found


def _returned(file: Path) -> set[str]:
    """Every text, however short, that a function gives back in place of a value."""
    found = set()
    for made in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if not isinstance(made, ast.FunctionDef) or not isinstance(made.returns, ast.BinOp):
            continue
        if "str" in {part.id for part in ast.walk(made.returns) if isinstance(part, ast.Name)}:
            given = (node.value for node in ast.walk(made) if isinstance(node, ast.Return))
            texts = (_text(value) for value in given if value)
            found |= {text for text in texts if text and not text.endswith(CARRIES)}
    return found


REASONS = sorted(
    (file.stem, text)
    for file in FOLDER.glob("*.py")
    if file.stem not in LEFT_OUT
    for text in _sentences(file) | _returned(file)
)
OTHERS = (
    f"{ANOTHER.format('card')}: parts of it are lighter",
    f"on the photo of another, {ANOTHER.format('chart')}: darker",
    "measuring failed, a fault of ours (ValueError): please report it",  # photos/work.py
)
"""Reasons that are put together of parts, and one from where photos are opened."""


def test_there_are_reasons_to_look_at() -> None:
    assert len(REASONS) > 30
    told = {text for _, text in REASONS}
    assert "the line is too like its ground" in told  # a plain one, a made one, a constant
    assert any(text.startswith("needs 1 px/mm") for text in told)
    assert any("factor `ground`" in text for text in told)


@pytest.mark.parametrize(("module", "reason"), REASONS)
def test_every_reason_has_its_remedy(module: str, reason: str) -> None:
    if "look at" not in reason and not any(one in reason for one in NO_LACK):
        assert help_for(reason), f"{module}: {reason!r} has no row in {TABLE}"


def test_no_remedy_is_left_over() -> None:
    """Each row is the help for some reason: none is dead, or shadowed by one above it."""
    said = [*(text for _, text in REASONS), *OTHERS]
    parts = [row["contains"] for row in rows(TABLE)]
    first = {next((part for part in parts if part in text), None) for text in said}
    assert set(parts) <= first, set(parts) - first
    work = (FOLDER.parent / "photos" / "work.py").read_text(encoding="utf-8")
    assert "a fault of ours" in work


def test_whatever_a_photo_lacks_is_helped(drawn, drawn_grounds, drawn_lines) -> None:
    """Every reason that hard photos bring about, as it comes, with its numbers in it."""
    told = set()
    for one in [*drawn, drawn_grounds, drawn_lines]:
        told |= set(reasons(one.measured))
    assert len(told) >= 6
    for reason in told - {"measured"}:
        assert help_for(reason) or any(part in reason for part in NO_LACK), reason


def test_help_is_a_sentence() -> None:
    for row in rows(TABLE):
        assert row["help"][0].isupper() and row["help"].endswith("."), row["help"]


def test_an_unknown_reason_gets_no_made_up_help() -> None:
    assert help_for("because it is Tuesday") == ""


def test_a_tile_tells_each_remedy_once() -> None:
    dull = [CellColour(1, c, None, None, 0, 1.0, "not measured: glare covers it") for c in (1, 2)]
    skin = "haze not measured: it has no clear; pinholes and bubbles not measured: glare covers it"
    found = remedies(
        TileMeasurement(
            tile="t",
            photo="p.jpg",
            px_per_mm=10.0,
            balance=Balance("grey card"),
            noise_delta_e=1.0,
            cells=tuple(dull),
            cover=(
                Cover(
                    1, 1, 0.9, None, "measured", None, "not computed: more coats did not hide more"
                ),
            ),
            surface=(Surface(1, 1, None, None, None, None, skin),),
        ),
        [None, "nobody has agreed on its true colour; a cell without clear on the tile would tell"],
    )
    assert list(found) == [
        "glare covers it",
        "haze not measured: it has no clear",
        "pinholes and bubbles not measured: glare covers it",
        "not computed: more coats did not hide more",
        "nobody has agreed on its true colour; a cell without clear on the tile would tell",
    ]
    assert found["glare covers it"].startswith("Turn the tile")
    assert json.loads(json.dumps(found)) == found
