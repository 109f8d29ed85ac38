"""Flat parts' outlines against shapely, the CAD kernel and closed forms."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.geometry.closed_path import Path
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.outline import Hole, Outline, Pocket, Slot
from tests.geometry.outlines import face, stars

LINK = Outline(
    Path.of_flat(Flat(((0.0, 0.0, 15.0), (80.0, 10.0, 12.0), (30.0, 50.0, 10.0)), 0.0, 8.0)),
    (Hole(0, 0, 19, fit="N7"), Hole(80, 10, 15, fit="N7"), Hole(30, 50, 8, thread="M10x1")),
    (Slot(38, 16, 24, 8, 30),),
    (Pocket(Path.circle(0, 0, 24), 2.0, "front"),),
)


def test_area_and_centroid_as_shapely() -> None:
    seen = face(LINK)
    assert seen.is_valid
    assert LINK.area == pytest.approx(seen.area, rel=1e-6)
    assert LINK.centroid == pytest.approx((seen.centroid.x, seen.centroid.y), abs=1e-4)
    assert LINK.bounds == pytest.approx(seen.bounds, abs=1e-4)
    assert LINK.flaws() == ()
    assert LINK.flaws(wall=2.0) == ()


def test_volume_as_the_cad_kernel() -> None:
    """A pocket is about a hole, where there is no metal to take. Face drawn with the kernel's own lines and three-point arcs, extruded, holes and pocket cut."""
    import cadquery as cq

    def wire(path: Path) -> cq.Wire:
        edges = [
            cq.Edge.makeThreePointArc(*(cq.Vector(*e.at(s)) for s in (0, 0.5, 1)))
            if e.is_arc
            else cq.Edge.makeLine(cq.Vector(*e.start), cq.Vector(*e.end))
            for e in path.edges
        ]
        return cq.Wire.assembleEdges(edges)

    solid = cq.Solid.extrudeLinear(wire(LINK.outer), [wire(p) for p in LINK.inner], (0, 0, 8))
    pocket = LINK.pockets[0]
    solid = solid.cut(cq.Solid.extrudeLinear(wire(pocket.path), [], (0, 0, pocket.depth)))
    assert LINK.volume(8) == pytest.approx(solid.Volume(), rel=1e-9)


def test_second_moments_of_a_ring() -> None:
    """π (D⁴ - d⁴)/64 about its middle (handbook)."""
    ring = Outline.ring(30, -4, 42, 30)
    assert ring.area == pytest.approx(math.pi / 4 * (42**2 - 30**2))
    expected = math.pi / 64 * (42**4 - 30**4)
    assert ring.moments.central == pytest.approx((expected, expected, 0), abs=1e-6)
    assert ring.wall(ring.holes[0]) == pytest.approx(6)


@given(stars(), st.floats(-50, 50), st.floats(-50, 50), st.floats(2, 20))
@settings(max_examples=40, deadline=None)
def test_holes_and_the_edge(path: Path, x: float, y: float, d: float) -> None:
    """A hole is a flaw where shapely does not find its disc inside, or finds less wall than asked."""
    hole = Hole(x, y, d)
    outline = Outline(path, (hole,))
    seen, disc = shapely.Polygon(path.points(1e-5)), shapely.Point(x, y)
    wall = seen.exterior.distance(disc) * (1 if seen.contains(disc) else -1) - d / 2
    assert outline.wall(hole) == pytest.approx(wall, abs=1e-4)
    if abs(wall) > 1e-3:
        assert bool(outline.flaws()) == (wall < 0)
    if abs(wall - 3) > 1e-3:
        assert bool(outline.flaws(wall=3)) == (wall < 3)


def test_flaws_say_what_and_where() -> None:
    plate = Path.rounded([(0, 0, 4), (60, 0, 4), (60, 40, 4), (0, 40, 4)])
    holes = (Hole(4, 20, 10), Hole(30, 20, 10), Hole(38, 20, 10), Hole(99, 20, 10))
    outline = Outline(plate, holes, (Slot(30, 36, 20, 6),))
    found = {flaw.of: flaw for flaw in outline.flaws(wall=2)}
    assert set(found) == {("holes.0",), ("holes.3",), ("slots.0",), ("holes.1", "holes.2")}
    assert found["holes.0",].gap == pytest.approx(-1)
    assert found["slots.0",].gap == pytest.approx(1)
    assert "1.00 mm of metal" in found["slots.0",].message
    assert found["holes.1", "holes.2"].message.startswith("no metal")
    assert found["holes.3",].kind == "edge"


def test_pockets() -> None:
    """Inside, beside what is in the same face, and beside holes or around them, never within them."""
    plate = Path.polygon([(0, 0), (60, 0), (60, 40), (0, 40)])
    hole = Hole(20, 20, 10)
    around = Pocket(Path.circle(20, 20, 16), 2)
    assert not Outline(plate, (hole,), (), (around,)).flaws()
    for pocket in (
        Pocket(Path.circle(20, 20, 6), 2),
        Pocket(Path.circle(26, 20, 6), 2),
        Pocket(Path.circle(2, 20, 6), 2),
        Pocket(Path.polygon([(40, 5), (50, 15), (50, 5), (40, 15)]), 2),
    ):
        assert Outline(plate, (hole,), (), (pocket,)).flaws()
    other = Pocket(Path.circle(26, 20, 24), 1)
    assert Outline(plate, (), (), (around, other)).flaws()
    assert not Outline(plate, (), (), (around, Pocket(other.path, 1, "back"))).flaws()


def test_a_clockwise_edge_is_a_flaw() -> None:
    assert [flaw.kind for flaw in Outline(LINK.outer.backwards()).flaws()] == ["clockwise"]


def test_an_edge_that_crosses_itself_is_a_flaw() -> None:
    outline = Outline(Path.polygon([(0, 0), (10, 0), (10, 10), (4, -5)]))
    assert "crossing" in {flaw.kind for flaw in outline.flaws()}


def test_moves_and_images() -> None:
    """Holes, slots and pockets go with the edge; the two sides of a bike differ in the pockets' face."""
    moved = LINK.moved(5, -3, 20)
    assert moved.area == pytest.approx(LINK.area)
    assert not moved.flaws()
    assert [moved.wall(h) for h in moved.holes] == pytest.approx([LINK.wall(h) for h in LINK.holes])
    image = LINK.mirrored()
    assert not image.flaws()
    assert image.centroid == pytest.approx((-LINK.centroid[0], LINK.centroid[1]))
    assert image.slots[0].path.area == pytest.approx(LINK.slots[0].path.area)
    assert face(image).symmetric_difference(
        shapely.affinity.scale(face(LINK), -1, 1, origin=(0, 0))
    ).area == pytest.approx(0, abs=1e-4)
    assert LINK.opposite().pockets[0].face == "back"
    assert LINK.opposite().opposite() == LINK
    assert LINK.turned_over().turned_over().centroid == pytest.approx(LINK.centroid)
    assert LINK.turned_over().pockets[0].face == "back"


def test_of_flat_and_rounded() -> None:
    flat = Flat(((0.0, 0.0, 12.0), (48.0, 64.0, 12.0)), 3.0, 9.0)
    assert Outline.of_flat(flat, (Hole(0, 0, 10),)).area == pytest.approx(flat.area - 25 * math.pi)
    clockwise = Outline.rounded([(0, 0, 2), (0, 30, 2), (30, 30, 2), (30, 0, 2)])
    assert clockwise.area == pytest.approx(900 - (4 - math.pi) * 4)
    assert not clockwise.flaws()
