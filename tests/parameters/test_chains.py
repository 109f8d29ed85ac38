"""Links of a chain round two sprockets."""

from __future__ import annotations

import math

import pytest
import shapely

from frame3d.parameters.sizes.chains import PITCH, distance_for, links_around, pitch_radius


@pytest.mark.parametrize(("ring", "cog", "far"), [(32, 18, 430.0), (44, 44, 400.0), (16, 20, 60.0)])
def test_the_belt_is_the_hull_of_both_circles(ring: int, cog: int, far: float) -> None:
    """Its length is the girth of the hull (shapely) of both pitch circles, as fine polygons."""
    circles = [
        shapely.Point(x, 0.0).buffer(pitch_radius(teeth), quad_segs=2000)
        for x, teeth in ((0.0, ring), (far, cog))
    ]
    girth = shapely.unary_union(circles).convex_hull.length
    assert links_around(far, ring, cog) * PITCH == pytest.approx(girth, rel=1e-6)


def test_equal_sprockets_by_hand() -> None:
    """Two straight runs and one whole circle."""
    links = links_around(400.0, 20, 20)
    assert links == pytest.approx((800.0 + 2 * math.pi * pitch_radius(20)) / 12.7)
    assert distance_for(90, 20, 20, 300.0, 500.0) == pytest.approx(
        (90 * 12.7 - 2 * math.pi * pitch_radius(20)) / 2
    )
