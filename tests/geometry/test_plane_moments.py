"""Moments of plane figures against handbook formulas."""

from __future__ import annotations

import math

import pytest

from frame3d.geometry.plane_moments import of_circular_segment, of_polygon


def test_a_rectangle_off_the_origin() -> None:
    """Area b h; second moments b h³/12 and h b³/12 about its middle (Steiner moves them)."""
    m = of_polygon([(10, 20), (40, 20), (40, 32), (10, 32)])
    assert m.area == pytest.approx(360)
    assert m.centroid == pytest.approx((25, 26))
    assert m.central == pytest.approx((12 * 30**3 / 12, 30 * 12**3 / 12, 0), abs=1e-8)
    assert m.yy == pytest.approx(30 * 12**3 / 12 + 360 * 26**2)
    assert m.xy == pytest.approx(360 * 25 * 26)


def test_a_right_triangle() -> None:
    """Legs b, h at the right angle: product of inertia about the centroid -b² h²/72 (handbook)."""
    m = of_polygon([(0, 0), (12, 0), (0, 9)])
    assert m.centroid == pytest.approx((4, 3))
    assert m.central == pytest.approx((9 * 12**3 / 36, 12 * 9**3 / 36, -(12**2) * 9**2 / 72))


def test_backwards_is_negative() -> None:
    ahead = of_polygon([(1, 2), (7, 3), (4, 9)])
    back = of_polygon([(4, 9), (7, 3), (1, 2)])
    assert (ahead + back).area == pytest.approx(0)
    assert (ahead + back).xy == pytest.approx(0, abs=1e-9)


def test_a_half_disc() -> None:
    """Centroid 4 r/(3 π) from the chord; about the chord π r⁴/8 (handbook)."""
    r = 6.0
    m = of_circular_segment((2.0, -3.0), (2.0 + r, -3.0), math.pi)
    assert m.area == pytest.approx(math.pi * r**2 / 2)
    assert m.centroid == pytest.approx((2.0, -3.0 + 4 * r / (3 * math.pi)))
    about_chord = m.central[1] + m.area * (4 * r / (3 * math.pi)) ** 2
    assert about_chord == pytest.approx(math.pi * r**4 / 8)
    assert m.central[0] == pytest.approx(math.pi * r**4 / 8)


@pytest.mark.parametrize("sweep", [0.3, -1.2, 2.0, 4.5])
def test_two_pieces_make_a_disc(sweep: float) -> None:
    """An arc's piece and that of the rest of the circle: π r², π r⁴/4."""
    r, centre, turn = 11.0, (-4.0, 5.0), 0.7
    start = (centre[0] + r * math.cos(turn), centre[1] + r * math.sin(turn))
    end = (centre[0] + r * math.cos(turn + sweep), centre[1] + r * math.sin(turn + sweep))
    rest = math.copysign(2 * math.pi, sweep) - sweep
    m = of_circular_segment(centre, start, sweep) + of_circular_segment(centre, end, rest)
    sign = math.copysign(1, sweep)
    assert m.area == pytest.approx(sign * math.pi * r**2)
    assert m.centroid == pytest.approx(centre)
    assert m.central == pytest.approx((sign * math.pi * r**4 / 4,) * 2 + (0.0,), abs=1e-8)
