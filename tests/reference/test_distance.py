"""Gaps against closed forms of school geometry, derived here."""

from __future__ import annotations

import math

import pytest

from frame3d.bodies.shapes import PlacedShape, Torus, Tubular, bar, box, capsule, cylinder
from frame3d.clearance.certify.distance import Gap, nearest

FINE = 1e-5


def gap(tube: Tubular, shape: PlacedShape) -> float:
    found = nearest(tube, shape, tolerance=FINE)
    assert isinstance(found, Gap)
    return found.gap


def test_a_bar_through_a_torus() -> None:
    """Coaxial: from the bar's side to the tube of the torus, R - a - r."""
    tyre = PlacedShape("tyre", Torus(300, 25), (0, 0, 0))
    assert gap(bar("axle", (0, -100, 0), (0, 100, 0), 10), tyre) == pytest.approx(265, abs=FINE)


def test_a_bar_across_a_torus_in_its_plane() -> None:
    """Level with the plane and beyond it: distance of the bar's axis from the centre, less R, r, a."""
    tyre = PlacedShape("tyre", Torus(300, 25), (0, 0, 0))
    stay = bar("stay", (340, 0, -200), (340, 0, 200), 8)
    assert gap(stay, tyre) == pytest.approx(340 - 300 - 25 - 8, abs=FINE)


def test_skew_bars() -> None:
    """The common perpendicular of two skew lines, less both radii."""
    leg = PlacedShape("leg", capsule(400, 15), (0, 0, -200))
    stay = bar("stay", (50, -150, -60), (50, 150, 90), 9)
    assert gap(stay, leg) == pytest.approx(50 - 15 - 9, abs=FINE)


@pytest.mark.parametrize("angle", [20.0, 55.0, 90.0])
def test_crossing_lines_at_an_angle(angle: float) -> None:
    """Two lines in parallel planes 40 apart, whatever the angle between them."""
    a = math.radians(angle)
    leg = PlacedShape("leg", capsule(600, 10), (0, 0, -300))
    stay = bar(
        "stay",
        (40, -200 * math.sin(a), -200 * math.cos(a)),
        (40, 200 * math.sin(a), 200 * math.cos(a)),
        7,
    )
    assert gap(stay, leg) == pytest.approx(40 - 10 - 7, abs=FINE)


def test_a_ball_beside_a_cone() -> None:
    """A tube from radius 30 to 10 over 100: its side leans by atan(1/5), so a ball at distance d from
    the axis halfway is d·cos - 20·cos - r from it (the foot stays on the side).
    """
    lean = math.atan(0.2)
    ball = PlacedShape("ball", capsule(0, 6), (60, 0, 50))
    cone = bar("cone", (0, 0, 0), (0, 0, 100), 30, end_radius=10)
    expected = (60 - 20) * math.cos(lean) - 6
    assert gap(cone, ball) == pytest.approx(expected, abs=FINE)


def test_coplanar_circles() -> None:
    """A disc and a torus in one plane: their centres' distance less both outer radii."""
    ring = PlacedShape("ring", cylinder(70, -2, 2), (0, 0, 0))
    wire = bar("wire", (130, 0, -300), (130, 0, 300), 3)
    assert gap(wire, ring) == pytest.approx(130 - 70 - 3, abs=FINE)


def test_a_flat_end_before_a_box() -> None:
    """A bar that stops short of a face ends flat: no round cap reaches out before it."""
    crown = PlacedShape("crown", box(40, 200, 200), (100, 0, 0))
    end = bar("end", (-200, 0, 0), (70, 0, 0), 16)
    assert gap(end, crown) == pytest.approx(100 - 20 - 70, abs=FINE)


def test_a_flat_end_beside_an_edge() -> None:
    """The end's rim to an edge of the box, by Pythagoras."""
    crown = PlacedShape("crown", box(40, 400, 40), (100, 0, 80))
    end = bar("end", (-200, 0, 0), (70, 0, 0), 16)
    # The rim's top is at (70, 0, 16), the edge at (80, ·, 60).
    assert gap(end, crown) == pytest.approx(math.hypot(10, 44), abs=FINE)


def test_depth_of_crossing_bars() -> None:
    leg = PlacedShape("leg", capsule(400, 15), (0, 0, -200))
    stay = bar("stay", (20, -150, 0), (20, 150, 0), 9)
    assert gap(stay, leg) == pytest.approx(20 - 15 - 9, abs=FINE)
