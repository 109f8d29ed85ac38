"""Forms against closed forms: volumes, closed surfaces, corners rounded, points held in boxes."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.shapes import box
from frame3d.looks.forms import (
    bent,
    block,
    circle,
    lofted,
    mirrored,
    ovals,
    plate,
    pressed,
    revolved,
    rod,
    shifted,
)
from tests.looks.test_surfaces import outward, volume

N = 96
CHORDS = N / (2 * np.pi) * np.sin(2 * np.pi / N)
"""Area of a polygon of `N` sides over that of its circle."""


def test_turned_profiles() -> None:
    cylinder = revolved([(0.0, -5.0), (20.0, -5.0), (20.0, 15.0), (0.0, 15.0)], N)
    assert volume(cylinder) == pytest.approx(np.pi * 400 * 20 * CHORDS)
    assert outward(cylinder)
    assert len(cylinder.edges) == 2 * N, "two rims"
    turn = 2 * np.pi * np.arange(48) / 48
    ring = np.stack([100 + 10 * np.cos(turn), 10 * np.sin(turn)], axis=1)
    torus = revolved([(r, y) for r, y in ring.tolist()], N)
    assert volume(torus) == pytest.approx(2 * np.pi**2 * 100 * 100, rel=5e-3)
    assert outward(torus)
    assert len(torus.edges) == 0, "smooth all round"
    square = revolved([(90.0, -10.0), (110.0, -10.0), (110.0, 10.0), (90.0, 10.0)], N, lines=False)
    assert volume(square) == pytest.approx(2 * np.pi * 100 * 400 * CHORDS)
    assert outward(square)
    assert len(square.edges) == 0


def test_bars_and_lofts() -> None:
    cone = rod((0.0, 0.0, 0.0), (30.0, 0.0, 40.0), 10.0, 5.0, N)
    assert volume(cone) == pytest.approx(np.pi * 50 / 3 * (100 + 50 + 25) * CHORDS)
    assert outward(cone)
    corner = np.array([(0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 100.0, 0.0)])
    elbow = bent(corner, 5.0, N)
    assert 0.8 * np.pi * 25 * 200 < volume(elbow) < np.pi * 25 * 200
    centres = np.array([(0.0, 0.0, 0.0), (50.0, 0.0, 0.0)])
    oval = lofted(ovals(centres, np.array([10.0, 10.0]), np.array([4.0, 4.0]), N), lines=True)
    assert volume(oval) == pytest.approx(np.pi * 40 * 50 * CHORDS)
    assert len(oval.edges) == 2 * N
    flat = ovals(centres, np.array([10.0, 10.0]), np.array([4.0, 4.0]), N, flat=0.5)
    assert flat[:, :, 2].min() == pytest.approx(-2.0)


def test_plates_with_and_without_a_hole() -> None:
    whole = plate(circle(30.0, N), -2.0, 3.0)
    assert volume(whole) == pytest.approx(np.pi * 900 * 5 * CHORDS)
    assert outward(whole)
    ring = plate(circle(30.0, N), -2.0, 3.0, circle(20.0, N), lines=False)
    assert volume(ring) == pytest.approx(np.pi * 500 * 5 * CHORDS)
    assert outward(ring)


def test_elsewhere_and_mirrored() -> None:
    made = shifted(block((10.0, 20.0, 30.0), (0.0, 0.0, 0.0)), (5.0, 6.0, 7.0))
    assert made.points.mean(axis=0) == pytest.approx([5, 6, 7])
    other = mirrored(made)
    assert volume(other) == pytest.approx(volume(made)) == pytest.approx(6000)
    assert outward(other)
    assert other.points.mean(axis=0) == pytest.approx([5, -6, 7])


def test_points_are_held_in_the_nearest_box() -> None:
    boxes = [((0.0, 0.0, 0.0), box(20, 20, 20, 4)), ((100.0, 0.0, 0.0), box(20, 20, 20, 4))]
    points = np.array([(1.0, 2.0, 3.0), (30.0, 0.0, 0.0), (80.0, 0.0, 0.0), (10.0, 10.0, 10.0)])
    held = pressed(points, boxes)
    corner = 6 + 4 / np.sqrt(3)
    assert held == pytest.approx(
        np.array([(1, 2, 3), (10, 0, 0), (90, 0, 0), (corner, corner, corner)])
    )
