"""A spreadsheet of analyses: what people save, and what goes wrong in it."""

from __future__ import annotations

import time

import pytest
from clearover.chemistry.oxides import to_moles
from clearover.chemistry.table import Table, read_table
from hypothesis import given, settings
from hypothesis import strategies as st

PLAIN = "id,SiO2,Al2O3,CaO,Na2O\na,60,12,18,10\nb,65,10,15,10\n"


def found(text: str, basis: str = "weight") -> list[tuple[int, int, str]]:
    return [(fault.line, fault.column, fault.rule) for fault in read_table(text, basis).faults]


def amounts(table: Table) -> list[dict[str, float] | None]:
    return [row.weights for row in table.rows]


def test_a_plain_table() -> None:
    table = read_table(PLAIN, "weight")
    assert not table.faults and not table.remarks
    assert [row.id for row in table.rows] == ["a", "b"]
    assert table.rows[0].weights == {"SiO2": 60, "Al2O3": 12, "CaO": 18, "Na2O": 10}
    assert [row.line for row in table.rows] == [2, 3]


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + PLAIN,
        PLAIN.replace(",", ";"),
        PLAIN.replace(",", "\t"),
        PLAIN.replace(",", " , "),
        PLAIN.replace("\n", "\r\n"),
        PLAIN.replace("\n", "\n\n"),
        PLAIN.replace("60", '"60"'),
        PLAIN.replace("60", "60,0").replace(",", ";").replace("60;0", "60,0"),
        PLAIN.replace("60", "60 %"),
        PLAIN.replace("SiO2", "sio2").replace("Al2O3", "AL2O3").replace("id", "ID"),
        PLAIN.replace("SiO2", "SiO₂").replace("Al2O3", "Al₂O₃"),
        PLAIN.replace("SiO2", "SiO2 wt%").replace("CaO", "CaO (wt.%)").replace("Na2O", "Na2O_wt"),
        PLAIN.replace("SiO2", "SiO2 [mass %]").replace("CaO", "CaO %"),
    ],
)
def test_one_table_as_many_programs_save_it(text: str) -> None:
    table = read_table(text, "weight")
    assert not table.faults
    assert amounts(table) == amounts(read_table(PLAIN, "weight"))
    assert [row.id for row in table.rows] == ["a", "b"]


def test_mol_per_cent_become_weights() -> None:
    table = read_table("SiO2 mol%,CaO mol%\n70,30\n", "mol")
    assert table.rows[0].id == "1" and table.rows[0].weights is not None
    assert to_moles(table.rows[0].weights) == pytest.approx({"SiO2": 70, "CaO": 30})


def test_empty_and_dashes_are_none_and_loss_is_told_apart() -> None:
    table = read_table("id,SiO2,CaO,K2O,LOI,H2O\na,60,30,,8,2\nb,65,35,-,–,\n", "weight")
    assert not table.faults
    assert table.rows[0].weights == {"SiO2": 60, "CaO": 30} and table.rows[0].loss == 10
    assert table.rows[1].weights == {"SiO2": 65, "CaO": 35}


def test_other_columns_are_passed_over_with_one_remark() -> None:
    table = read_table("name,SiO2,CaO,year,Tg_C,No\nx,60,40,1999,550,1\n", "weight")
    assert not table.faults and len(table.remarks) == 1
    for name in ("name", "year", "Tg_C", "No"):
        assert f"“{name}”" in table.remarks[0]


def test_all_problems_come_at_once_each_at_its_place() -> None:
    text = (
        "id,SiO2,Al2O3,CaO,Al203,note\n"
        "good,60,20,20,,fine\n"
        "minus,60,-20,20,0,x\n"
        "words,sixty,20,20,,\n"
        "short,30,10,10,,\n"
        "strange,60,15,20,5,\n"
        "huge,1e308,20,20,,\n"
        "nan,NaN,20,20,,\n"
        "fractions,0.6,0.2,0.2,,\n"
        "long,60,20,20,,x,7\n"
    )
    assert found(text) == [
        (1, 19, "unknown-oxide"),
        (3, 10, "negative-amount"),
        (4, 7, "not-a-number"),
        (5, 1, "sum-far-from-100"),
        (7, 6, "absurd-amount"),
        (8, 5, "not-a-number"),
        (9, 1, "sum-far-from-100"),
        (10, 18, "too-many-cells"),
    ]
    table = read_table(text, "weight")
    reasons = {row.id: row.reason for row in table.rows}
    assert reasons["good"] is None
    assert [name for name, reason in reasons.items() if reason] == [*reasons][1:]
    assert "“Al203” is no oxide known here" in (reasons["strange"] or "")
    assert "did you mean Al2O3" in table.faults[0].says
    assert "multiply them by 100" in table.faults[6].fix


def test_a_sum_a_little_off_is_told_and_computed() -> None:
    table = read_table("SiO2,CaO\n60,33\n", "weight")
    assert not table.faults and table.rows[0].weights is not None
    assert "adds up to 93 %" in table.remarks[0]


@pytest.mark.parametrize(
    ("text", "basis", "rule"),
    [
        ("", "mol", "empty-table"),
        ("\n\n  \n", "mol", "empty-table"),
        ("SiO2,CaO\n", "mol", "no-rows"),
        ("name,year\nx,1\n", "mol", "no-oxide-column"),
        ("60,40\n30,70\n", "mol", "no-oxide-column"),
        ("SiO2,CaO,sio2\n1,2,3\n", "mol", "column-twice"),
        ("id,SiO2,id\n1,2,3\n", "mol", "column-twice"),
        ("SiO2 wt%,CaO\n1,2\n", "mol", "basis-contradicts"),
        ("SiO2 mol%,CaO\n1,2\n", "weight", "basis-contradicts"),
        ("SiO2,CaO\n" + "9" * 200_000 + ",1\n", "mol", "not-a-table"),
    ],
)
def test_a_table_that_cannot_be_used_at_all(text: str, basis: str, rule: str) -> None:
    table = read_table(text, basis)
    assert [fault.rule for fault in table.faults] == [rule] and not table.rows


@pytest.mark.parametrize("heading", ["Al203", "SiO22", "Tl2O", "CaCO3", "UO2", "ZrSiO4", "Si02"])
def test_a_heading_nearly_an_oxide_is_not_passed_over(heading: str) -> None:
    text = f"SiO2,{heading}\n99,1\n100,\n100,0\n"
    table = read_table(text, "weight")
    assert [fault.rule for fault in table.faults] == ["unknown-oxide"]
    assert [row.reason is None for row in table.rows] == [False, True, True]


@pytest.mark.parametrize(
    "heading", ["No", "Cone", "sum", "T2", "sample 2", "Cost", "O", "mol", "%"]
)
def test_an_ordinary_heading_is_no_oxide(heading: str) -> None:
    assert found(f"SiO2,{heading}\n100,7\n") == []


def test_a_stray_quote_spoils_one_row_only() -> None:
    table = read_table('id,SiO2,CaO\n5" tile,60,40\nb,60,40\n', "weight")
    assert [row.reason is None for row in table.rows] == [True, True]


def test_two_rows_of_one_name_are_told() -> None:
    table = read_table("id,SiO2,CaO\na,60,40\na,50,50\n", "weight")
    assert len(table.rows) == 2 and "ids used more than once: a" in table.remarks


def test_thousands_of_rows_are_read_quickly() -> None:
    text = PLAIN + "".join(f"r{n},60,12,18,10\n" for n in range(20_000))
    start = time.process_time()
    assert len(read_table(text, "weight").rows) == 20_002
    assert time.process_time() - start < 2


@settings(max_examples=100)
@given(st.one_of(st.text(max_size=80), st.text('SiO2CaK,;\t\n"0123.5-', max_size=120)))
def test_any_text_is_a_table_or_told(text: str) -> None:
    for basis in ("mol", "weight"):
        table = read_table(text, basis)
        assert table.rows or table.faults
        for fault in table.faults:
            assert fault.line >= 1 and fault.column >= 1 and fault.says and fault.fix
        for row in table.rows:
            assert (row.weights is None) == (row.reason is not None)
