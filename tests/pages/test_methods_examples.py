"""Worked examples against the models themselves: a chemist who follows the page gets the value.

The examples add up the published constants once more; the models have their own code. Both must
agree, or one of them is wrong.
"""

from __future__ import annotations

import pytest
from clearover.chemistry.formula import read_formula
from clearover.firing.cone import parse_cone
from clearover.firing.heat_work import reached
from clearover.firing.profile import Profile
from clearover.glass import crazing
from clearover.glass.density import density
from clearover.glass.expansion import expansion
from clearover.glass.published import fluegel2007
from clearover.glass.published.registry import (
    expansion_models,
    surface_tension_models,
    viscosity_models,
)
from clearover.glass.surface_tension import surface_tension
from clearover.glass.thickness import thickness
from clearover.glass.viscosity import viscosity
from clearover.pages import methods, methods_fire_examples, methods_melt_examples
from clearover.pages.methods_examples import example
from clearover.pages.methods_glass_examples import BODY, CELSIUS
from clearover.pages.methods_worked import CONE, glass, mol, number


def value(name: str) -> float:
    found = example(name).value
    assert found is not None
    return found


def test_every_example_that_is_named_can_be_made() -> None:
    for one in methods.methods()["methods"]:
        if "example" in one:
            made = example(one["example"])
            assert made.lines and all(line.strip() for line in made.lines)
            assert all(len(row) == len(made.columns) for row in made.rows), one["id"]


def test_kaolin_and_the_recipe() -> None:
    assert value("formula") == pytest.approx(read_formula("Al2Si2O5(OH)4").loss_percent())
    assert value("oxides") == pytest.approx(glass().silica_to_alumina)
    assert value("batch") < 1e-6


def test_published_expansion() -> None:
    models = expansion_models()
    assert value("expansion-appen") == pytest.approx(models["Appen"](mol()), abs=1e-4)
    assert value("expansion-by-weight") == pytest.approx(models["Winkelmann-Schott"](mol()))


def test_our_own_expansion_is_constant_straight_part_and_departure() -> None:
    assert value("expansion") == pytest.approx(expansion(mol()).value)


def test_published_melts() -> None:
    container, rhyolite = methods_melt_examples.CONTAINER, methods_melt_examples.RHYOLITE
    models = viscosity_models()
    said = models["Lakatos 1976"](container, methods_melt_examples.MIDDLE)
    assert value("viscosity-lakatos") == pytest.approx(said)
    said = models["Giordano 2008"](rhyolite, methods_melt_examples.CELSIUS)
    assert value("viscosity-giordano") == pytest.approx(said)
    found = fluegel2007.temperatures(container)
    assert isinstance(found, dict)
    assert value("viscosity-fluegel") == pytest.approx(found[1.5])


def test_our_own_melt() -> None:
    assert value("viscosity") == pytest.approx(viscosity(mol(), CELSIUS).value)


def test_surface_tension_and_density() -> None:
    assert surface_tension(mol(), CELSIUS).model == "Dietzel surface tension"
    said = surface_tension_models()["Dietzel"](mol(), CELSIUS)
    assert value("surface-tension") == pytest.approx(said)
    assert value("density") == pytest.approx(density(mol(), CELSIUS).value)


def test_craze_risk() -> None:
    found = crazing.risk(expansion(mol()), BODY)
    assert value("craze-risk") == found.too_little


def test_cones_and_heat_work() -> None:
    assert value("cone-temperature") == pytest.approx(methods_fire_examples.RATE)
    found = reached(Profile(methods_fire_examples.HOURS, methods_fire_examples.CELSIUS, "log"))
    # A sum above 1 is a cone that is down.
    assert found.step is not None
    assert (value("heat-work") >= 1) == (found.step >= parse_cone(CONE).step)


def test_movement_is_the_value_of_the_model() -> None:
    _, movement, _, _ = methods_fire_examples._fired()
    assert value("movement") == pytest.approx(movement.surface_run.value)
    assert value("line-drag") == pytest.approx(movement.line_drag.value)
    dip = thickness(1, "dip 5 s", 1.5)
    assert value("thickness") == pytest.approx(dip.value)


def test_numbers_are_written_with_a_true_minus() -> None:
    assert number(-1.234) == "−1.23"
    assert number(-0.001) == "0.00"
