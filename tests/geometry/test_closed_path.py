"""Closed paths of lines and arcs against closed forms and shapely."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.geometry.closed_path import CornerError, Edge, Path
from frame3d.geometry.disc_hull import Flat
from tests.geometry.outlines import FINE, shape, stars

PLACE = st.tuples(st.floats(-60, 60), st.floats(-60, 60))
BULGE = st.sampled_from([0.0, 0.0, 0.2, 1.0, -0.6, -1.4, 3.0])


def test_a_quarter_turn() -> None:
    """Bulge tan(22.5°) over a chord of r √2 is a quarter of a circle (DXF's definition)."""
    edge = Edge((10.0, 0.0), (0.0, 10.0), math.tan(math.pi / 8))
    assert edge.centre == pytest.approx((0, 0), abs=1e-12)
    assert edge.radius == pytest.approx(10)
    assert edge.length == pytest.approx(5 * math.pi)
    assert edge.at(0.5) == pytest.approx((10 / math.sqrt(2),) * 2)
    assert edge.distance((20.0, 20.0)) == pytest.approx(20 * math.sqrt(2) - 10)
    assert edge.distance((0.0, -10.0)) == pytest.approx(10 * math.sqrt(2))


@given(PLACE, PLACE, BULGE, PLACE, PLACE, BULGE)
@settings(max_examples=70, deadline=None)
def test_gaps_between_edges(
    a: tuple[float, float],
    b: tuple[float, float],
    bulge: float,
    c: tuple[float, float],
    d: tuple[float, float],
    other: float,
) -> None:
    """Against shapely's distance between fine polylines, which are off by at most their tolerance."""
    if min(math.dist(a, b), math.dist(c, d)) < 1:
        return
    one, two = Edge(a, b, bulge), Edge(c, d, other)
    gap, at = one.gap(two)
    lines = [shapely.LineString([*e.points(1e-4), e.end]) for e in (one, two)]
    assert gap == pytest.approx(shapely.distance(*lines), abs=2.1e-4)
    assert one.distance(at) == pytest.approx(0, abs=1e-7)
    assert two.distance(at) == pytest.approx(gap, abs=1e-9)
    assert one.distance(c) == pytest.approx(lines[0].distance(shapely.Point(c)), abs=1.1e-4)


@given(stars(), PLACE)
@settings(max_examples=40, deadline=None)
def test_stars_as_shapely_sees_them(path: Path, p: tuple[float, float]) -> None:
    """Area, length, bounds, centroid, inside and distance; no star crosses itself."""
    seen = shape(path)
    assert seen.is_valid
    assert not list(path.crossings())
    assert path.area == pytest.approx(seen.area, abs=FINE * seen.length)
    assert path.length == pytest.approx(seen.length, rel=1e-5)
    assert path.bounds == pytest.approx(seen.bounds, abs=2 * FINE)
    middle = seen.centroid
    assert path.moments.centroid == pytest.approx((middle.x, middle.y), abs=1e-4)
    if (far := path.distance(p)) > FINE:
        assert path.contains(p) == seen.contains(shapely.Point(p))
        assert far == pytest.approx(seen.exterior.distance(shapely.Point(p)), abs=2 * FINE)
    back = path.backwards()
    assert back.area == pytest.approx(-path.area)
    assert back.anticlockwise().area == pytest.approx(path.area)
    for moved in (path.mirrored(), path.moved(3, -7, 33)):
        assert moved.area == pytest.approx(path.area)
        assert moved.length == pytest.approx(path.length)
    assert shape(path.moved(3, -7, 33)).symmetric_difference(
        shapely.affinity.translate(shapely.affinity.rotate(seen, 33, origin=(0, 0)), 3, -7)
    ).area == pytest.approx(0, abs=1e-4)


@given(st.lists(PLACE, min_size=4, max_size=7, unique=True), st.data())
@settings(max_examples=70, deadline=None)
def test_crossings_as_shapely_sees_them(
    points: list[tuple[float, float]], data: st.DataObject
) -> None:
    """Random paths, most of them crossing; those that nearly touch are left to neither."""
    bulges = data.draw(st.lists(BULGE, min_size=len(points), max_size=len(points)))
    path = Path(tuple((*p, b) for p, b in zip(points, bulges, strict=True)))
    if min(edge.chord for edge in path.edges) < 0.5:
        return
    ring = shapely.LinearRing(path.points(1e-5))
    crossed = bool(list(path.crossings()))
    if crossed == ring.is_simple:  # a near miss that the polyline decides otherwise
        close = [
            a.gap(b)[0]
            for i, a in enumerate(path.edges)
            for b in path.edges[i + 2 : len(path.edges) - (i == 0)]
        ]
        sharp = [
            a.gap(Edge(b.at(0.01), b.end, 0.0))[0] if not b.is_arc else 0.0
            for a, b in zip(path.edges, (*path.edges[1:], path.edges[0]), strict=True)
        ]
        assert min([*close, *sharp]) < 0.02


def test_a_figure_of_eight_crosses() -> None:
    eight = Path.polygon([(0, 0), (10, 10), (10, 0), (0, 10)])
    assert next(eight.crossings()) == pytest.approx((5, 5))


def test_an_edge_that_turns_back_is_a_crossing() -> None:
    assert list(Path.polygon([(0, 0), (10, 0), (4, 0), (4, 8)]).crossings())
    for twice in range(4):  # a corner that stands twice, whichever it is
        corners = [(0, 0), (10, 0), (10, 8), (0, 8)]
        corners.insert(twice, corners[twice])
        assert corners[twice] in list(Path.polygon(corners).crossings())


def test_an_arc_through_the_opposite_side_crosses() -> None:
    """A square whose lower side bulges up by more than its height (bulge 2.2: rise 1.1 sides)."""
    square = ((0.0, 0.0, -2.2), (10.0, 0.0, 0.0), (10.0, 10.0, 0.0), (0.0, 10.0, 0.0))
    assert list(Path(square).crossings())
    assert not list(Path(((0.0, 0.0, -0.8), *square[1:])).crossings())


def test_rounded_rectangle() -> None:
    """Area a b - (4 - π) r², length 2 (a + b) - (8 - 2 π) r."""
    path = Path.rounded([(0, 0, 5), (60, 0, 5), (60, 40, 5), (0, 40, 5)])
    assert path.area == pytest.approx(60 * 40 - (4 - math.pi) * 25)
    assert path.length == pytest.approx(200 - (8 - 2 * math.pi) * 5)
    assert [edge.radius for edge in path.edges if edge.is_arc] == pytest.approx([5] * 4)
    assert path.bounds == pytest.approx((0, 0, 60, 40))


def test_rounding_into_a_circle_leaves_no_line() -> None:
    path = Path.rounded([(0, 0, 5), (10, 0, 5), (10, 10, 5), (0, 10, 5)])
    assert all(edge.is_arc for edge in path.edges)
    assert path.area == pytest.approx(25 * math.pi)
    assert not list(path.crossings())


def test_an_inner_corner_is_rounded_outwards() -> None:
    """An L: five outer corners take (1 - π/4) r² each, the inner one adds as much."""
    corners = [(0, 0), (40, 0), (40, 10), (10, 10), (10, 40), (0, 40)]
    path = Path.rounded([(x, y, 2) for x, y in corners])
    assert path.area == pytest.approx(700 - 4 * (1 - math.pi / 4) * 4)


@pytest.mark.parametrize(
    ("corners", "at", "most"),
    [
        ([(0, 0, 6), (10, 0, 6), (10, 30, 0), (0, 30, 0)], 0, 4.0),
        ([(0, 0, 0), (10, 0, 11), (10, 30, 0), (0, 30, 0)], 1, 10.0),
        ([(0, 0, 0), (0, 0, 0), (10, 30, 0)], 0, 0.0),
        ([(0, 0, 0), (10, 0, 1), (5, 0, 0), (5, 9, 0)], 1, 0.0),
    ],
)
def test_corners_without_room(
    corners: list[tuple[float, float, float]], at: int, most: float
) -> None:
    with pytest.raises(CornerError) as said:
        Path.rounded(corners)
    assert (said.value.corner, said.value.most) == (at, pytest.approx(most))


def test_a_slot() -> None:
    """A rectangle and a disc: (l - w) w + π w²/4, turned about its middle."""
    slot = Path.slot(5, 6, 30, 8, 90)
    assert slot.area == pytest.approx(22 * 8 + 16 * math.pi)
    assert slot.bounds == pytest.approx((1, -9, 9, 21))
    assert Path.slot(5, 6, 8, 8).area == pytest.approx(16 * math.pi)
    with pytest.raises(ValueError, match="as long as wide"):
        Path.slot(0, 0, 5, 6)


DISC = st.tuples(st.floats(-90, 90), st.floats(-90, 90), st.floats(4, 30))


@given(st.lists(DISC, min_size=1, max_size=6))
@settings(max_examples=40, deadline=None)
def test_hulls_of_discs(discs: list[tuple[float, float, float]]) -> None:
    """Area as the hull's own closed form; shapely's hull of the discs; no crossing."""
    flat = Flat(tuple(discs), 0.0, 6.0)
    path = Path.of_flat(flat)
    assert path.area == pytest.approx(flat.area, rel=1e-9)
    hull = shapely.unary_union([shape(Path.circle(x, y, 2 * r), 1e-4) for x, y, r in discs])
    assert shape(path, 1e-4).symmetric_difference(hull.convex_hull).area < 2e-4 * path.length
    if min(edge.length for edge in path.edges) > 1e-3:
        assert not list(path.crossings())


def test_points_keep_to_the_tolerance() -> None:
    """Rise of a chord: r (1 - cos(step / 2))."""
    points = Path.circle(0, 0, 100).points(0.1)
    steps = np.diff(np.unwrap(np.arctan2(points[:, 1], points[:, 0])))
    assert 50 * (1 - np.cos(steps.max() / 2)) == pytest.approx(0.1, rel=0.2)
    assert 50 * (1 - np.cos(steps.max() / 2)) <= 0.1


@pytest.mark.parametrize("vertices", [(), ((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))])
def test_no_path(vertices: tuple[tuple[float, float, float], ...]) -> None:
    with pytest.raises(ValueError, match="three vertices"):
        Path(vertices)


def test_numbers_that_are_none() -> None:
    with pytest.raises(ValueError, match="not finite"):
        Path.polygon([(0, 0), (1, 0), (math.nan, 1)])
