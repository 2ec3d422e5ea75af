"""`clearover cone`: temperatures of cones and cones of temperatures, for people and scripts.

Values: Edward Orton Jr. Ceramic Foundation, 2016, “Temperature Equivalents for Orton Pyrometric
Cones (°C), Cone Numbers 022-14”.
"""

from __future__ import annotations

import json

import pytest
from clearover.commands import main
from click.testing import CliRunner


@pytest.fixture
def ask():
    """Run the command inside this process; standard error is kept apart."""

    def cone(*words: str):
        from clearover.commands.cone import command

        return CliRunner().invoke(command, list(words))

    return cone


@pytest.fixture
def told(ask):
    def value(*words: str):
        done = ask(*words, "--json")
        assert done.exit_code == 0, done.output
        return json.loads(done.stdout)

    return value


def test_the_keys_scripts_rely_on(told) -> None:
    found = told("6")
    assert next(iter(found)) == "clearover"
    assert found["cone"] == "6" and found["rate_c_per_h"] == 60
    assert found["temperature_c"] == 1222 and round(found["temperature_f"]) == 2232
    assert found["edition"] == "2016" and "Orton" in found["source"]
    assert [row["temperature_c"] for row in found["published"]] == [1185, 1222, 1243]
    assert found["extrapolated"] is False and "reason" not in found


def test_people_read_the_temperature_first(ask) -> None:
    lines = ask("05½").stdout.splitlines()
    assert lines[0] == "Cone 05½: 1015 °C, 1859 °F at 60 °C/h"
    done = ask("6").stdout
    assert "1201 °C  (21 °C less, from memory)" in done and "1222 °C  (21 °C less)" in done
    assert "1222 °C is cone 6 at 60 °C/h" in done
    assert "cone 6 at 150 °C/h in the older chart" in done
    assert "20 minutes held there add" in done and "extrapolated" in done
    assert "half way between 6 and 7" in done


def test_05_is_not_5(ask, told) -> None:
    assert "05 and 5 are 155 °C apart" in ask("5").stdout
    assert told("05")["not_to_confuse_with"] == {"cone": "5", "apart_c": 155}


def test_a_rate_far_outside_is_not_computed_and_no_error(ask, told) -> None:
    found = told("6", "--rate", "400")
    assert found["temperature_c"] is None and "15 to 150" in found["reason"]
    assert ask("6", "--rate", "400").stdout.startswith("Cone 6 at 400 °C/h: not computed")
    assert told("6", "--rate", "170")["extrapolated"] is True


@pytest.mark.parametrize(
    ("kind", "rate", "end"),
    [("large", "60", 1220), ("small", "300", 1255), ("self-supporting", "150", 1243)],
)
def test_kinds(told, kind: str, rate: str, end: float) -> None:
    assert told("6", "--kind", kind, "--rate", rate)["temperature_c"] == end


def test_small_cones_are_asked_at_their_only_rate(told, ask) -> None:
    assert told("6", "--kind", "small")["rate_c_per_h"] == 300
    assert "dealer's text says later" in ask("6", "--kind", "small").stdout
    assert told("08", "--kind", "self-supporting-iron-free")["temperature_c"] == 946


def test_a_hold(told, ask) -> None:
    hold = told("6", "--hold", "10")["hold"]
    assert hold["minutes"] == 10 and 0.3 < hold["cones"]["value"] < 0.7
    assert hold["peak_with_hold_c"] < 1222 and hold["extrapolated"] is True
    assert "stop at 1214 °C" in ask("6", "--hold", "10").stdout


def test_a_cone_the_chart_lacks(told, ask) -> None:
    found = told("6.5")
    assert found["temperature_c"] is None and "no self-supporting cone 6½" in found["reason"]
    assert found["half_way"]["between"] == ["6", "7"]
    assert found["half_way"]["temperature_c"] == 1230.5
    assert "half way between 6 and 7" in ask("6½").stdout


def test_a_temperature(told, ask) -> None:
    found = told("--temperature", "1230.5")
    assert (found["cone"], found["between"]) == ("6", ["6", "7"])
    assert found["fraction"] == pytest.approx(0.5) and found["reason"] is None
    exact = told("--temperature", "1222")
    assert (exact["cone"], exact["between"], exact["fraction"]) == ("6", None, 0)
    assert ask("--temperature", "1222").stdout.startswith(
        "1222 °C, 2232 °F at 60 °C/h: cone 6, just down"
    )
    assert told("--temperature", "1222", "--rate", "15")["cone"] == "8"


def test_fahrenheit(told) -> None:
    found = told("--temperature", "2233", "--fahrenheit")
    assert found["cone"] == "6" and found["temperature_c"] == pytest.approx(1222.8)


def test_a_temperature_with_a_hold_is_heat_work(told, ask) -> None:
    found = told("--temperature", "1222", "--hold", "20")
    assert found["cone"] == "6" and found["fraction"] > 0.5
    assert found["extrapolated"] and found["uncertainty_cones"] > 0.5 and found["notes"]
    assert "Give or take" in ask("--temperature", "1222", "--hold", "20").stdout


def test_outside_the_chart_there_is_a_reason(told) -> None:
    assert "cooler than cone 022" in told("--temperature", "200")["reason"]
    hot = told("--temperature", "1450")
    assert hot["cone"] == "14" and hot["fraction"] is None and "hotter" in hot["reason"]
    assert "15 to 150" in told("--temperature", "1222", "--rate", "400")["reason"]


def test_a_unit_that_does_not_fit_is_asked_about(ask) -> None:
    done = ask("--temperature", "1222", "--fahrenheit")
    assert done.exit_code == 0
    assert "1222 °F is only 661 °C" in done.stderr and "leave out --fahrenheit" in done.stderr


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--temperature", "2232"], "2232 °F is 1222 °C"),
        (["--temperature", "9999", "--fahrenheit"], "no kiln"),
        (["--temperature", "nan"], "no temperature"),
        (["--temperature", "-300"], "no temperature"),
        (["2232"], "--temperature 2232 --fahrenheit"),
        (["1222"], "--temperature 1222"),
        (["99"], "there is no cone 99"),
        (["six"], "is not a cone"),
        ([], "either a cone or a --temperature"),
        (["6", "--temperature", "1222"], "either a cone or a --temperature"),
        (["6", "--fahrenheit"], "goes with --temperature"),
        (["6", "--rate", "0"], "more than 0"),
        (["6", "--rate", "inf"], "more than 0"),
        (["6", "--hold", "-5"], "a hold is"),
        (["6", "--hold", "20", "--kind", "large"], "self-supporting cones only"),
        (["6", "--kind", "giant"], "self-supporting"),
        (["6", "--rate", "fast"], "fast"),
    ],
)
def test_wrong_use_ends_with_2(ask, words: list[str], says: str) -> None:
    done = ask(*words)
    assert done.exit_code == 2
    assert says in done.stderr and not done.stdout
    assert "Traceback" not in done.stderr


def test_it_is_one_of_the_commands_and_needs_no_records(tmp_path, monkeypatch, capsys) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(SystemExit) as ended:
        main(["cone", "10", "--json"])
    assert ended.value.code == 0
    assert json.loads(capsys.readouterr().out)["temperature_c"] == 1285
