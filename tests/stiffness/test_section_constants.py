"""Constants of sections, against closed forms and a finite element library for sections."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.geometry import rounded
from frame3d.stiffness.section_constants import hollow_oval, hollow_rounded, rectangle
from tests.sampling import thorough

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


@pytest.mark.parametrize(
    ("height", "width", "corners", "wall"),
    [
        (40.0, 30.0, (5.0, 5.0, 5.0, 5.0), 2.0),
        thorough((30.0, 24.0, (3.0, 3.0, 3.0, 3.0), 1.2)),
        (36.0, 30.0, (15.0, 4.0, 4.0, 15.0), 1.5),
        thorough((50.0, 30.0, (4.0, 4.0, 4.0, 4.0), 1.0)),
        (18.0, 12.0, (2.0, 2.0, 2.0, 2.0), 0.0),
        (20.0, 16.0, (8.0, 2.0, 2.0, 8.0), 0.0),
    ],
)
def test_rectangles_and_ds_against_finite_elements_of_the_section(
    height: float, width: float, corners: tuple[float, float, float, float], wall: float
) -> None:
    """`sectionproperties` on the same outline: area and moments to 0.1 %, torsion of tubes to 0.3 %, of
    bars to 8 %, shear areas to 15 %.
    """
    from sectionproperties.analysis import Section
    from sectionproperties.pre import Geometry
    from shapely.geometry import Polygon

    def ring(less: float) -> Polygon:
        phi = np.arange(0.0, 360.0, 1.0)
        n = len(phi)
        sizes = np.full(n, height / 2 - less), np.full(n, width / 2 - less)
        points, _, _ = rounded.place(phi, *sizes, np.tile(corners, (n, 1)) - less)
        return Polygon(points[:, ::-1])

    metal = ring(0.0) if wall == 0 else ring(0.0).difference(ring(wall))
    section = Section(Geometry(metal).create_mesh(mesh_sizes=[max(wall, 1.0) ** 2 / 2]))
    section.calculate_geometric_properties()
    section.calculate_warping_properties()
    outer = height / 2 * ONE, width / 2 * ONE, np.array([corners])
    inner = tuple(x - wall if wall else 0.0 * x for x in outer)
    c = hollow_rounded(outer, (inner[0], inner[1], inner[2]))
    ixx, iyy, _ = section.get_ic()
    assert c.area[0] == pytest.approx(section.get_area(), rel=1e-3)
    assert c.upright[0] == pytest.approx(ixx, rel=1e-3)
    assert c.sideways[0] == pytest.approx(iyy, rel=1e-3)
    assert c.torsion[0] == pytest.approx(section.get_j(), rel=3e-3 if wall else 0.08)
    shear = section.get_as()
    assert c.shear_upright[0] == pytest.approx(shear[1], rel=0.15)
    assert c.shear_sideways[0] == pytest.approx(shear[0], rel=0.15)


OVALS = (
    (26.0, 12.5, 0.9, 51.85, 3335.8, 1036.0, 3059.7),
    (30.0, 17.0, 1.2, None, None, None, 8408.8),
    (45.0, 25.0, 1.5, None, None, None, 35196.5),
)
"""Height, width, wall; area, second moments upright and sideways, torsion constant [mm]: computed once
with `sectionproperties` on a fine mesh, Poisson's ratio 0."""


@pytest.mark.parametrize("oval", OVALS, ids=lambda oval: f"{oval[0]:g}x{oval[1]:g}x{oval[2]:g}")
def test_ovals_against_what_such_a_library_found(oval: tuple[float | None, ...]) -> None:
    height, width, wall, *expected = oval
    assert height is not None and width is not None and wall is not None  # noqa: PT018
    a, b = height / 2 * ONE, width / 2 * ONE
    c = hollow_oval((a, b), (a - wall, b - wall), 0.0)
    for found, value in zip((c.area, c.upright, c.sideways, c.torsion), expected, strict=True):
        assert value is None or found[0] == pytest.approx(value, rel=2.5e-3)


def test_a_tall_oval_shears_less_along_its_height() -> None:
    """26 x 12.5 x 0.9: 0.74 of the area along the height, 0.22 across, of the same library; ours is a rule."""
    a, b = 13 * ONE, 6.25 * ONE
    c = hollow_oval((a, b), (a - 0.9, b - 0.9), 0.0)
    assert c.shear_upright[0] / c.area[0] == pytest.approx(0.74, abs=0.05)
    assert c.shear_sideways[0] / c.area[0] == pytest.approx(0.22, abs=0.05)


def test_rectangles_twist_as_the_series_says() -> None:
    """Coefficients of Saint-Venant's series: 0.1406, 0.229, 0.291 at 1, 2 and 4 (Timoshenko, from memory)."""
    for sides, expected in ((1.0, 0.1406), (2.0, 0.229), (4.0, 0.281)):
        c = rectangle(sides * 5 * ONE, 5 * ONE)
        assert c.torsion[0] / (sides * 5 * 125) == pytest.approx(expected, rel=4e-3)
        turned = rectangle(5 * ONE, sides * 5 * ONE)
        assert turned.torsion[0] == c.torsion[0]
        assert turned.upright[0] == pytest.approx(c.sideways[0])
