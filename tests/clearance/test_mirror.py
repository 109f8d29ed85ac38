"""Mirror images among bodies: found where they are, refused where a hair is missing, and their gaps."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies import Body
from frame3d.bodies.forms import rod
from frame3d.bodies.motion.mounts import CRANK, FRAME, MOTIONS, Mount, crank_mounts, fork_mounts
from frame3d.bodies.shapes import Cutter, PlacedShape, Tubular, bar, box, capsule, disc, prism, ring
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.lines import between
from frame3d.clearance.mirror import EQUAL, Twins, image_name, images, mirrored
from frame3d.clearance.scene import Scene
from frame3d.geometry.centreline import Centreline
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Point

LEFT, RIGHT = ("left", 1.0), ("right", -1.0)


def body(name: str, shapes: tuple[PlacedShape, ...], tubes: tuple[Tubular, ...] = ()) -> Body:
    return Body(name, "", name, shapes, tubes, "")


def turned(angle: float, side: float) -> tuple[Point, Point, Point]:
    """Axes turned about x, and those of the mirror image, which are right-handed too."""
    c, s = float(np.cos(angle)), side * float(np.sin(angle))
    return (1.0, 0.0, 0.0), (0.0, c, s), (0.0, -s, c)


def solids(side: float) -> dict[str, PlacedShape]:
    """One shape of each kind beside the middle plane, and its mirror image."""
    at, axes = (100.0, side * 30.0, 40.0), turned(0.3, side)
    (standing,) = rod(
        "r", (10.0, side * 20, 5.0), (90.0, side * 50.0, 30.0), 9.0, FRAME, 7.0
    ).shapes
    # Across the bike both begin at their lower y.
    low = min(side * 20.1, side * 26.3)
    (across,) = rod("a", (10.0, low, 5.0), (10.0, low + 6.2, 5.0), 9.0).shapes
    profile = [(0.0, 0.0), (30.0, 0.0), (20.0, 9.0), (0.0, 9.0)]
    return {
        "bar": standing,
        "across": across,
        "box": PlacedShape("b", box(30.0, 20.0, 10.0, 2.0), at, FRAME, axes),
        "capsule": PlacedShape("c", capsule(50.0, 6.0, 4.0), at, FRAME, axes),
        "ring": PlacedShape("d", ring([(30, -4), (40, -4), (40, 4), (30, 4)]), at, FRAME, axes),
        "disc": PlacedShape(
            "e", disc(profile), at, FRAME, ((1.0, 0.0, 0.0), (0.0, side, 0.0), (0.0, 0.0, side))
        ),
        "prism": PlacedShape("f", prism([(0, 0), (30, 0), (9, 20)], 6.0), at, FRAME, (
            (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)
        )),
    }  # fmt: skip


@pytest.mark.parametrize("kind", solids(1.0))
def test_a_shape_and_its_mirror_image(kind: str) -> None:
    """Each is found, at any order of a body's shapes, and not where it lies 1e-6 mm elsewhere."""
    one, other = (solids(side)[kind] for side in (1.0, -1.0))
    more, more_there = (solids(side)["box"] for side in (1.0, -1.0))
    left = body("a_left", (one, more))
    found = images([left, body("a_right", (more_there, other))])
    assert set(found) == {"a_left", "a_right"}
    x, y, z = other.origin
    for off in ((x + 1e-6, y, z), (x, y + 1e-6, z), (x, y, z + 1e-6)):
        assert not images([left, body("a_right", (replace(other, origin=off), more_there))])
    assert not images([left, body("a_right", (other,))])
    assert not images([left, body("b_right", (more_there, other))])


def stay(side: float, cut: Point, radius: float = 60.0) -> Tubular:
    """A bent stay that a tube across the bike cuts."""
    axis = Centreline.through(
        ((0.0, side * 30, 0.0), (-200.0, side * 60, 20.0), (-400.0, side * 70, 0.0)), (radius,)
    )
    section = Section((0.0, axis.length), (20.0, 12.0), (16.0, 12.0), (1.0, 1.0))
    cutter = Centreline.through((cut, (cut[0], -cut[1], cut[2])), ())
    return Tubular(
        "stay", axis, section, FRAME, (True, False), (2.0, 3.0),
        (Cutter(cutter, Section.round(cutter.length, 40.0, 0.0), (True, True), (0.0, 20.0)),),
    )  # fmt: skip


def test_bent_tubes_with_what_cuts_them() -> None:
    """A cutter across the bike is its own mirror image, whichever way it runs."""
    left, shell = stay(1.0, (0.0, 36.5, 0.0)), (0.0, 36.5, 0.0)
    assert images([body("a_left", (), (left,)), body("a_right", (), (stay(-1.0, shell),))])
    for other in (stay(-1.0, (0.0, 36.5, 1.0)), stay(-1.0, shell, 61.0), stay(1.0, shell)):
        assert not images([body("a_left", (), (left,)), body("a_right", (), (other,))])
    wrong = replace(stay(-1.0, shell), cutters=())
    assert not images([body("a_left", (), (left,)), body("a_right", (), (wrong,))])


def test_a_tube_across_the_bike_is_its_own_image() -> None:
    oval = Section((0.0, 80.0), (16.0, 16.0), (12.0, 12.0), (1.0, 1.0))
    axis = Centreline.through(((-300.0, 40.0, 9.0), (-300.0, -40.0, 9.0)), ())
    assert images([body("bridge", (), (Tubular("b", axis, oval),))])
    slanted = Centreline.through(((-300.0, 40.0, 9.0), (-301.0, -40.0, 9.0)), ())
    assert not images([body("bridge", (), (Tubular("b", slanted, oval),))])
    tapered = replace(oval, height=(16.0, 15.0))
    assert not images([body("bridge", (), (Tubular("b", axis, tapered),))])
    one_sided = replace(oval, rounds=((1.0, 2.0, 1.0, 1.0),) * 2)
    assert not images([body("bridge", (), (Tubular("b", axis, one_sided),))])


def test_names() -> None:
    assert image_name("shoe_left") == "shoe_right"
    assert image_name("shoe_right") == "shoe_left"
    assert image_name("left_over") == "left_over"


UPPER, LOWER = fork_mounts(np.array([600.0, 0.0, 500.0]), np.array([-0.4, 0.0, 0.9]))
PEDALS = [
    crank_mounts(170.0, "left", np.array([0.0, 90.0, 0.0])),
    crank_mounts(170.0, "right", np.array([0.0, -90.0, 0.0])),
]


@pytest.mark.parametrize(
    ("a", "b", "where"),
    [
        (FRAME, FRAME, {}),
        (LOWER, LOWER, {"fork": "same", "steer": "other side"}),
        (CRANK, CRANK, {"crank": "same"}),
        (PEDALS[0][1], PEDALS[1][1], {"heel": "same", "crank": "half a turn later"}),
        (PEDALS[0][0], PEDALS[0][0], {"crank": "same"}),
        (PEDALS[0][1], PEDALS[0][1], None),
        (UPPER, LOWER, None),
        (UPPER, CRANK, None),
    ],
)
def test_where_motions_are_in_the_mirror(a: Mount, b: Mount, where: object) -> None:
    assert mirrored(a, b) == where


def test_pairs_that_are_mirror_images() -> None:
    """Not where the steering's range is uneven, the cranks turn less than once, or both differ."""
    bars = [
        body(f"{name}_{side}", (), (bar(name, (x, y * 40, 0), (x + 50, y * 40, 0), 5.0, mount[i]),))
        for name, x, mount in (
            ("stay", -200.0, (FRAME, FRAME)),
            ("knob", 600.0, (UPPER, UPPER)),
            ("shoe", 0.0, (PEDALS[0][1], PEDALS[1][1])),
            ("arm", 0.0, (CRANK, CRANK)),
        )
        for i, (side, y) in enumerate((LEFT, RIGHT))
    ]
    stay, _, knob, _, shoe, _, arm, _ = bars
    ranges = [Range("steer", -60, 60), Range("crank", 0, 360), Range("heel", -9, 9)]
    twins = Twins(bars, ranges)
    assert twins.of(stay, knob) == {"stay_right", "knob_right"}
    assert twins.of(stay, shoe) == {"stay_right", "shoe_right"}
    assert twins.of(stay, arm) == {"stay_right", "arm_right"}
    assert twins.is_same(stay, arm)
    assert not twins.is_same(stay, knob)
    assert not twins.is_same(stay, shoe)
    assert twins.of(shoe, arm) is None
    less = Twins(bars, [Range("steer", -60, 59), Range("crank", 0, 350), Range("heel", -9, 9)])
    assert less.of(stay, knob) is None
    assert less.of(stay, shoe) is None
    assert less.of(stay, arm) == {"stay_right", "arm_right"}


def test_gaps_of_pairs_that_are_mirror_images(scene: Scene) -> None:
    """Are the same within what the certificate leaves open, over all motions."""
    names = {body.name for body in scene.bodies}
    chosen = [scene.body(n) for n in ("chainstay_left", "rear_tyre", "shoe_left", "fork_leg_left")]
    found = 0
    for a in chosen:
        for b in map(scene.body, ("seatstay_left", "down_tube", "rear_tyre", "seat_tube")):
            if a is None or b is None or a is b:
                continue
            image = scene.twins.of(a, b)
            if image is None or image == {a.name, b.name}:
                continue
            assert image <= names
            p, q = (scene.body(image_name(body.name)) for body in (a, b))
            assert p is not None
            assert q is not None
            gap, other = (between(*two, scene, MOTIONS) for two in ((a, b), (p, q)))
            if gap is None or other is None:
                continue
            found += 1
            assert abs(gap.gap - other.gap) <= scene.tolerance
            if scene.twins.is_same(a, b):
                assert gap.gap == pytest.approx(other.gap, abs=10 * EQUAL)
    assert found >= 2
