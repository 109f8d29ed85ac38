"""Drawings for a cutting machine."""

from __future__ import annotations

import io

import ezdxf
import pytest
import shapely
from hypothesis import given, settings

from frame3d.geometry.closed_path import Path
from frame3d.geometry.outline import Hole, Outline
from frame3d.paper.cut_drawing import CutDrawing, place_within
from tests.geometry.outlines import face, stars

RING = Outline.ring(0, 0, 60, 20)


@given(stars())
@settings(max_examples=25, deadline=None)
def test_a_place_within_is_all_metal(path: Path) -> None:
    """Shapely finds the box, with the room around it, within the face."""
    outline = Outline(path, (Hole(0, 0, 12),))
    spot = place_within(outline, 14, 4, 0.8)
    assert spot is not None
    x, y = spot
    assert face(outline).contains(shapely.box(x - 7.8, y - 2.8, x + 7.8, y + 2.8))


def test_no_place_where_there_is_no_room() -> None:
    assert place_within(RING, 40, 10) is None
    assert place_within(RING, 14, 4) is not None


def test_vertices_and_bulges_are_those_of_the_path() -> None:
    drawing = CutDrawing("A title", ["said"])
    path = Path.slot(3, 4, 30, 8, 20)
    drawing.path(path, "CUT")
    doc = ezdxf.read(io.StringIO(drawing.dxf().decode()))  # type: ignore[attr-defined]
    (line,) = doc.modelspace()
    found = list(line.get_points("xyb"))
    assert [v for p in found for v in p] == pytest.approx([v for p in path.vertices for v in p])
    assert line.closed
    assert ("title", "A title") in list(doc.header.custom_vars)


def test_a_name_without_room_is_not_marked() -> None:
    drawing = CutDrawing("", [])
    assert not drawing.outline(Outline.ring(0, 0, 12, 8), "a long name")
    assert drawing.outline(RING, "ok")
