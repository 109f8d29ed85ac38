"""Quick surfaces: closed, facing outward, of the volume of closed forms, edges where faces meet."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.shapes import Shape, Torus, box, capsule, cylinder, disc, ring
from frame3d.geometry.centreline import Centreline, Line
from frame3d.looks.surfaces import ROUND, Surface, shape_surface, sharp, tube_surface

PI = np.pi


def volume(surface: Surface) -> float:
    """Enclosed, by the divergence theorem [mm³]."""
    a, b, c = (surface.points[surface.corners[:, i]] for i in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)


def outward(surface: Surface) -> bool:
    """Whether triangles run anticlockwise as seen from where their normals point, and these are unit."""
    a, b, c = (surface.points[surface.corners[:, i]] for i in range(3))
    faces = np.cross(b - a, c - a)
    real = np.linalg.norm(faces, axis=1) > 1e-6
    along = np.einsum("ij,ij->i", faces, surface.normals[surface.corners].mean(axis=1))
    return bool((along[real] > 0).all()) and np.allclose(np.linalg.norm(surface.normals, axis=1), 1)


@pytest.mark.parametrize(
    ("shape", "exact"),
    [
        (Torus(300, 30), 2 * PI**2 * 300 * 30**2),
        (ring([(280, -10), (300, -10), (300, 10), (280, 10)]), PI * (300**2 - 280**2) * 20),
        (cylinder(25, -5, 40), PI * 25**2 * 45),
        (disc([(0, -4), (70, -4), (90, 2), (0, 2)]), PI * (4**2 * 0 + 6 / 3 * (70**2 + 70 * 90 + 90**2))),
        (box(30, 40, 50), 30 * 40 * 50),
        (box(30, 40, 50, 8), 14 * 24 * 34 + 2 * 8 * (14 * 24 + 24 * 34 + 14 * 34) + PI * 64 * (14 + 24 + 34) + 4 / 3 * PI * 512),
        (capsule(100, 20), PI * 400 * 100 + 4 / 3 * PI * 8000),
        (capsule(0, 20), 4 / 3 * PI * 8000),
        (capsule(60, 20, 10), None),
    ],
    ids=["torus", "ring", "cylinder", "disc", "box", "rounded", "capsule", "sphere", "cone"],
)  # fmt: skip
def test_shapes_enclose_their_volumes(shape: Shape, exact: float | None) -> None:
    """Closed forms of solid geometry; for two spheres' hull its frustum and two caps.

    Inscribed facets are smaller than what they stand for: by 9 % for a sphere of 16 by 6 facets.
    """
    if exact is None:
        # Tangent circles of the cone: radius r cos φ at r sin φ, sin φ = (20 - 10) / 60.
        sin = 10 / 60
        cos = np.sqrt(1 - sin**2)
        low, high, long = 20 * cos, 10 * cos, 60 + (10 - 20) * sin
        exact = PI * long / 3 * (low**2 + low * high + high**2)
        for r, h in ((20, 20 + 20 * sin), (10, 10 - 10 * sin)):
            exact += PI * h**2 * (3 * r - h) / 3
    surface = shape_surface(shape)
    assert 0.9 * exact < volume(surface) < 1.0001 * exact
    assert outward(surface)


def test_a_box_s_corners_are_exact() -> None:
    surface = shape_surface(box(30, 40, 50))
    assert volume(surface) == pytest.approx(30 * 40 * 50)
    assert np.abs(surface.points).max(axis=0) == pytest.approx([15, 20, 25])


def test_an_oval_tapered_tube_and_a_bar() -> None:
    axis = Centreline((Line((0.0, 0.0, 0.0), (300.0, 0.0, 400.0)),))
    tube = tube_surface(axis, (0.0, 500.0), (40.0, 20.0), (30.0, 20.0))
    # Area π/4 h w, h and w linear: Simpson's rule is exact.
    exact = PI / 4 * 500 / 6 * (40 * 30 + 4 * 30 * 25 + 20 * 20)
    # Of an inscribed polygon with n corners: n / 2π sin(2π / n) of its circle's area.
    assert volume(tube) == pytest.approx(
        exact * ROUND / (2 * PI) * np.sin(2 * PI / ROUND), rel=1e-9
    )
    assert outward(tube)
    bar = tube_surface(axis, (0.0, 500.0), (10.0, 10.0), (4.0, 4.0), box=True)
    assert volume(bar) == pytest.approx(10 * 4 * 500)
    assert outward(bar)
    # A low D: the arcs of its corners as polygons of their own.
    rounds = ((20.0, 5.0, 5.0, 20.0),) * 2
    low = tube_surface(axis, (0.0, 500.0), (30.0, 30.0), (40.0, 40.0), rounds=rounds)
    step = PI / 2 / (ROUND // 4)
    corner = 1 - (ROUND // 4) / 2 * np.sin(step)
    assert volume(low) == pytest.approx(500 * (1200 - corner * 2 * (400 + 25)), rel=1e-9)
    assert outward(low)


def test_sharp_edges_of_plain_shapes() -> None:
    """Twelve of a box; two rims of a cylinder; none of a ball or a tyre, which are smooth."""
    assert len(shape_surface(box(30, 40, 50)).edges) == 12
    rims = shape_surface(cylinder(25, -5, 40))
    ends = rims.points[rims.edges].reshape(-1, 3)
    assert np.hypot(ends[:, 0], ends[:, 2]) == pytest.approx(25)
    assert sorted(set(ends[:, 1].round(6))) == [-5, 40]
    assert (np.unique(rims.edges, return_counts=True)[1] == 2).all()
    for smooth in (capsule(0, 20), Torus(300, 30), box(30, 40, 50, 8)):
        assert len(shape_surface(smooth).edges) == 0


@pytest.mark.parametrize("box", [False, True])
def test_a_tube_s_edges_are_those_that_its_faces_have(box: bool) -> None:
    axis = Centreline((Line((0.0, 0.0, 0.0), (300.0, 0.0, 400.0)),))
    tube = tube_surface(axis, (0.0, 200.0, 500.0), (40.0, 30.0, 20.0), (30.0, 30.0, 20.0), box=box)

    def lines(edges: np.ndarray) -> set[frozenset[tuple[float, ...]]]:
        ends = tube.points[edges].round(6).tolist()
        return {frozenset(map(tuple, pair)) for pair in ends}

    assert lines(tube.edges) == lines(sharp(tube.points, tube.normals, tube.corners))
    assert len(lines(tube.edges)) == (16 if box else 2 * ROUND)
