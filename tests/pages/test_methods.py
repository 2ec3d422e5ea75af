"""Rules, methods and data pages: made from the tables themselves, nothing left out."""

from __future__ import annotations

import json
import re

import pytest
from clearover.chemistry.rules import rule_book
from clearover.export import measured, movement
from clearover.pages import data, methods, rules
from clearover.pages.page import Asset, Page
from clearover.records.problem import rules as record_rules


@pytest.fixture(scope="module")
def method_page(site) -> str:
    (page,) = [one for one in methods.pages(site) if isinstance(one, Page)]
    return page.body_html


def anchors(body: str) -> set[str]:
    return set(re.findall(r' id="([^"]+)"', body))


def test_every_record_rule_has_its_anchor(site) -> None:
    (page,) = rules.pages(site)
    assert set(record_rules()) <= anchors(page.body_html)
    assert "{found}" not in page.body_html and "{" not in page.body_html


def test_every_chemistry_rule_has_its_anchor_and_source(method_page: str) -> None:
    assert {rule.id for rule in rule_book().rules} <= anchors(method_page)
    assert {"no-rule", "pigment-unknown", "pigment-not-in-the-table"} <= anchors(method_page)
    assert "a green with chromium, pigment unknown, without cobalt" in method_page


def test_no_anchor_is_there_twice(method_page: str) -> None:
    found = re.findall(r' id="([^"]+)"', method_page)
    assert len(found) == len(set(found))


def test_conditions_in_words() -> None:
    assert methods.condition("zinc", frozenset(["bearing"])) == "zinc bearing"
    assert methods.condition("cones", (0.0, 13.0)) == "cones 1 to 14"
    assert methods.condition("cones", (-22.0, -1.0)) == "cones 022 to 01"
    assert methods.condition("melting", None) == "melting: not known"
    hotter = methods.condition("hotter than the clear's cones by", (2.5, float("inf")))
    assert hotter == "hotter than the clear's cones by 2.5 or more whole cones"


def test_every_method_says_units_range_and_source() -> None:
    groups = {group["id"] for group in methods.methods()["groups"]}
    for one in methods.methods()["methods"]:
        assert all(one[key].strip() for key in ("what", "how", "units", "range", "source"))
        assert one["known"] in methods.KNOWN
        assert one["group"] in groups


def test_every_formula_explains_its_symbols() -> None:
    for one in methods.methods()["methods"]:
        assert bool(one.get("formulas")) <= bool(one.get("symbols")), one["id"]


def test_every_table_a_method_names_is_on_the_page(method_page: str) -> None:
    named = {name for one in methods.methods()["methods"] for name in one.get("tables", [])}
    assert named <= {table.name for table in methods.tables()}
    assert {f"table-{name}" for name in named} <= anchors(method_page)


def test_every_link_inside_the_page_leads_somewhere(method_page: str) -> None:
    targets = set(re.findall(r'href="#([^"]+)"', method_page))
    assert targets <= anchors(method_page)


def test_every_table_can_be_taken_away(site, method_page: str) -> None:
    made = {one.address: one for one in methods.pages(site) if isinstance(one, Asset)}
    linked = set(re.findall(r'href="(tables/[^"]+)"', method_page))
    assert linked and linked <= set(made)
    for table in methods.tables():
        assert table.address in linked
    oxides = made["tables/oxides.csv"].content.decode()
    assert oxides.splitlines()[0].startswith("oxide,")


def test_every_table_has_a_source() -> None:
    assert all(table.sources for table in methods.tables())


def test_laid_out_tables_hold_every_figure_of_their_file() -> None:
    from clearover.pages.methods_tables import LAID_OUT
    from clearover.tables import rows

    for table in methods.tables():
        if table.name in LAID_OUT:
            shown = [cell for line in table.lines for cell in line]
            values = [row["value"] for row in rows(f"{table.name}.csv")]
            assert all(value in shown for value in values), table.name
            assert sum(bool(cell) for cell in shown) >= len(values)


def test_the_page_stays_light_and_keeps_to_the_policy(method_page: str) -> None:
    assert len(method_page.encode()) < 300_000  # 287 kB with the photos worked out
    assert " style=" not in method_page and "<script" not in method_page
    assert method_page.count("<math") == method_page.count("</math>") > 60


def test_the_data_page_names_what_is_in_the_files(site) -> None:
    made = list(data.pages(site))
    assets = {one.address: one.content for one in made if isinstance(one, Asset)}
    (page,) = [one for one in made if isinstance(one, Page)]
    assert set(assets) == {"data/catalogue.json", "data/cells.csv"}
    for key in json.loads(assets["data/catalogue.json"]):
        assert f"<dt><code>{key}</code></dt>" in page.body_html
        assert data.KEY_WORDS.get(key), f"say what {key} is"
    assert {*measured.COLUMNS, *movement.COLUMNS} <= set(data.COLUMN_WORDS)
    for address in assets:
        assert f'href="{address}"' in page.body_html
