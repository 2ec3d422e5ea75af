"""A studio of a few lines, so that a test can state a catalogue and ask it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from clearover.catalogue import compute, read
from clearover.evidence.findings import Findings

STUDIO = "name: Test Studio\ncones: [05, 6, 10]\nusual cone: 6\n"
COLOURS = {
    "green": "name: Green\ncolour: green\npigment: chromium oxide\ncones: 05..10\n",
    "yellow": "name: Yellow\ncolour: yellow\npigment: praseodymium zircon\ncones: 05..10\n",
    "mystery": "name: Mystery\ncolour: blue\npigment: unknown\ncones: 05..10\n",
}
CLEARS = {
    "zincy": "name: Zincy\nsurface: gloss\nzinc: bearing\ncones: 5..6\n",
    "plain": "name: Plain\nsurface: gloss\nzinc: free\nlime: high\nmagnesia: low\ncones: 5..6\n",
    "bucket": "name: Bucket\nsurface: gloss\nzinc: unknown\ncones: 5..6\n",
    "low": "name: Low\nsurface: gloss\nzinc: free\ncones: 05\n",
}

Ask = Callable[[dict[str, str]], Findings]


@pytest.fixture
def ask(tmp_path: Path) -> Ask:
    """Write tiles (id -> record) and any other file (path -> text); get the findings."""

    def findings(files: dict[str, str]) -> Findings:
        combos = tmp_path / "combos"
        everything = {"studio.yml": STUDIO}
        everything |= {f"underglazes/{name}.yml": text for name, text in COLOURS.items()}
        everything |= {f"clears/{name}.yml": text for name, text in CLEARS.items()}
        for name, text in files.items():
            everything[name if "/" in name else f"tiles/{name}/tile.yml"] = text
        for name, text in everything.items():
            path = combos / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        catalogue = read(combos)
        assert not catalogue.errors, "\n".join(map(str, catalogue.errors))
        return compute(catalogue)

    return findings


@pytest.fixture
def tile() -> Callable[..., str]:
    """A tile record: one underglaze under one clear, one verdict a coat."""

    def text(
        clear: str,
        *verdicts: str,
        underglaze: str = "green",
        cone: str = "6",
        atmosphere: str = "oxidation",
        prop: str = "colour",
        more: str = "",
    ) -> str:
        coats = ", ".join(str(count + 1) for count in range(len(verdicts)))
        return (
            f"cone: {cone}\natmosphere: {atmosphere}\n"
            f"across: {{clear coats: [{coats}]}}\n"
            f"all: {{underglaze: {underglaze}, clear: {clear}}}\n"
            f"judged:\n  {prop}: [[{', '.join(verdicts)}]]\n{more}"
        )

    return text
