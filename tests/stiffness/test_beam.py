"""One stretch of beam against closed forms, and its shape along its axis."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.geometry.centreline import Centreline
from frame3d.stiffness.beam import breaks, lever
from tests.stiffness.beams import SHEAR, STEEL, deflection, straight, tube_beam

AREA, SECOND = 105.18052, 18204.776
KAPPA = 0.531110751


def test_cantilever_with_shear() -> None:
    """P L^3 / 3 E I + P L / k G A: Timoshenko, Strength of Materials (from memory)."""
    beam = tube_beam(straight((0, 0, 0), (600, 0, 0)))
    moved = deflection(beam, force=(0, 0, 100.0))
    assert moved[2] == pytest.approx(1.9428935, rel=1e-7)
    assert deflection(beam, force=(0, 100.0, 0))[1] == pytest.approx(1.9428935, rel=1e-7)
    assert deflection(beam, force=(1000.0, 0, 0))[0] == pytest.approx(0.027826723, rel=1e-7)
    twist = deflection(beam, moment=(10000.0, 0, 0))[3]
    assert math.degrees(twist) == pytest.approx(0.11975069, rel=1e-7)


def test_tapered_thin_tube() -> None:
    """Integral of x^2 / r^3 in closed form; mean radius 12 to 7, wall 0.02, shear counted."""
    length, r0, r1, t = 600.0, 7.0, 12.0, 0.02
    axis = straight((0, 0, 0), (length, 0, 0))
    beam = tube_beam(axis, lambda s: r1 + (r0 - r1) * s / length + t / 2, t)
    a = (r1 - r0) / length
    bend = (math.log(r1 / r0) + 2 * r0 / r1 - r0**2 / (2 * r1**2) - 1.5) / (
        STEEL * math.pi * t * a**3
    )
    assert deflection(beam, force=(0, 0, 1.0))[2] == pytest.approx(4.7780968, rel=5e-6)
    assert bend == pytest.approx(4.7780968, rel=2e-2)  # all but shear
    twist = deflection(beam, moment=(1.0, 0, 0))[3]
    assert twist == pytest.approx((1 / r0**2 - 1 / r1**2) / (4 * math.pi * t * a * SHEAR), rel=5e-6)


def test_quarter_ring_in_and_out_of_plane() -> None:
    """Castigliano's theorem on a thin quarter ring, radius 300, clamped at one end (derived)."""
    r, e, g = 300.0, STEEL, SHEAR
    axis = Centreline.through(((0, 0, 0), (r, 0, 0), (r, 0, r)), (r,))
    assert len(axis.pieces) == 1
    beam = tube_beam(axis)
    ei, gj, ea, ga = e * SECOND, g * 2 * SECOND, e * AREA, g * AREA * KAPPA
    across = math.pi / 4 * (r**3 / ei + r / ea + r / ga)
    along = r**3 * (3 * math.pi / 4 - 2) / ei + math.pi / 4 * (r / ea + r / ga)
    out = r**3 * (math.pi / (4 * ei) + (3 * math.pi / 4 - 2) / gj) + math.pi * r / (2 * ga)
    assert deflection(beam, force=(1, 0, 0))[0] == pytest.approx(across, rel=1e-6)
    assert deflection(beam, force=(0, 0, 1))[2] == pytest.approx(along, rel=1e-6)
    assert deflection(beam, force=(0, 1, 0))[1] == pytest.approx(out, rel=1e-6)
    assert (across, along, out) == pytest.approx(
        (0.005746595, 0.0026414064, 0.0091392416), rel=1e-6
    )


@settings(max_examples=20, deadline=None)
@given(st.floats(5.0, 400.0))
def test_no_mesh_to_converge(longest: float) -> None:
    axis = Centreline.through(((0, 0, 0), (250, 20, 0), (400, 60, 90)), (120.0,))
    taper = lambda s: 16.0 - 0.01 * s  # noqa: E731
    fine = tube_beam(axis, taper, longest=2.0).stiffness
    assert tube_beam(axis, taper, longest=longest).stiffness == pytest.approx(
        fine, rel=3e-6, abs=0.05
    )


def test_shape_along_the_beam_meets_its_end() -> None:
    """Displacements at Gauss points run to the tip's own, and follow the parabola of a moment."""
    beam = tube_beam(straight((0, 0, 0), (600, 0, 0)), longest=3.0)
    at, moved, turned = beam.along(np.array([0, 0, 0, 0, -1e5, 0]))
    x = at[:, 0]
    bend = 1e5 / (STEEL * SECOND)
    assert turned[:, 1] == pytest.approx(-bend * x, abs=0.5 * bend)  # as at half a millimetre off
    assert moved[:, 2] == pytest.approx(1e5 * x**2 / (2 * STEEL * SECOND), rel=2e-3, abs=1e-5)
    at, moved, _ = beam.along(np.array([0, 30.0, 0, 1e4, 0, 0]))
    expected = deflection(beam, force=(0, 30.0, 0))[1]
    assert moved[-1, 1] == pytest.approx(expected, rel=2e-3)


def test_lever_moves_as_a_rigid_body() -> None:
    turn = np.array([1e-6, 2e-6, -3e-6])
    arm = np.array([10.0, -20.0, 5.0])
    moved = lever(arm) @ np.array([0.1, 0.2, 0.3, *turn])
    assert moved[:3] == pytest.approx(np.array([0.1, 0.2, 0.3]) + np.cross(turn, arm))
    assert moved[3:] == pytest.approx(turn)


def test_breaks_keep_given_places_and_lengths() -> None:
    places = breaks((np.array([-5.0, 10.0, 10.0, 99.9999999, 130.0]),), 0.0, 100.0, 40.0)
    assert places[0] == 0
    assert places[-1] == 100
    assert 10.0 in places
    assert np.diff(places).max() <= 40
    assert np.diff(places).min() > 1
