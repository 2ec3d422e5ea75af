"""Crazing and shivering: chances against numbers drawn at random, words at their limits, the
published practice of the table."""

from __future__ import annotations

import math
import random

import pytest
from clearover.chemistry.clear import chemistry_of
from clearover.chemistry.materials import MaterialBook
from clearover.glass import crazing
from clearover.glass.crazing import BodyExpansion, CrazeRisk, below, limits, risk, stress_mpa
from clearover.glass.results import Estimate, not_computed
from clearover.records.models import Body, Clear
from clearover.tables import rows
from hypothesis import given
from hypothesis import strategies as st


def glaze(value: float, half: float = 0.6) -> Estimate:
    return Estimate(value, value - half, value + half, "model", "source")


def on(value: float, known: str | None = "measured", absorbs: float | None = 1.0) -> BodyExpansion:
    return BodyExpansion(value, known, absorbs)


def record(model: type, **keys: str) -> object:
    return model.model_validate({"@id": "one", "@file": "one.yml", "name": "One", **keys})


# The chances


@pytest.mark.parametrize(("value", "spread"), [(0.7, 0.4), (-0.5, 0.8), (1.6, 0.3)])
def test_the_closed_form_is_what_chance_draws(value: float, spread: float) -> None:
    dice = random.Random(5)
    hits = sum(dice.gauss(value, spread) < dice.uniform(0.5, 1.0) for _ in range(40_000))
    assert below(value, spread, 0.5, 1.0) == pytest.approx(hits / 40_000, abs=0.008)


def test_a_margin_of_no_width_is_the_normal_distribution() -> None:
    # Φ(1) = 0.8413, Φ(-1.645) = 0.05: any table of the normal distribution.
    assert below(0, 1, 1, 1) == pytest.approx(0.8413, abs=5e-5)
    assert below(1.645, 1, 0, 0) == pytest.approx(0.05, abs=5e-5)
    assert below(0, 1, 1 - 1e-6, 1 + 1e-6) == pytest.approx(0.8413, abs=5e-5)


@given(
    st.floats(2, 12), st.floats(2, 12), st.floats(0.05, 3), st.sampled_from(["measured", "guess"])
)
def test_chances_are_chances_and_in_order(g: float, b: float, half: float, known: str) -> None:
    found = risk(glaze(g, half), on(b, known))
    assert found.tension is not None and found.too_little is not None
    assert found.too_much is not None
    assert 0 <= found.tension <= found.too_little + 1e-9 <= 1 + 1e-9
    assert found.too_little + found.too_much <= 1 + 1e-9
    assert not (found.crazing == "likely" and found.shivering == "likely")


@given(st.floats(3, 10), st.floats(0.1, 2), st.floats(3, 10))
def test_a_clear_that_expands_more_never_crazes_less(g: float, more: float, b: float) -> None:
    one, other = risk(glaze(g), on(b)), risk(glaze(g + more), on(b))
    assert one.tension is not None and other.tension is not None
    assert other.tension >= one.tension
    assert (other.too_much or 0) <= (one.too_much or 0) + 1e-12


# The words


def test_a_clear_far_above_its_body_crazes_and_far_below_shivers() -> None:
    assert risk(glaze(9.0), on(6.0)).word == "crazing likely"
    assert risk(glaze(4.5), on(8.5)).word == "shivering likely"


def test_a_usual_pair_cannot_be_told() -> None:
    found = risk(glaze(6.0), on(6.5, "maker"))
    assert found.word == "cannot tell"
    assert found.reason is None and found.difference.value == pytest.approx(0.5)


def test_both_are_unlikely_only_where_all_is_well_known() -> None:
    sharp = risk(glaze(5.75, 0.1), on(7.0))
    assert sharp.crazing == "cannot tell"  # the ranges of temperature alone leave it open
    wide = [risk(glaze(5.0, half), on(6.25, "maker")).word for half in (0.1, 0.6)]
    assert wide == ["cannot tell", "cannot tell"]


def test_words_turn_at_nine_in_ten() -> None:
    def first(word: str) -> CrazeRisk:
        steps = (risk(glaze(6 + n / 200), on(6.0)) for n in range(600))
        return next(one for one in steps if one.crazing == word)

    assert first("likely").tension == pytest.approx(0.9, abs=0.003)
    falling = (risk(glaze(6 - n / 200), on(6.0)) for n in range(600))
    safe = next(one for one in falling if one.crazing == "unlikely")
    assert safe.too_little == pytest.approx(0.1, abs=0.003)


@pytest.mark.parametrize(
    ("body", "says"),
    [
        (BodyExpansion(None, None), "how much this body expands"),
        (BodyExpansion(6.2, None), "where the body's figure is from"),
        (BodyExpansion(None, "maker"), "how much this body expands"),
    ],
)
def test_a_body_nobody_knows_gives_no_chance(body: BodyExpansion, says: str) -> None:
    found = risk(glaze(6), body)
    assert found.word == "cannot tell" and found.tension is None
    assert found.reason is not None and says in found.reason
    assert found.difference.value is None


def test_the_doubt_of_a_body_grows_from_measured_to_guess() -> None:
    widths = []
    for known in ("measured", "maker", "guess"):
        found = risk(glaze(6), on(6, known)).difference
        assert found.high is not None and found.low is not None
        widths.append(found.high - found.low)
    assert widths == sorted(widths) and len(set(widths)) == 3
    # √(0.6² + 0.3² + 0.5²): 5 % of 6 is 0.3.
    assert widths[0] / 2 == pytest.approx(math.sqrt(0.6**2 + 0.3**2 + 0.5**2), abs=1e-9)


# The clear


@pytest.mark.parametrize("surface", ["satin", "matte"])
def test_what_crystallises_is_not_computed(surface: str) -> None:
    clear = record(Clear, surface=surface, recipe={"kaolin": "50", "quartz": "50"})
    found = crazing.glaze_expansion(
        clear.surface, chemistry_of(clear, MaterialBook.with_studio([]))
    )
    assert found.value is None and "crystallises" in (found.reason or "")
    assert risk(found, on(6)).reason == (found.reason or "").removeprefix("not computed: ")


def test_a_clear_nobody_knows_says_so() -> None:
    clear = record(Clear, surface="gloss")
    found = crazing.glaze_expansion(
        clear.surface, chemistry_of(clear, MaterialBook.with_studio([]))
    )
    assert found.value is None and "neither a recipe nor an analysis" in (found.reason or "")


def test_only_bodies_in_use_that_share_a_cone_come_into_question() -> None:
    clear = record(Clear, cones="5..6")
    bodies = [
        record(Body, cones="6..10"),
        record(Body, cones="06..03"),
        record(Body, status="retired"),
        record(Body),
    ]
    found = crazing.risks_for(clear, not_computed("…"), bodies)
    assert [body for body, _ in found] == [bodies[0], bodies[3]]


# Moisture


def test_a_porous_body_says_that_it_may_craze_later() -> None:
    assert any("weeks or years later" in note for note in risk(glaze(6), on(6, absorbs=4)).notes)
    assert any("very porous" in note for note in risk(glaze(6), on(6, absorbs=11)).notes)
    assert not risk(glaze(6), on(6, absorbs=1.2)).notes
    assert any("nobody knows" in note for note in risk(glaze(6), on(6, absorbs=None)).notes)


def test_moisture_can_take_back_that_crazing_is_unlikely() -> None:
    dry, porous = risk(glaze(5), on(6.8, absorbs=1)), risk(glaze(5), on(6.8, absorbs=11))
    assert (dry.crazing, porous.crazing) == ("unlikely", "cannot tell")
    assert any("moisture may take it away" in note for note in porous.notes)
    # It never brings on the word "likely": how much a body swells nobody measured.
    assert porous.tension == dry.tension


def test_the_squeeze_that_moisture_takes() -> None:
    # 0.4 mm/m over 550 K: computed by hand.
    assert crazing.swelling_loss() == pytest.approx(0.727, abs=5e-4)


# The table of crazing practice, row by row


def test_the_worked_stress_of_a_thin_film() -> None:
    # Worked example: difference 1e-6, E 65 GPa, ν 0.2, 550 K: 45 MPa, rounded (computed).
    assert stress_mpa(1.0) == pytest.approx(45, abs=0.5)
    assert stress_mpa(-1.0) == -stress_mpa(1.0)


LIMITS = [
    # kind, name, value or ends; as the sources of data/crazing-limits.csv have them
    ("margin", "crazing", (0.5, 1.0)),
    ("margin", "shivering", (1.5, 2.0)),
    ("stress", "stiffness", (60, 70)),
    ("stress", "poisson", (0.2, 0.2)),
    ("stress", "span", (550, 550)),
    ("strength", "tension", (30, 70)),
    ("strength", "compression", (500, 500)),
    ("moisture", "swelling", (0.4, 0.4)),
    ("moisture", "most", (0.6, 0.6)),
    ("cristobalite", "inversion", (200, 270)),
    ("quartz", "inversion", (573, 573)),
    ("doubt", "measured", (5, 5)),
]


@pytest.mark.parametrize(("kind", "name", "ends"), LIMITS)
def test_limits_are_those_of_their_source(kind: str, name: str, ends: tuple[float, float]) -> None:
    found = limits(kind)[name]
    assert (found.low, found.high) == ends
    assert found.low <= found.value <= found.high and found.source


BODIES = {
    "glazed wall and floor tiles": (4.1, 8.1),
    "earthenware, calcareous and porous": (7, 9),
    "earthenware, feldspathic or flint": (7, 8.5),
    "stoneware": (5, 7),
    "porcelain, hard": (4, 5.5),
    "porcelain, soft, and bone china": (6, 9),
}


def test_bodies_are_those_of_their_source() -> None:
    found = {r["body"]: (float(r["low"]), float(r["high"])) for r in rows("crazing-bodies.csv")}
    assert found == BODIES
    low, high = BODIES["stoneware"]
    assert limits("doubt")["maker"].value == (high - low) / 2


@pytest.mark.parametrize(
    ("test", "words"),
    [
        ("Autoclave by ISO 10545-11", ("500 ± 20 kPa", "159 ± 1 °C", "2 hours", "ive whole tiles")),
        ("Autoclave by ASTM C424", ("Ten pieces", "50 to 250 psi in steps of 50", "2 inches")),
        ("Thermal shock by ASTM C554", ("250 °F", "three times", "25 °F", "450 °F")),
        ("Quench after Harkort", ("120 °C", "20 °C", "10 °C", "150 °C within months", "190 °C")),
        ("Dilatometer by ASTM C372", ("less than 3 K a minute", "every 25 °C", "within 5 %")),
    ],
)
def test_the_tests_that_do_tell(test: str, words: tuple[str, ...]) -> None:
    (row,) = [one for one in rows("crazing-tests.csv") if one["test"] == test]
    for word in words:
        assert word in f"{row['how']} {row['says']}"


def test_the_inversion_of_quartz_is_as_large_as_its_doubt_allows() -> None:
    # 10 % of free quartz, 0.3 to 0.5 % of length, over 580 K; the doubt lies at its lower end.
    low, high = (0.10 * share / 100 / 580 * 1e6 for share in (0.3, 0.5))
    assert low == pytest.approx(limits("doubt")["range"].value, abs=0.02)
    assert high < 0.9
