"""`measure --find-corners` suggests and writes nothing."""

import json
from pathlib import Path

import yaml
from clearover.commands.measure import command
from click.testing import CliRunner

ROOT = Path(__file__).resolve().parents[2]
TILE = "blues-at-cone-five"


def _run(*words):
    return CliRunner().invoke(command, [TILE, "--combos", str(ROOT / "combos"), *words])


def test_lines_ready_to_paste():
    record = next((ROOT / "combos").glob(f"tiles/**/{TILE}/tile.yml"))
    before = record.read_bytes()
    told = _run("--find-corners")
    assert told.exit_code == 0, told.output
    lines = [line for line in told.output.splitlines() if line.startswith(("  - file", "    corn"))]
    photo = yaml.safe_load("\n".join(lines))[0]
    kept = yaml.safe_load(before)["photos"][0]["corners"]
    for found, clicked in zip(photo["corners"], kept, strict=True):
        assert abs(found[0] - clicked[0]) < 12
        assert abs(found[1] - clicked[1]) < 12
    assert "as the photo lies" in told.output
    assert record.read_bytes() == before


def test_json():
    told = json.loads(_run("--find-corners", "--json").output)
    assert set(told["corners_found"]) == {"corners", "confidence", "reason"}
    assert told["corners_found"]["confidence"] in ("sure", "doubtful")
    assert len(told["corners_found"]["corners"]) == 4
