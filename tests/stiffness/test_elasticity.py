"""Elastic constants of materials."""

from __future__ import annotations

import pytest

from frame3d.parameters.sizes.materials import MATERIALS
from frame3d.stiffness.elasticity import Elastic, elastic_of
from tests.stiffness.test_from_bike import demo


def test_shear_modulus_of_steel() -> None:
    """205 GPa and 0.29 give 79.5 GPa; handbooks give 79 to 80 (value from memory)."""
    assert Elastic(205000.0, 0.29).shear == pytest.approx(79457, rel=1e-4)


@pytest.mark.parametrize("name", MATERIALS)
def test_metals_have_plausible_constants(name: str) -> None:
    metal = MATERIALS[name]
    assert 60 < metal.young_gpa < 220
    assert 0.25 < metal.poisson < 0.36
    # Modulus over density is nearly one figure for these metals (value from memory: 24 to 27).
    assert 21 < metal.young_gpa / metal.density < 28


def test_a_tubes_own_material_goes_first() -> None:
    bike = demo("trail_full_140")
    assert elastic_of(bike.spec, bike.tubes[0]).young == pytest.approx(68900)
    assert elastic_of(bike.spec, None).poisson == 0.33
