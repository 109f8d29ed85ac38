"""SVG drawings: dimension lines where they are told to run, texts that read, numbers that round."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.report.drawing.sheet import SvgDrawing, path, symbol
from frame3d.report.markup import Markup
from tests.report.drawn import lines, numbers

TEXT = re.compile(
    r'<text x="([-\d.]+)" y="([-\d.]+)".*?(?:rotate\(([-\d.]+) [^)]*\))?"?>([^<]*)</text>'
)


def text(sheet: SvgDrawing) -> tuple[float, float, float, str]:
    """The one text: x, y upward, turn anticlockwise, words."""
    found = [match for mark in sheet.marks if (match := TEXT.fullmatch(mark)) is not None]
    (match,) = found
    return float(match[1]), -float(match[2]), -float(match[3] or 0), match[4]


@settings(max_examples=80, deadline=None)
@given(
    st.floats(-math.pi, math.pi),
    st.floats(90.0, 400.0),
    st.floats(-60.0, 60.0),
    st.floats(-120.0, 120.0),
)
def test_a_length_is_measured_along_its_direction_beside_its_points(
    turn: float, span: float, skew: float, away: float
) -> None:
    """Two points that lie `span` apart along a direction and `skew` across it."""
    t, n = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    a = (30.0, -40.0)
    b = (a[0] + span * t[0] + skew * n[0], a[1] + span * t[1] + skew * n[1])
    sheet = SvgDrawing(20.0)
    sheet.length(a, b, "x", t, away)
    ((p, q),) = lines(sheet.marks, "dim")
    assert math.dist(p, q) == pytest.approx(span, abs=0.15)
    for x, y in (p, q):
        across = (x - a[0]) * n[0] + (-y - a[1]) * n[1]
        assert across == pytest.approx(away, abs=0.12)
    x, z, way, shown = text(sheet)
    assert shown == "x"
    assert -90.1 < way <= 90.1  # from below or from the right
    middle = ((p[0] + q[0]) / 2, -(p[1] + q[1]) / 2)
    assert math.dist((x, z), middle) == pytest.approx(0.72 * 20, abs=0.2)
    assert (z - middle[1]) * math.cos(math.radians(way)) >= -0.2
    assert len([m for m in sheet.marks if 'class="arrow"' in m]) == 2


def test_extension_lines_start_clear_of_what_they_come_from() -> None:
    sheet = SvgDrawing(20.0)
    sheet.length((0.0, 0.0), (200.0, 0.0), "200", (1.0, 0.0), 50.0)
    first, second = lines(sheet.marks, "ext")
    assert first == [(0.0, -5.0), (0.0, -57.0)]
    assert second == [(200.0, -5.0), (200.0, -57.0)]
    sheet = SvgDrawing(20.0)
    sheet.length((0.0, 0.0), (200.0, 0.0), "200", (1.0, 0.0), 0.0)
    assert lines(sheet.marks, "ext") == []


def test_a_text_that_does_not_fit_stands_past_the_end() -> None:
    sheet = SvgDrawing(20.0)
    sheet.length((0.0, 0.0), (10.0, 0.0), "10", (1.0, 0.0), 0.0, beside=44.0)
    x, z, _, _ = text(sheet)
    assert (x, z) == (pytest.approx(54.0), 0.0)
    tails = lines(sheet.marks, "dim")[1:]
    assert len(tails) == 2  # arrows from outside have tails
    assert {x for tail in tails for x, _ in tail if 0 < x < 10} == set()


def test_an_angle_is_an_arc_from_the_first_to_the_second_direction() -> None:
    sheet = SvgDrawing(20.0)
    sheet.angle((10.0, 20.0), 110.0, 180.0, 100.0, "70°")
    (arc,) = lines(sheet.marks, "dim")
    radii = [math.dist((x, -y), (10.0, 20.0)) for x, y in arc]
    assert radii == [pytest.approx(100.0, abs=0.1)] * len(arc)
    ends = [math.degrees(math.atan2(-y - 20.0, x - 10.0)) for x, y in (arc[0], arc[-1])]
    assert ends == pytest.approx([110.0, 180.0], abs=0.1)
    x, z, _, _ = text(sheet)
    assert math.degrees(math.atan2(z - 20.0, x - 10.0)) == pytest.approx(145.0, abs=0.1)


def test_svg_is_a_window_on_the_drawing_with_a_label() -> None:
    sheet = SvgDrawing(20.0)
    sheet.dot((3.0, 4.0))
    made = sheet.svg((-100.0, -50.0), (300.0, 150.0), 'a "bike" & co')
    assert 'viewBox="-100 -150 400 200"' in made
    assert 'role="img"' in made
    assert 'aria-label="a &quot;bike&quot; &amp; co"' in made
    assert '<circle cx="3" cy="-4" r="3.6" class="dot">' in made


@pytest.mark.parametrize(
    ("x", "shown"), [(0.04, "0"), (-0.04, "0"), (1.0, "1"), (-2.25, "-2.2"), (99.96, "100")]
)
def test_numbers_are_short_and_never_minus_nothing(x: float, shown: str) -> None:
    assert f'd="M{shown} 0L5 0"' in path([[(x, 0.0), (5.0, 0.0)]], "c", closed=False)


def test_later_loops_are_holes_and_closed_paths_close() -> None:
    square = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)]
    hole = [(3.0, 3.0), (6.0, 3.0), (6.0, 6.0)]
    made = path([square, hole], "part", closed=True)
    data = re.search(r'd="([^"]*)"', made)
    assert data is not None
    assert data[1].count("M") == data[1].count("Z") == 2
    assert len(numbers(data[1])) == 14


def test_a_symbol_is_stored_and_used_by_its_name() -> None:
    made = symbol("bike", [Markup("<path></path>")])
    assert '<g id="bike"><path></path></g>' in made
    assert 'aria-hidden="true"' in made
    sheet = SvgDrawing(20.0)
    sheet.use("bike", 2.0)
    assert sheet.marks == ['<use href="#bike" stroke-width="2"></use>']
