"""Forms: shapes and tubes of every body agree; left and right are mirror images."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.forms import about, hoop, pill, pills, rod, rods, slab
from frame3d.bodies.motion.pose import Pose
from frame3d.bodies.shapes import Box, Disc
from frame3d.geometry.vector import point
from tests.bodies.bike import bodies, body, layout
from tests.bodies.distance import mirrored, signed, surface, union

POSES = [Pose(), Pose(fork=70, steer=23, crank=130, heel=11)]
SPARE = (
    "  bottles:",
    "  bodies:\n"
    "    pole: {kind: cylinder, at: [1, 2, 3], axis: [1, 1, 4], length: 50, diameter: 20,\n"
    "      end_diameter: 30}\n"
    "    brick: {kind: box, at: [1, 2, 3], axis: [3, 1, 4], size: [20, 30, 40], rounding: 3,\n"
    "      fixed_to: fork}\n"
    "  bottles:",
)  # fmt: skip
TREAD = ("hub: 148x12, rotor: 160", "hub: 148x12, rotor: 160, tread: {width: 62, drop: 9}, flex: 2")
BOTH = [
    b.name
    for b in bodies(SPARE).bodies
    if b.shapes and b.tubes and b.name not in ("stem", "handlebar")
]


@pytest.mark.parametrize("pose", POSES, ids=["drawn", "posed"])
@pytest.mark.parametrize("name", BOTH)
def test_tubes_lie_on_the_outside_of_their_shapes(name: str, pose: Pose) -> None:
    """Every point of every tube's side is on or in the shapes, and each tube touches the outside.

    A dropout's sockets lie within its arms, and so need not.
    """
    found = body(name, SPARE)
    for tube in found.tubes:
        d = union(found.shapes, surface(tube, pose=pose), pose)
        assert d.max() <= 1e-6
        if not name.startswith("rear_dropout"):
            assert d.max() == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("name", ["rear_tyre", "front_tyre", "fork_lower_left", "fork_knob_right",
                                  "seatpost", "bottle_1", "bottom_bracket", "fork_arch"])  # fmt: skip
def test_round_ones_are_the_same_all_over(name: str) -> None:
    found = body(name)
    for tube in found.tubes:
        assert union(found.shapes, surface(tube)) == pytest.approx(0, abs=1e-6)


def test_knobs_edges_stand_for_them_in_a_tyre_as_a_tube() -> None:
    """Wires of 1 mm in the corners: at most 0.42 mm of a square corner lies outside them."""
    found = body("rear_tyre", TREAD)
    x, _, z = layout().nodes["rear_axle"]
    corners = [(x + 363, 33.0, z), (x + 363, -33.0, z), (x + 372, 16.5, z)]
    wires = found.tubes[3:]
    assert len(wires) == 4
    for tube in wires:
        d = union(found.shapes, surface(tube))
        assert d.max() == pytest.approx(0, abs=1e-6)
    for corner in np.array(corners):
        nearest = min(np.linalg.norm(surface(t, 2000, 60) - corner, axis=1).min() for t in wires)
        assert nearest < 0.5


@pytest.mark.parametrize("name", ["stem", "handlebar"])
def test_what_is_made_of_several_agrees_piece_by_piece(name: str) -> None:
    found = body(name)
    for tube, shape in zip(found.tubes, found.shapes, strict=True):
        assert signed(shape, surface(tube)) == pytest.approx(0, abs=1e-6)


def test_a_box_as_thick_as_its_rounding_has_its_whole_rim_in_bars() -> None:
    """Seen from outside in its middle plane, nearest bar and nearest face are equally far."""
    form = slab("plate", (0, 0, 0), (200, 80, 40), 20, edges=True)
    assert len(form.tubes) == 4
    turn = np.linspace(0, 2 * np.pi, 100)
    points = 300 * np.stack([np.cos(turn), np.sin(turn), 0 * turn], axis=1)
    to_box = signed(form.shapes[0], points)
    axes = [t.axis.points(np.linspace(0, t.axis.length, 4001)) for t in form.tubes]
    to_axes = [np.linalg.norm(points[:, None] - line, axis=2).min(axis=1) for line in axes]
    to_bars = np.min(to_axes, axis=0) - 20
    assert to_bars == pytest.approx(to_box, abs=1e-4)


@pytest.mark.parametrize("d", [(0, 0, 1), (1, 0, 0), (-1, 0, 0), (0, 1, 0), (0.3, -0.2, 0.9)])
def test_axes_about_a_direction(d: tuple[float, float, float]) -> None:
    axes = np.array(about(np.array(d, dtype=float)))
    assert axes @ axes.T == pytest.approx(np.eye(3))
    assert np.linalg.det(axes) == pytest.approx(1)
    assert axes[2] == pytest.approx(np.array(d) / np.linalg.norm(d))


def test_simple_forms_by_hand() -> None:
    a, b = (0.0, 0.0, 0.0), (100.0, 0.0, 0.0)
    points = np.array([(-20.0, 0, 0), (50, 30, 0), (110, 0, 0)])
    assert signed(pill("p", a, b, 5).shapes[0], points) == pytest.approx([15, 25, 5])
    assert signed(rod("r", a, b, 5).shapes[0], points) == pytest.approx([20, 25, 10])
    assert len(pills("q", [a, b, (100.0, 50.0, 0.0)], 5).shapes) == 2
    ring = hoop("h", (0.0, 0.0, 0.0), 300.0, 20.0)
    assert signed(ring.shapes[0], np.array([(350.0, 0, 0), (0, 30, 300)])) == pytest.approx(
        [30, 10]
    )


PAIRS = sorted(
    b.name.removesuffix("_left") for b in bodies().bodies if b.name.endswith("_left") and b.shapes
)


@pytest.mark.parametrize("name", PAIRS)
def test_left_and_right_are_mirror_images(name: str) -> None:
    """At mirrored poses: steering the other way, cranks half a turn on."""
    left, right = body(f"{name}_left"), body(f"{name}_right")
    rng = np.random.default_rng(7)
    centre = np.array(layout().nodes["bottom_bracket"])
    points = centre + rng.uniform(-700, 900, (400, 3))
    for a, b in (
        (Pose(), Pose(crank=180)),
        (Pose(fork=50, steer=20, crank=70, heel=9), Pose(fork=50, steer=-20, crank=250, heel=9)),
    ):
        assert union(left.shapes, points, a) == pytest.approx(
            union(right.shapes, mirrored(points), b), abs=1e-7
        )
    assert len(left.tubes) == len(right.tubes)
    assert left.colour == right.colour


CENTRED = ["front_tyre", "rear_tyre", "front_rim", "rear_hub", "fork_crown", "fork_arch", "fork_axle",
           "handlebar", "stem", "saddle", "seatpost", "bottle_1"]  # fmt: skip


@pytest.mark.parametrize("name", CENTRED)
def test_what_stands_in_the_middle_is_its_own_mirror_image(name: str) -> None:
    found = body(name)
    points = np.random.default_rng(8).uniform(-700, 900, (400, 3))
    assert union(found.shapes, points, Pose(steer=15)) == pytest.approx(
        union(found.shapes, mirrored(points), Pose(steer=-15)), abs=1e-7
    )


def test_every_box_kind_is_met() -> None:
    """The tests above do see boxes as tubes: else they would prove nothing about edges."""
    seen = [n for n in BOTH if isinstance(body(n, SPARE).shapes[0].shape, Box)]
    assert {"rear_caliper", "shoe_left", "brick"} <= set(seen)


def test_rods_made_at_once_are_those_made_one_by_one() -> None:
    random = np.random.default_rng(3)
    starts = random.uniform(-50, 50, (40, 3))
    along = random.normal(size=(40, 3))
    along[:4] = [(9.0, 0, 0), (-9.0, 0.1, 0), (0, 0, 5.0), (0, -5.0, 0)]
    radii = random.uniform(1, 5, (40, 2))
    made = rods("rod", starts, starts + along, radii)
    for one, a, b, (first, last) in zip(made, starts, starts + along, radii, strict=True):
        (alone,) = rod("rod", point(a), point(b), float(first), end_radius=float(last)).shapes
        assert isinstance(one.shape, Disc)
        assert isinstance(alone.shape, Disc)
        assert np.allclose(one.shape.profile, alone.shape.profile, atol=1e-12)
        assert np.allclose(one.origin, alone.origin, atol=1e-12)
        assert np.allclose(one.axes, alone.axes, atol=1e-12)
