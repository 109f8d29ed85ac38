"""Gussets: sides along both tubes, a straight or hollow free edge, and what does not fit."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.errors import TubeError
from frame3d.tubes.cuts.mitre import level
from tests.plates.parts import GUSSET, bike, plate


def test_a_gussets_corners_lie_where_its_faces_touch_the_tubes() -> None:
    made = bike(brace=GUSSET)
    (gusset,) = made.plates
    tubes = [made.tube(name) for name in gusset.on]
    vertices = np.array(gusset.outline.outer.vertices)[:, :2]
    face = gusset.plane.place(np.column_stack([vertices, np.full(len(vertices), gusset.high)]))
    outside = np.stack([level(tube, face)[0] for tube in tubes])
    assert outside.min() > -0.02, "no corner lies in a tube"
    touching = (np.abs(outside) < 0.02).sum(axis=1)
    assert (touching >= 2).all(), "two corners and more on each tube"
    assert (np.abs(outside).max(axis=0) < 0.02).sum() == 1, "one where both meet"


def test_its_sides_are_as_long_as_given() -> None:
    """Without tips it is a triangle: two sides as given, the third by the cosine rule."""
    made = bike(brace=GUSSET | {"tip": 0})
    (gusset,) = made.plates
    assert [edge.is_arc for edge in gusset.outline.outer.edges] == [False] * 3
    top, seat = (made.tube(name).axis for name in gusset.on)
    angle = math.acos(abs(float(top.tangent(0.0) @ seat.tangent(seat.length))))
    far = [edge.length for edge in gusset.outline.outer.edges]
    # On which side of the tubes' square angle the gusset lies shows in its third side.
    third = [math.sqrt(50**2 + 40**2 - s * 2 * 50 * 40 * math.cos(angle)) for s in (1, -1)]
    assert sorted(far)[:2] == pytest.approx([40.0, 50.0], abs=0.02)
    assert min(abs(max(far) - one) for one in third) < 0.02


def test_a_hollow_edge_takes_metal_away() -> None:
    """By the area between an arc and its chord."""
    plain, hollow = plate(GUSSET, tip=6), plate(GUSSET, tip=6, edge_radius=80)
    (arc,) = (edge for edge in hollow.outline.outer.edges if edge.is_arc)
    assert arc.radius == pytest.approx(80)
    half = math.asin(arc.chord / 2 / 80)
    segment = 80**2 * (half - math.sin(half) * math.cos(half))
    assert plain.outline.area - hollow.outline.area == pytest.approx(segment, rel=1e-6)


def test_a_corner_is_cut_off_for_the_weld() -> None:
    plain, cut = plate(GUSSET), plate(GUSSET, corner=8)
    less = plain.outline.area - cut.outline.area
    assert 0.9 * 32 < less < 32.1, "a triangle of 8 by 8 at nearly a square angle"


def test_a_hole_lies_at_the_centre() -> None:
    gusset = plate(GUSSET, hole=8)
    (hole,) = gusset.outline.holes
    assert hole.at == pytest.approx(plate(GUSSET).outline.centroid)


def test_toward_says_on_which_side_of_a_tube() -> None:
    """Below the top tube by itself, where the seat tube goes on for longer; above it where asked for."""
    below, above = plate(GUSSET), plate(GUSSET, lengths=[30, 8], toward=["end", "end"])
    assert above.centre[2] > below.centre[2] + 20


def test_a_gusset_on_a_bent_tube_follows_its_surface() -> None:
    made = bike(brace=GUSSET | {"on": ["down_tube", "head_tube"], "lengths": [150, 15]})
    (gusset,) = made.plates
    tube = made.tube("down_tube")
    points = gusset.outline.outer.points(0.02)
    face = gusset.plane.place(np.column_stack([points, np.full(len(points), gusset.high)]))
    assert level(tube, face)[0].min() > -0.03


@pytest.mark.parametrize(
    ("changes", "path", "said"),
    [
        ({"on": ["down_tube", "seat_tube"], "lengths": [5, 490]}, "lengths.1", "ends"),
        ({"thickness": 39.9}, "thickness", "as wide as"),
        ({"edge_radius": 20}, "edge_radius", "free edge is"),
        ({"on": ["head_tube", "seat_tube"]}, "on", "apart"),
        ({"on": ["chainstay", "seat_tube"]}, "on", "out of one plane"),
        ({"hole": 60}, "hole", "breaks the edge"),
    ],
)
def test_what_does_not_fit_says_where(changes: dict[str, object], path: str, said: str) -> None:
    with pytest.raises(TubeError) as raised:
        plate(GUSSET, **changes)
    fault = raised.value.faults[0]
    assert fault.path == f"plates.brace.{path}"
    assert said in fault.message
    assert fault.hint
