"""A small studio on disk, and a way to run a command in it as a person would."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

STUDIO = {
    "studio.yml": """
name: Two Shelf Pottery
cones: [05, 6]
usual cone: 6
atmosphere: oxidation
wrong verdict: ask at the desk
""",
    "underglazes/hedge-bottom.yml": """
name: Hedge Bottom
colour: green
pigment: chromium oxide
known from: maker
cones: 05..10
""",
    "underglazes/brick-dust.yml": """
name: Brick Dust
colour: pink
pigment: iron zircon
cones: 05..10
""",
    "underglazes/old-blue.yml": """
name: Old Blue
status: retired
colour: blue
pigment: unknown
""",
    "clears/lantern-pane.yml": """
name: Lantern Pane
surface: gloss
cones: 5..6
recipe: {nepheline syenite: 28, colemanite: 10, calcium carbonate: 9, zinc oxide: 7, kaolin: 12,
  quartz: 34}
""",
    "clears/ferry-glass.yml": """
name: Ferry Glass
surface: gloss
zinc: free
known from: label
cones: 5..6
""",
    "bodies/white-stoneware.yml": """
name: White Stoneware
colour: white
cones: 5..6
""",
    "firings/march-glaze.yml": """
fired: 2026-03-12
atmosphere: oxidation
aimed: 6
witness:
  top: {5: down, 6: half, 7: standing}
""",
    "tiles/hedge-bottom-two-clears/tile.yml": """
made: 2026-03-10
mark: '=1+1'
firings: [march-glaze]
shelf: top
across: {clear: [lantern-pane, ferry-glass, none]}
down: {clear coats: [1, 2]}
all:
  underglaze: hedge-bottom
  underglaze coats: 3
  body: white-stoneware
  line width mm: 2.5
judged:
  - by: R. A.
    on: 2026-03-22
    colour:
      - [shifted brown, true, true]
      - [shifted brown, true, true]
    surface: clean
""",
    "tiles/2026/layered/tile.yml": """
made: 2026-03-10
mark: 7
cone: 05½
atmosphere: oxidation
stacks: {both: [brick-dust 1, hedge-bottom 2]}
all: {underglaze: both, clear: ferry-glass}
set aside: overfired
""",
}


def write_studio(folder: Path) -> Path:
    """The studio's records below `folder/combos`."""
    for name, text in STUDIO.items():
        path = folder / "combos" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text.lstrip(), encoding="utf-8")
    return folder


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """A folder with `combos/` in it."""
    return write_studio(tmp_path)


Run = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture
def run(apart: Run, here: Run) -> Run:
    """Run `clearover` in the studio's folder; as a process of its own where Python itself is told
    something (PYTHONHASHSEED …), for a process costs half a second."""

    def clearover(*words: str, **environment: str) -> subprocess.CompletedProcess[str]:
        own = any(name.startswith("PYTHON") for name in environment)
        return (apart if own else here)(*words, **environment)

    return clearover


@pytest.fixture
def apart(studio: Path) -> Run:
    """Run `clearover` in the studio's folder, as a process of its own."""

    def clearover(*words: str, **environment: str) -> subprocess.CompletedProcess[str]:
        quiet = {k: v for k, v in os.environ.items() if not k.startswith(("GITHUB_", "CLEAROVER"))}
        return subprocess.run(
            [sys.executable, "-c", "from clearover.commands import main; main()", *words],
            cwd=studio,
            env={**quiet, "PYTHONIOENCODING": "utf-8", **environment},
            capture_output=True,
            text=True,
            encoding="utf-8",
            errors="surrogateescape",
            timeout=60,
            check=False,
        )

    return clearover


@pytest.fixture
def here(studio: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run `clearover` in the studio's folder inside this process: many times quicker than `run`."""
    from clearover.commands import main

    monkeypatch.chdir(studio)
    for name in [name for name in os.environ if name.startswith(("GITHUB_", "CLEAROVER"))]:
        monkeypatch.delenv(name)

    def clearover(*words: str, **environment: str) -> subprocess.CompletedProcess[str]:
        capsys.readouterr()
        with monkeypatch.context() as told, pytest.raises(SystemExit) as left:
            for name, value in environment.items():
                told.setenv(name, value)
            main(list(words))
        said = capsys.readouterr()
        code = left.value.code
        return subprocess.CompletedProcess(words, int(code or 0), said.out, said.err)

    return clearover


PHOTO = """
photos:
  - file: front.jpg
    corners: [[100, 80], [540, 80], [540, 300], [100, 300]]
    grey card: [[250, 370], [390, 370], [390, 450], [250, 450]]
    width mm: 90
    height mm: 45
"""


@pytest.fixture
def photographed(studio: Path) -> Path:
    """The studio, its first tile photographed: two rows of three cells, and a grey card."""
    import numpy as np
    from PIL import Image

    pixels = np.full((480, 640, 3), 205, dtype=np.uint8)
    pixels[80:300, 100:540] = (90, 110, 70)
    for top in (120, 230):
        for left in (115, 262, 409):
            pixels[top : top + 24, left : left + 116] = (40, 60, 90)
    pixels[370:450, 250:390] = 118  # 18 % reflectance as sRGB
    folder = studio / "combos/tiles/hedge-bottom-two-clears"
    Image.fromarray(pixels).save(folder / "front.jpg", quality=92)
    record = folder / "tile.yml"
    record.write_text(record.read_text(encoding="utf-8") + PHOTO, encoding="utf-8")
    return studio
