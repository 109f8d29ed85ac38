"""Rear dropouts cut from flat plate, on the trail hardtail."""

from __future__ import annotations

import math
from typing import Any

import pytest
import shapely

from frame3d.bike.bike import Bike
from frame3d.errors import TubeError
from frame3d.geometry.disc_hull import Flat
from frame3d.parameters.models.frame import FrameSpec
from frame3d.plates.dropouts import hollowed
from frame3d.plates.tabs import MisfitError
from frame3d.solids.bodies import outsides
from tests.bikes import hardtail_data, placed_layout

SLIDING = {"kind": "sliding", "thickness": 8, "edge_radius": 45, "slide": {"length": 16, "at": 6}}
OWN = {"path": [[-22, -22], [45, -22], [45, 20, 0.2], [20, 40], [-22, 20]]}


def bike(dropout: dict[str, Any], **wheel: Any) -> Bike:
    """The trail hardtail with such dropouts."""
    data = hardtail_data()
    rear = data["build"]["rear_wheel"] | wheel
    data["build"] = data["build"] | {"dropout": dropout, "rear_wheel": rear}
    return placed_layout(FrameSpec.model_validate(data))


def test_a_hooded_one_reaches_from_the_axle_to_the_ends_of_its_stays() -> None:
    """Against shapely: the hull of the rounds about axle and stays' ends, less the bore."""
    made = bike({"kind": "hooded"})
    tubes = {tube.name: tube for tube in made.tubes}
    for dropout in made.dropouts:
        plate = dropout.plate
        assert plate is not None
        assert plate.outline.flaws() == ()
        rounds = [shapely.Point(0, 0).buffer(15, 4096)]
        for name, which in dropout.stays:
            tube = tubes[name]
            end = tube.axis.start if which == "start" else tube.axis.end
            height = tube.section.height[0 if which == "start" else -1]
            at = shapely.Point(end[0] - dropout.axle[0], end[2] - dropout.axle[2])
            rounds.append(at.buffer(0.8 * height / 2, 4096))
        hull = shapely.union_all(rounds).convex_hull
        bore = math.pi * 6.0**2
        assert plate.outline.area == pytest.approx(hull.area - bore, abs=1e-2)
        assert plate.thickness == 7
        faces = sorted(
            -side * y for y in (74, 81) for side in [1 if dropout.side == "left" else -1]
        )
        assert [plate.low, plate.high] == faces


def test_left_and_right_are_of_one_shape_without_thread_and_hanger() -> None:
    left, right = bike({"kind": "hooded"}).dropouts
    assert left.plate is not None
    assert right.plate is not None
    assert left.plate.outline == right.plate.outline
    assert left.plate.volume == pytest.approx(right.plate.volume, rel=1e-4)


def test_the_axle_s_thread_is_in_the_right_one() -> None:
    left, right = bike({"kind": "hooded"}, axle_thread="M12x1.0").dropouts
    assert left.plate is not None
    assert right.plate is not None
    assert (left.plate.outline.holes[0].diameter, left.plate.outline.holes[0].fit) == (12, "H8")
    assert (right.plate.outline.holes[0].diameter, right.plate.outline.holes[0].thread) == (
        11,
        "M12x1.0",
    )
    assert (left.bore, right.bore) == (12, 11)


def test_a_thread_of_another_size_leaves_the_bore_plain() -> None:
    _, right = bike({"kind": "hooded"}, axle_thread="M10x1").dropouts
    assert right.plate is not None
    assert right.plate.outline.holes[0].thread == ""


def test_a_sliding_one_has_its_axle_s_slot_and_a_stop() -> None:
    made = bike(SLIDING | {"slide": {"length": 16, "at": 6, "stop": "M5"}})
    for dropout in made.dropouts:
        plate, slide = dropout.plate, dropout.slide
        assert plate is not None
        assert slide is not None
        (slot,) = plate.outline.slots
        assert (slot.x, slot.y, slot.length, slot.width, slot.angle) == (-2, 0, 28, 12, 0)
        x, y, z = dropout.axle
        assert slide.front == pytest.approx((x + 6, y, z))
        assert slide.back == pytest.approx((x - 10, y, z))
        assert slide.stop is not None
        assert slide.stop_drill == 5.5  # goes through: 1.1 times the thread
        edge, axle = slide.stop
        assert axle[0] == pytest.approx(x - 10)
        on_edge = plate.outline.outer.distance((edge[0] - x + 1.0, 0.0))
        assert on_edge < 1e-6
    parts = {body.name: body for body in outsides(made)}
    assert len(parts["rear_dropout_left"].holes) == 4  # slot, room on both faces, stop


def test_hangers() -> None:
    fixed = bike({"kind": "hooded", "hanger": {"kind": "fixed"}})
    left, right = (one.plate for one in fixed.dropouts)
    assert left is not None
    assert right is not None
    assert len(left.outline.holes) == 1
    hole = right.outline.holes[1]
    assert (hole.at, hole.diameter, hole.thread) == ((-8, -28), 9, "M10x1")
    bolted = bike({"kind": "hooded", "hanger": {"kind": "bolted", "bolts": [[-16, -16], [8, -19]]}})
    (hanger,) = bolted.plates
    assert (hanger.name, hanger.low, hanger.high) == ("derailleur_hanger", 81, 87)
    assert hanger.volume == pytest.approx(hanger.outline.area * 6)
    around = {"kind": "around_axle", "bore": 16, "seat": 26, "seat_depth": 2}
    seated = bike({"kind": "hooded", "hanger": around}).dropouts[1]
    assert seated.plate is not None
    assert seated.bore == 16
    (seat,) = seated.plate.outline.pockets
    assert (seat.face, seat.depth) == ("front", 2)  # the face toward the drive side


def test_an_outline_of_one_s_own_is_taken_and_mirrored() -> None:
    pocket = {"at": [30, 0], "diameter": 8, "depth": 2, "face": "back"}
    made = bike({"kind": "hooded", "outline": OWN | {"pockets": [pocket]}})
    left, right = (one.plate for one in made.dropouts)
    assert left is not None
    assert right is not None
    assert left.outline.outer == right.outline.outer
    assert [one.outline.pockets[0].face for one in (left, right)] == ["back", "front"]


@pytest.mark.parametrize(
    ("dropout", "path", "message"),
    [
        (
            {"kind": "hooded", "outline": OWN | {"holes": [{"at": [40, -20], "diameter": 9}]}},
            "build.dropout.outline.holes.0",
            "breaks the edge",
        ),
        (
            {"kind": "hooded", "outline": {"path": [[-22, -22], [45, 40], [45, -22], [-22, 40]]}},
            "build.dropout.outline",
            "is not on the plate",
        ),
        (
            {"kind": "hooded", "outline": {"path": [[-22, -22], [45, -22], [45, 40], [-22, 40], [-22, 40]]}},
            "build.dropout.outline.path",
            "touches itself at -22.00, 40.00",
        ),
        ({"kind": "hooded", "edge_radius": 3}, "build.dropout.edge_radius", "does not reach"),
        (SLIDING | {"slide": {"length": 16, "at": 6, "stop": "x"}}, "build.dropout.slide.stop", "no metric"),
        (SLIDING | {"thickness": 6, "slide": {"length": 16, "at": 6, "stop": "M5"}},
         "build.dropout.slide.stop", "leaves less than 1 mm"),
        (SLIDING | {"slide": {"length": 16, "at": 6, "stop": "M5", "stop_from": "front"}},
         "build.dropout.slide.stop", "runs into the hood of chainstay"),
        ({"kind": "hooded", "boss": 60}, "tubes.chainstay.end", "stands"),
    ],
)  # fmt: skip
def test_what_cannot_be_made_is_told_once_for_both_sides(
    dropout: dict[str, Any], path: str, message: str
) -> None:
    with pytest.raises(TubeError) as caught:
        bike(dropout)
    first = caught.value.faults[0]
    assert first.path == path
    assert message in first.message
    assert len({(f.path, f.message) for f in caught.value.faults}) == len(caught.value.faults)


def test_a_hollow_edge_touches_both_rounds_and_takes_what_lies_outside_of_them() -> None:
    """Against shapely: within the hull and beside the circle that touches both rounds, which it holds."""
    flat = Flat(((0.0, 0.0, 15.0), (40.0, -5.0, 6.0), (5.0, 45.0, 5.0)), 0.0, 7.0)
    tips = flat.discs[1:]
    path = hollowed(flat, tips, 50.0, 15.0)
    hull = shapely.union_all([shapely.Point(x, z).buffer(r, 2048) for x, z, r in flat.discs])
    arcs = [edge for edge in path.edges if edge.is_arc and edge.bulge < 0]
    (arc,) = arcs
    assert arc.radius == pytest.approx(50)
    for x, z, r in tips:
        assert math.dist(arc.centre, (x, z)) == pytest.approx(50 + r)
    rest = shapely.Polygon(path.points(1e-4))
    outside = shapely.Point(*arc.centre).buffer(50, 4096)
    assert rest.is_valid
    assert rest.difference(hull.convex_hull).area < 0.05
    assert rest.intersection(outside).area < 0.05
    assert hull.difference(rest).area < 0.05
    assert rest.area == pytest.approx(path.area, rel=1e-5)
    cusps = hull.convex_hull.difference(outside).difference(rest)
    assert cusps.area < 1.0  # beside where the circle touches the rounds


def test_a_hollow_edge_leaves_the_boss_whole() -> None:
    flat = Flat(((0.0, 0.0, 15.0), (40.0, -5.0, 6.0), (5.0, 45.0, 5.0)), 0.0, 7.0)
    with pytest.raises(MisfitError, match=r"cuts .* mm into the 30 mm about the axle"):
        hollowed(flat, flat.discs[1:], 27.0, 15.0)


def test_no_hollow_edge_where_the_boss_stands_between_the_stays() -> None:
    flat = Flat(((0.0, 0.0, 25.0), (20.0, 0.0, 5.0), (0.0, 20.0, 5.0)), 0.0, 7.0)
    with pytest.raises(MisfitError, match="no edge runs straight"):
        hollowed(flat, flat.discs[1:], 50.0, 25.0)
