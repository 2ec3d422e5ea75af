"""What we tell people is true: commands, options, rules, sources; and nothing of our machines."""

from __future__ import annotations

import csv
import json
import re
import subprocess
from pathlib import Path

import click
import pytest
import yaml
from clearover.commands import main
from clearover.commands.group import COMMANDS
from clearover.records.problem import rules

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
GUIDE = "\n".join(
    path.read_text(encoding="utf-8") for path in sorted((ROOT / "site_src").rglob("*.md"))
)
DATA = ROOT / "plugins/clearover/data"
WITHOUT_SOURCE = {
    "food-sentence.txt": "one sentence of caution of our own",
    "glass-models.NOTICE.txt": "the notice of the data that the fitted models come from",
    **{path.name: "a blank to fill in" for path in DATA.glob("blank-*.yml")},
}
"""Data files that state no fact, each with the reason."""
NO_FACTS = {
    "not computed": "says what is not worked out, and why not",
    "groups": "headings of the page",
}
"""Tables inside a data file that state no fact."""


def command(name: str) -> click.Command:
    found = main.get_command(click.Context(main), name)
    assert found is not None
    return found


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_and_option_is_in_the_readme(name):
    assert f"`clearover {name}" in README
    for parameter in command(name).params:
        if isinstance(parameter, click.Option):
            assert any(f"`{option}" in README for option in parameter.opts), parameter.opts


def commands_in(text: str) -> list[list[str]]:
    """Every `clearover …` that stands in a code block or between backticks."""
    blocks = re.findall(r"```sh\n(.*?)```", text, flags=re.S)
    lines = [line for block in blocks for line in block.splitlines()]
    lines += re.findall(r"`([^`\n]+)`", text)
    found = [re.search(r"(?:^|/)clearover (.+)$", line.strip()) for line in lines]
    return [match[1].split() for match in found if match]


@pytest.mark.parametrize("words", commands_in(README + GUIDE), ids=" ".join)
def test_no_page_names_a_command_or_option_that_is_not_there(words):
    if words[0].startswith("--"):
        assert words[0] in ("--version", "--help")
        return
    known = {o for p in command(words[0]).params for o in (*p.opts, *p.secondary_opts)}
    for word in words[1:]:
        if word.startswith("--"):
            assert word in known | {"--help"}


def test_the_readme_shows_exactly_the_commands_that_ci_runs():
    blocks = re.findall(r"```sh\n(.*?)\n```", README, flags=re.S)
    build, test = blocks[0], blocks[1]
    assert "\n" not in build + test
    ci = (ROOT / ".ci/run").read_text(encoding="utf-8").splitlines()
    assert test in ci
    assert build.endswith("mkdocs build")
    assert any(line.startswith(".venv/bin/mkdocs build --strict") for line in ci)
    developers = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert test in developers


def test_every_rule_is_complete_and_named_in_words():
    for name, rule in rules().items():
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name)
        assert rule.severity in ("error", "warning")
        assert rule.says.strip() and rule.fix.strip() and rule.why.strip()


def test_every_rule_is_on_the_rules_page():
    from clearover.evidence.findings import Findings
    from clearover.pages import rules as page
    from clearover.pages.page import Page, Site
    from clearover.records.catalogue import Catalogue
    from clearover.records.models import Studio

    studio = Studio.model_validate({"@id": "studio", "@file": "x", "name": "Any"})
    catalogue = Catalogue(root=ROOT, studio=studio)
    findings = Findings(catalogue, {}, {}, (), {})
    pages = [made for made in page.pages(Site(findings, {}, ROOT)) if isinstance(made, Page)]
    shown = "".join(made.body_html for made in pages)
    assert [name for name in rules() if name not in shown] == []


@pytest.mark.parametrize("path", sorted(DATA.glob("*.csv")), ids=lambda path: path.name)
def test_every_row_of_a_table_has_a_source(path):
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert rows
    assert [number for number, row in enumerate(rows, 2) if not (row["source"] or "").strip()] == []


@pytest.mark.parametrize("path", sorted(DATA.iterdir()), ids=lambda path: path.name)
def test_every_data_file_names_a_source(path):
    if path.name not in WITHOUT_SOURCE and path.suffix != ".csv":
        assert path.suffix in (".yml", ".json")
        load = json.loads if path.suffix == ".json" else yaml.safe_load
        assert _has_source(load(path.read_text(encoding="utf-8")))


def _has_source(data) -> bool:
    """Whether a source stands at the top, or beside every row of every table of facts."""
    if "source" in data:
        return True
    facts = [v for key, v in data.items() if key not in NO_FACTS]
    lists = [v for v in facts if isinstance(v, list)]
    lists += [list(v.values()) for v in facts if isinstance(v, dict)]
    rows = [row for each in lists for row in each if isinstance(row, dict)]
    return bool(rows) and all(row.get("source") for row in rows)


def tracked() -> list[Path]:
    """The text files of the repository as git knows them, or as they lie here without git."""
    try:
        done = subprocess.run(
            ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True
        )
        names = [name for name in done.stdout.split("\0") if name]
    except (OSError, subprocess.CalledProcessError):
        folders = ("plugins", "site_src", "combos", "tests", ".ci", ".github")
        names = [str(p.relative_to(ROOT)) for folder in folders for p in (ROOT / folder).rglob("*")]
        names += [path.name for path in ROOT.glob("*.*")]
    texts = {".py", ".md", ".yml", ".yaml", ".toml", ".csv", ".html", ".css", ".js", ".txt", ""}
    paths = [ROOT / name for name in names if Path(name).suffix in texts]
    return [path for path in paths if path.is_file()]


# Written in pieces, so that this file does not hold what it forbids.
FORBIDDEN = {
    "a path of one machine": r"/(?:home|Users|root|work|tmp)/[a-z]",
    "a package registry": r"py" + r"pi\.org|python" + r"hosted|npm" + r"js\.com|registry\.",
}


@pytest.mark.parametrize("what", FORBIDDEN)
def test_nothing_tells_of_our_machines(what):
    pattern = re.compile(FORBIDDEN[what])
    found = []
    for path in tracked():
        if "hostile" in path.parts or path == Path(__file__):
            continue
        text = path.read_bytes().decode("utf-8", "replace")
        for number, line in enumerate(text.splitlines(), 1):
            if pattern.search(line):
                found.append(f"{path.relative_to(ROOT)}:{number}: {line.strip()[:100]}")
    assert found == []


def test_links_between_our_own_papers_lead_somewhere():
    for name in ("README.md", "DEVELOPERS.md"):
        text = (ROOT / name).read_text(encoding="utf-8")
        for target in re.findall(r"\]\(([^)#:]+)\)", text):
            assert (ROOT / target).exists(), f"{name} -> {target}"


def test_developers_are_sent_to_places_that_exist():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = re.findall(r"`([a-z_./*-]+(?:/|\.(?:py|yml|csv|md)))`", text)
    assert len(named) > 20
    bases = (ROOT, ROOT / "plugins/clearover")
    built = {".cache/clearover/"}
    missing = [n for n in named if n not in built and not any(list(b.glob(n)) for b in bases)]
    assert missing == []
