"""Every rule of the table is provoked by something, and its sentences can be filled in."""

from __future__ import annotations

import string
from pathlib import Path

from broken_studio import HERE, PHOTO, expected, lay_out, photo
from clearover.catalogue import read
from clearover.photos.develop import develop
from clearover.records.problem import Problem, rules
from made import CASES
from PIL import Image

NOT_HERE = {
    "file-unreadable": "test_made.py: it needs a user who may not read everything",
}
"""Rules that no case of this folder can provoke for everyone, and who does."""


def _in_cases() -> set[str]:
    folders = (path for path in (HERE / "cases").iterdir() if path.is_dir())
    return {problem["rule"] for folder in folders for problem in expected(folder)["problems"]}


def _in_made() -> set[str]:
    return {rule for made in CASES for _, rule, _ in made.wanted}


def _when_developed(tmp_path: Path) -> list[Problem]:
    """What is only seen when a photo is opened: a profile that is none."""
    combos = lay_out(tmp_path)
    (combos / "plain.jpg").write_bytes(photo())
    with Image.open(combos / "plain.jpg") as picture:
        picture.save(combos / PHOTO, "JPEG", icc_profile=b"no profile at all")
    (combos / "plain.jpg").unlink()
    catalogue = read(combos)
    assert catalogue.problems == ()
    return develop(catalogue, tmp_path / "cache", jobs=1)[1]


def test_every_rule_is_provoked(tmp_path: Path) -> None:
    developed = {problem.rule for problem in _when_developed(tmp_path)}
    provoked = _in_cases() | _in_made() | developed | set(NOT_HERE)
    assert set(rules()) - provoked == set()


def test_the_cases_name_no_rule_that_is_not_in_the_table() -> None:
    assert _in_cases() | _in_made() <= set(rules())


def test_every_rule_has_both_sentences_and_a_reason() -> None:
    for rule in rules().values():
        assert rule.severity in ("error", "warning"), rule.id
        for sentence in (rule.says, rule.fix, rule.why):
            assert sentence.strip() == sentence and len(sentence) >= 5, rule.id
        assert not rule.says.endswith("."), rule.id
        assert rule.says[0] == rule.says[0].lower() or rule.says.startswith("{"), rule.id
        fields = {name for _, name, _, _ in string.Formatter().parse(rule.says + rule.fix) if name}
        assert all(field.isidentifier() for field in fields), rule.id
