"""Side views of the kept bikes: each as its own drawing has it, equal shapes once."""

from __future__ import annotations

from frame3d.report.exploring.pictures import pictures
from frame3d.report.markup import together
from frame3d.report.side import Side
from tests.report.exploring.samples import kept


def test_each_bike_is_drawn_as_its_side_view() -> None:
    drawn = pictures(kept())
    assert drawn is not None
    assert len(set(drawn.bikes)) == 2
    for i, one in enumerate(kept()):
        svg = drawn.drawn(i, "a bike")
        marks = Side(one.bike, one.parts).marks()
        assert svg.count("<path") + svg.count("<circle") == len(marks)
        assert together(*marks).count('class="frame') == svg.count('class="frame')
        assert 'role="img" aria-label="a bike"' in svg


def test_equal_shapes_stand_once() -> None:
    drawn = pictures(kept())
    assert drawn is not None
    first, second = map(set, drawn.bikes)
    assert first & second  # parts around the bottom bracket do not move
    assert len(drawn.shapes) == len(first | second)


def test_the_window_holds_all_bikes() -> None:
    drawn = pictures(kept())
    assert drawn is not None
    left, top, width, height = map(float, drawn.window.split())
    for one in kept():
        (x0, z0), (x1, z1) = Side(one.bike, one.parts).corners
        assert left < x0
        assert x1 < left + width
        assert top < -z1
        assert -z0 < top + height


def test_without_bikes_there_is_none() -> None:
    assert pictures(()) is None
