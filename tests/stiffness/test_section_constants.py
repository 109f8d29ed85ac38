"""Constants of sections, against closed forms and a finite element library for sections."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.stiffness.section_constants import hollow_oval, rectangle

ONE = np.ones(1)


def test_a_ring_has_the_textbook_constants() -> None:
    """Round tube 38.1 x 0.9 at Poisson's ratio 0.3; Cowper's coefficient, value from memory of the paper."""
    c = hollow_oval((19.05 * ONE, 19.05 * ONE), (18.15 * ONE, 18.15 * ONE), 0.3)
    assert c.area[0] == pytest.approx(105.18052, rel=1e-7)
    assert c.upright[0] == c.sideways[0] == pytest.approx(18204.776, rel=1e-7)
    assert c.torsion[0] == pytest.approx(2 * 18204.776, rel=1e-7)
    assert c.shear_upright[0] == c.shear_sideways[0]
    assert c.shear_upright[0] / c.area[0] == pytest.approx(0.531110751, rel=1e-8)


def test_a_full_ellipse_has_saint_venants_torsion() -> None:
    """J = pi a^3 b^3 / (a^2 + b^2): Timoshenko and Goodier, Theory of Elasticity (from memory)."""
    c = hollow_oval((6 * ONE, 4 * ONE), (0 * ONE, 0 * ONE), 0.3)
    assert c.torsion[0] == pytest.approx(math.pi * 24**3 / 52)
    assert c.area[0] == pytest.approx(math.pi * 24)


@pytest.mark.parametrize(("height", "width", "wall"), [(26.0, 12.5, 0.9)])
def test_ovals_against_finite_elements_of_the_section(
    height: float, width: float, wall: float
) -> None:
    """`sectionproperties` meshes the same ring of two ellipses; Bredt is within 0.3 % of its warping."""
    from sectionproperties.analysis import Section
    from sectionproperties.pre import library

    elliptical_section = library.elliptical_section

    outer = elliptical_section(d_x=width, d_y=height, n=120)
    inner = elliptical_section(d_x=width - 2 * wall, d_y=height - 2 * wall, n=120)
    section = Section((outer - inner).create_mesh(mesh_sizes=[4 * wall]))
    section.calculate_geometric_properties()
    section.calculate_warping_properties()
    half, less = np.array([height, width]) / 2, wall
    c = hollow_oval(
        (half[0] * ONE, half[1] * ONE), ((half[0] - less) * ONE, (half[1] - less) * ONE), 0.0
    )
    ixx, iyy, _ = section.get_ic()
    assert c.area[0] == pytest.approx(section.get_area(), rel=2e-3)
    assert c.upright[0] == pytest.approx(ixx, rel=2e-3)
    assert c.sideways[0] == pytest.approx(iyy, rel=3e-3)
    assert c.torsion[0] == pytest.approx(section.get_j(), rel=4e-3)


def test_rectangles_twist_as_the_series_says() -> None:
    """Coefficients of Saint-Venant's series: 0.1406, 0.229, 0.291 at 1, 2 and 4 (Timoshenko, from memory)."""
    for sides, expected in ((1.0, 0.1406), (2.0, 0.229), (4.0, 0.281)):
        c = rectangle(sides * 5 * ONE, 5 * ONE)
        assert c.torsion[0] / (sides * 5 * 125) == pytest.approx(expected, rel=4e-3)
        turned = rectangle(5 * ONE, sides * 5 * ONE)
        assert turned.torsion[0] == c.torsion[0]
        assert turned.upright[0] == pytest.approx(c.sideways[0])
