"""Girths: segments as large as their masses say, of proportions that people have."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad

from frame3d.looks.girths import DENSITY, LIMBS, MASS_SHARES, Shape, limb, neck, shoe, skull, trunk

STATURE, MASS = 1765.0, 80.0
LENGTHS = {"thigh": 0.245, "shank": 0.246, "upper_arm": 0.186, "forearm": 0.146, "hand": 0.054}
"""Shares of stature (Drillis and Contini 1966, from memory of Winter's figure 4.1)."""


def volume(shape: Shape, low: float, high: float) -> float:
    """By quadrature over sections whose areas are those of polygons."""
    s, across, deep, _ = np.array(shape.rings).T
    turn = np.linspace(0, 2 * np.pi, 4001)
    x = np.sign(np.cos(turn)) * abs(np.cos(turn)) ** (2 / shape.square)
    y = np.sign(np.sin(turn)) * abs(np.sin(turn)) ** (2 / shape.square)
    unit = 0.5 * np.sum(x[:-1] * y[1:] - x[1:] * y[:-1])
    inside = [place for place in s if low < place < high]
    area = lambda z: unit * np.interp(z, s, across) * np.interp(z, s, deep)  # noqa: E731
    return float(quad(area, low, high, points=inside, limit=400)[0])


def made(name: str, mass: float = MASS) -> Shape:
    return limb(name, LENGTHS[name] * STATURE, MASS_SHARES[name] * mass)


def test_masses_are_those_of_the_whole_body() -> None:
    """Winter, table 3.1: with head and neck, 0.081, and two feet of 0.0145, all is 1."""
    twice = sum(share for name, share in MASS_SHARES.items() if name != "trunk")
    assert MASS_SHARES["trunk"] + 2 * twice + 0.081 + 2 * 0.0145 == pytest.approx(1.0)


@pytest.mark.parametrize("name", LIMBS)
def test_a_limb_takes_up_what_its_mass_does_between_its_joints(name: str) -> None:
    """As the cylinder of that mass, length and density does (closed form)."""
    length, mass = LENGTHS[name] * STATURE, MASS_SHARES[name] * MASS
    radius = math.sqrt(mass / (DENSITY * math.pi * length))
    assert volume(made(name), 0.0, length) == pytest.approx(math.pi * radius**2 * length, rel=1e-4)
    assert made(name).volume(0.0, length) == pytest.approx(mass / DENSITY, rel=1e-9)


def test_the_trunk_takes_up_its_mass_with_both_ends() -> None:
    shape = trunk(0.288 * STATURE, MASS_SHARES["trunk"] * MASS)
    assert volume(shape, shape.rings[0][0], shape.rings[-1][0]) == pytest.approx(
        0.497 * MASS / DENSITY, rel=1e-4
    )


@pytest.mark.parametrize("name", LIMBS)
def test_who_is_heavier_is_drawn_heavier(name: str) -> None:
    """Widths as the root of the mass, at the same length."""
    light, heavy = made(name, 60.0), made(name, 120.0)
    wide = [max(ring[1] for ring in shape.rings) for shape in (light, heavy)]
    assert wide[1] / wide[0] == pytest.approx(math.sqrt(2.0))
    assert heavy.rings[-1][0] > light.rings[-1][0]  # rounder over the joint, too


def test_breadths_and_girths_are_a_persons() -> None:
    """Hips 0.191 of the stature (Drillis and Contini 1966, from memory); girths of a man of 80 kg as
    tailors' and anthropometric tables have them within a tenth (values from memory).
    """
    body = trunk(0.288 * STATURE, 0.497 * MASS)
    hips = [2 * a for s, a, _, _ in body.rings if abs(s) < 40]
    assert max(hips) == pytest.approx(0.191 * STATURE, rel=0.1)
    girth = {}
    for name in LIMBS:
        rings = [ring for ring in made(name).rings if 0 <= ring[0] <= LENGTHS[name] * STATURE]
        # Ramanujan's first approximation of an ellipse's circumference.
        girth[name] = [
            math.pi * (3 * (a + b) - math.sqrt((3 * a + b) * (a + 3 * b))) for _, a, b, _ in rings
        ]
    assert max(girth["thigh"]) == pytest.approx(560, rel=0.1)
    assert max(girth["shank"]) == pytest.approx(375, rel=0.1)
    assert girth["shank"][-1] == pytest.approx(225, rel=0.1)
    assert max(girth["upper_arm"]) == pytest.approx(320, rel=0.1)
    assert max(girth["forearm"]) == pytest.approx(275, rel=0.1)
    assert girth["forearm"][-1] == pytest.approx(172, rel=0.1)


def test_segments_that_meet_are_as_thick_there() -> None:
    """Knee, elbow and wrist have no step that shows."""
    for upper, lower in (("thigh", "shank"), ("upper_arm", "forearm"), ("forearm", "hand")):
        above = next(
            r for r in made(upper).rings if r[0] == pytest.approx(LENGTHS[upper] * STATURE)
        )
        below = next(r for r in made(lower).rings if r[0] == 0.0)
        assert above[1] == pytest.approx(below[1], rel=0.12)
        assert above[2] == pytest.approx(below[2], rel=0.12)


@pytest.mark.parametrize(
    "shape",
    [
        *(made(name) for name in LIMBS),
        trunk(508.0, 40.0), neck(92.0, 229.0), skull(229.0), shoe(290.0),
    ],
)  # fmt: skip
def test_rings_go_on_along_the_axis_and_end_in_points(shape: Shape) -> None:
    places = [ring[0] for ring in shape.rings]
    assert places == sorted(places)
    assert len(set(places)) == len(places)
    widest = max(ring[1] for ring in shape.rings)
    assert all(ring[1] > 0 for ring in shape.rings)
    assert all(ring[2] > 0 for ring in shape.rings)
    if shape.rings[0][1] < widest / 2:  # the neck's ends are in trunk and head
        assert shape.rings[0][1] < 0.25 * widest
        assert shape.rings[-1][1] < 0.25 * widest


def test_head_and_shoe_have_their_lengths() -> None:
    assert skull(229.0).rings[-1][0] == 229.0
    assert shoe(290.0).rings[-1][0] == 290.0
    assert shoe(290.0).rings[0][0] == 0.0
