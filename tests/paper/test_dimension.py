"""Dimension lines: where they run, what their texts stand clear of, how they are read."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from frame3d.paper.dimension import GAP, OVER, SIZE, Dimensions, arrow, backed
from frame3d.paper.fonts import text_width
from frame3d.paper.sheet import CAP, XY, Sheet


def blank() -> Sheet:
    return Sheet("d", "Dimensions", 297.0, 210.0)


def lines(sheet: Sheet) -> list[tuple[XY, XY]]:
    ends = [(e.dxf.start, e.dxf.end) for e in sheet.entities() if e.dxftype() == "LINE"]
    return [((a.x, a.y), (b.x, b.y)) for a, b in ends]


def texts(sheet: Sheet) -> list[Any]:
    return [e for e in sheet.entities() if e.dxftype() == "TEXT"]


def tips(sheet: Sheet) -> list[XY]:
    """Points of arrow heads: the corner where the two long sides meet."""
    found = []
    for e in sheet.entities():
        if e.dxftype() == "SOLID" and e.dxf.layer == "DIMENSION":
            found.append((e.dxf.vtx0.x, e.dxf.vtx0.y))
    return found


def away(point: XY, a: XY, b: XY) -> float:
    """Distance of a point to the left of the line a → b."""
    cross = (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])
    return cross / math.dist(a, b)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(-math.pi, math.pi), st.floats(2.0, 90.0), st.sampled_from([-30.0, -8.0, 8.0, 25.0])
)
@example(math.pi / 2, 60.0, 8.0)
@example(-math.pi / 2, 60.0, 8.0)
@example(math.pi, 60.0, 8.0)
def test_a_dimension_runs_parallel_at_its_distance_and_is_read_from_below_or_right(
    turn: float, length: float, beside: float
) -> None:
    a = (150.0, 105.0)
    b = (a[0] + length * math.cos(turn), a[1] + length * math.sin(turn))
    sheet = blank()
    dims = Dimensions(sheet)
    dims.aligned(a, b, beside, "123.4")
    dims.letter()
    drawn = lines(sheet)
    assert len(drawn) == 3
    for (start, end), point in zip(drawn[:2], (a, b), strict=True):
        assert math.dist(start, point) == pytest.approx(GAP)
        assert math.dist(end, point) == pytest.approx(abs(beside) + OVER)
    for end in drawn[2]:
        assert away(end, a, b) == pytest.approx(beside, abs=1e-9)
    assert math.dist(*drawn[2]) >= length - 1e-9
    left = (-math.sin(turn) * beside, math.cos(turn) * beside)
    moved = [(x + left[0], y + left[1]) for x, y in (a, b)]
    for tip in tips(sheet):
        assert min(math.dist(tip, point) for point in moved) < 1e-9
    assert math.dist(*tips(sheet)) == pytest.approx(length)
    (text,) = texts(sheet)
    assert -90.0 < text.dxf.rotation <= 90.5
    at = text.get_placement()[1]
    # Its baseline is a little off the line, on the side that is up as it is read.
    up = (-math.sin(math.radians(text.dxf.rotation)), math.cos(math.radians(text.dxf.rotation)))
    p = drawn[2][0]
    assert (at.x - p[0]) * up[0] + (at.y - p[1]) * up[1] == pytest.approx(0.9)


def test_level_and_upright_dimensions_measure_between_points_that_are_not() -> None:
    sheet = blank()
    dims = Dimensions(sheet)
    dims.horizontal((50, 50), (110, 80), 30.0, "60")
    dims.vertical((50, 50), (110, 80), 130.0, "30")
    dims.letter()
    assert sorted(tips(sheet)) == [(50, 30), (110, 30), (130, 50), (130, 80)]
    assert [round(t.dxf.rotation) for t in texts(sheet)] == [0, 90]


def test_a_text_goes_where_no_line_runs_through_it() -> None:
    """A line through the middle of the dimension: the text stands to one side of it."""
    sheet = blank()
    sheet.line((80, 20), (80, 60), "OUTLINE")
    dims = Dimensions(sheet)
    dims.horizontal((50, 50), (110, 50), 40.0, "60.0")
    dims.letter()
    (text,) = texts(sheet)
    half = text_width("60.0", SIZE) / 2
    assert abs(text.get_placement()[1].x - 80) > half
    free = blank()
    dims = Dimensions(free)
    dims.horizontal((50, 50), (110, 50), 40.0, "60.0")
    dims.letter()
    assert texts(free)[0].get_placement()[1].x == pytest.approx(80)
    dims.letter()
    assert len(texts(free)) == 1  # set once


def test_a_text_wider_than_its_dimension_stands_beside_it() -> None:
    sheet = blank()
    dims = Dimensions(sheet)
    dims.horizontal((50, 50), (54, 50), 40.0, "a wide text")
    dims.letter()
    (text,) = texts(sheet)
    half = text_width("a wide text", SIZE) / 2
    assert text.get_placement()[1].x - half > 54
    ends = [end for line in lines(sheet) for end in line if end[1] == 40.0]
    assert max(x for x, _ in ends) >= text.get_placement()[1].x + half


def test_an_angle_is_an_arc_between_two_directions_with_arrows_at_its_ends() -> None:
    sheet = blank()
    dims = Dimensions(sheet)
    dims.angle((100, 100), 30.0, 20.0, 80.0, "60°")
    dims.letter()
    (arc,) = [e for e in sheet.entities() if e.dxftype() == "ARC"]
    assert (arc.dxf.radius, arc.dxf.start_angle, arc.dxf.end_angle) == (30.0, 20.0, 80.0)
    for tip, turn in zip(tips(sheet), (20.0, 80.0), strict=True):
        at = 100 + 30 * math.cos(math.radians(turn)), 100 + 30 * math.sin(math.radians(turn))
        assert tip == pytest.approx(at)
    at = texts(sheet)[0].get_placement()[1]
    assert math.dist((at.x, at.y), (100, 100)) > 30
    assert 20 < math.degrees(math.atan2(at.y - 100, at.x - 100)) < 80


@pytest.mark.parametrize("along", [(1.0, 0.0), (-3.0, 4.0), (0.0, -0.1)])
def test_an_arrow_points_along(along: tuple[float, float]) -> None:
    sheet = blank()
    arrow(sheet, (50.0, 60.0), along)
    (head,) = list(sheet.entities())
    corners = [(c.x, c.y) for c in (head.dxf.vtx0, head.dxf.vtx1, head.dxf.vtx2)]
    assert corners[0] == (50.0, 60.0)
    back = ((corners[1][0] + corners[2][0]) / 2, (corners[1][1] + corners[2][1]) / 2)
    size = math.hypot(*along)
    assert math.dist(back, (50, 60)) == pytest.approx(2.4)
    assert (50 - back[0]) / 2.4 == pytest.approx(along[0] / size)
    assert (60 - back[1]) / 2.4 == pytest.approx(along[1] / size)


@pytest.mark.parametrize("turn", [0.0, 90.0, -30.0])
def test_a_text_has_blank_paper_under_all_of_it(turn: float) -> None:
    sheet = blank()
    backed(sheet, (100.0, 100.0), "48.0", turn=turn)
    patch, text = list(sheet.entities())
    assert (patch.dxf.layer, text.dxf.rotation) == ("PAPER", turn)
    u = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    corners = [patch.dxf.vtx0, patch.dxf.vtx1, patch.dxf.vtx2, patch.dxf.vtx3]
    along = [(c.x - 100) * u[0] + (c.y - 100) * u[1] for c in corners]
    above = [(c.y - 100) * u[0] - (c.x - 100) * u[1] for c in corners]
    assert max(along) > text_width("48.0", SIZE) / 2
    assert min(along) == pytest.approx(-max(along))
    assert min(above) < 0
    assert max(above) > SIZE * CAP
