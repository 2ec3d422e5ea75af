"""`clearover glaze --table`: a spreadsheet of analyses, for scripts and for people."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

# Three ordinary glazes in weight per cent, invented for this test.
GOOD = """id,SiO2,Al2O3,CaO,Na2O,K2O,B2O3,ZnO,remark
bright,61,12,9,3,2,6,7,shiny
lime,58,13,18,4,4,3,0,
soft,55,8,8,10,3,16,0,
"""
KEYS = {
    "expansion_1e6_per_k",
    "viscosity_log10_pa_s",
    "temperature_c_at_log10_3_pa_s",
    "surface_tension_mn_per_m",
    "density_kg_per_m3",
    "surface_run_mm",
    "line_drag_mm",
}


@pytest.fixture
def table(here, studio):
    """Write a table beside the studio's folder and run it."""

    def compute(text, *words, basis="weight", binary=False):
        path = studio / "glazes.csv"
        path.write_bytes(text if binary else text.encode("utf-8"))
        return here("glaze", "--table", "glazes.csv", "--basis", basis, *words)

    return compute


def rows_of(done):
    return {row["id"]: row for row in json.loads(done.stdout)["rows"]}


def test_every_row_is_computed(table):
    done = table(GOOD, "--cone", "6", "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert next(iter(told)) == "clearover" and told["problems"] == []
    assert "“remark”" in done.stderr
    rows = rows_of(done)
    assert list(rows) == ["bright", "lime", "soft"]
    for row in rows.values():
        assert row["temperature_c"] == 1222 and row["reason"] is None
        assert sum(row["oxides_mol_percent"].values()) == pytest.approx(100)
        for key in KEYS:
            found = row[key]
            assert (found["value"] is None) == ("reason" in found), key
    bright = rows["bright"]
    for key in KEYS:
        assert bright[key]["low"] <= bright[key]["value"] <= bright[key]["high"], key
    assert bright["zinc"]["class"] == "bearing" and rows["lime"]["lime"]["class"] == "high"
    stiff = {name: row["viscosity_log10_pa_s"]["value"] for name, row in rows.items()}
    assert stiff["soft"] < stiff["bright"]


def test_mol_and_weight_of_one_glass_agree(table):
    weight = rows_of(table(GOOD, "--temperature", "1200", "--json"))["bright"]
    mol = weight["oxides_mol_percent"]
    text = ",".join(mol) + "\n" + ",".join(f"{share:.12f}" for share in mol.values()) + "\n"
    again = rows_of(table(text, "--temperature", "1200", "--json", basis="mol"))["1"]
    for key in KEYS - {"surface_run_mm", "line_drag_mm"}:
        assert again[key]["value"] == pytest.approx(weight[key]["value"], rel=1e-6), key


def test_without_a_heat_the_melt_has_no_viscosity_but_a_temperature(table):
    row = rows_of(table(GOOD, "--json"))["bright"]
    assert row["viscosity_log10_pa_s"] == {
        "value": None,
        "reason": "not computed: no cone given",
    }
    assert row["temperature_c_at_log10_3_pa_s"]["value"] > 900
    assert row["expansion_1e6_per_k"]["value"] is not None


def test_a_faulty_row_does_not_stop_the_others(table):
    text = GOOD + "wrong,61,-12,9,3,2,6,7,\nshort,30,1,1,1,1,1,1,\n"
    done = table(text, "--cone", "6", "--json")
    assert done.returncode == 1
    assert "glazes.csv:5:10: negative-amount" in done.stderr
    assert "glazes.csv:6:1: sum-far-from-100" in done.stderr
    rows = rows_of(done)
    assert rows["bright"]["expansion_1e6_per_k"]["value"] is not None
    assert "negative" in rows["wrong"]["reason"] and rows["wrong"]["unity"] is None
    for key in KEYS:
        assert rows["wrong"][key]["value"] is None
        assert rows["wrong"][key]["reason"].startswith("not computed")
    problems = json.loads(done.stdout)["problems"]
    assert [problem["line"] for problem in problems] == [5, 6]


def test_what_no_model_knows_is_not_computed_but_no_fault(table):
    done = table("id,SiO2,CaO,PbO,V2O5\nlead,40,5,55,0\nodd,40,30,0,30\n", "--cone", "05", "--json")
    assert done.returncode == 0
    rows = rows_of(done)
    assert rows["odd"]["expansion_1e6_per_k"]["value"] is None
    assert rows["odd"]["expansion_1e6_per_k"]["reason"].startswith("not computed")
    assert any("lead" in caution["says"] for caution in rows["lead"]["cautions"])


@pytest.mark.parametrize("codec", ["utf-8-sig", "utf-16", "cp1252"])
def test_tables_as_spreadsheets_save_them(table, codec):
    text = GOOD.replace("shiny", "très brillant").replace(",", ";")
    done = table(text.encode(codec), "--json", binary=True)
    assert done.returncode == 0 and len(rows_of(done)) == 3


def test_people_get_a_table_and_its_reasons(table):
    done = table(GOOD + "wrong,61,-12,9,3,2,6,7,\n", "--cone", "6")
    assert done.returncode == 1
    lines = done.stdout.splitlines()
    assert max(map(len, lines)) <= 80
    assert "4 rows in weight %" in lines[0] and "1222" in lines[0]
    shown = {line.split()[0]: line for line in lines if line.startswith("  ") and "±" in line}
    assert {"bright", "lime", "soft"} == set(shown)
    assert any(line.strip().startswith("[1]") and "negative" in line for line in lines)


def test_a_hostile_name_reaches_no_terminal(table):
    done = table(GOOD.replace("bright", "\x1b[31mred\u202e"))
    assert "\x1b" not in done.stdout + done.stderr and "\u202e" not in done.stdout


def test_a_table_that_is_not_there_or_none_is_told(here, table):
    assert here("glaze", "--table", "no.csv", "--basis", "mol").returncode == 2
    for text in ("", "\n", "just words\n", "SiO2\n"):
        done = table(text, "--json")
        assert done.returncode == 1 and json.loads(done.stdout)["rows"] == []
        assert "Traceback" not in done.stderr
    assert table(b"\x00\xff\x00", "--json", binary=True).returncode == 1


def test_the_table_needs_no_studio(here, studio):
    (studio / "t.csv").write_text(GOOD, encoding="utf-8")
    done = here("glaze", "--table", "t.csv", "--basis", "weight", "--combos", "nowhere", "--json")
    assert done.returncode == 0


def test_a_table_may_come_from_standard_input(studio):
    done = subprocess.run(
        [sys.executable, "-c", "from clearover.commands import main; main()",
         "glaze", "--table", "-", "--basis", "weight", "--json"],
        cwd=studio, input=GOOD.replace("61", "-61"), capture_output=True, text=True, check=False,
        encoding="utf-8", timeout=60,
    )  # fmt: skip
    assert done.returncode == 1 and "standard input:2:8: negative-amount" in done.stderr
    assert len(json.loads(done.stdout)["rows"]) == 3
