"""Animations: keyframes of the whole travel, read back by the formulas of glTF 2.0 alone."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

import frame3d
from frame3d.bodies import bodies_of
from frame3d.bodies.motion.mounts import Name
from frame3d.bodies.motion.pose import Pose, matrices, matrix
from frame3d.formats.animation import SECONDS, animated, quaternions_of, strokes_of, turns_of
from frame3d.formats.assembly import assembly_glb
from frame3d.formats.glb import glb as frame_glb
from frame3d.formats.standing import motions_from_drawn
from tests.bike.tension.bikes import eccentric
from tests.bikes import hardtail_layout
from tests.formats.gltf import TO_FRAME, Gltf
from tests.formats.suspended import POSE, bodies, body, glb, layout, model, mounts

HARDTAIL = Path(__file__).parents[2] / "configs" / "trail_hardtail_29.yaml"
PROMISED = 0.05
"""How far anything may be off the true motion at any time [mm]."""
TITLES: dict[str, Name] = {"Rear travel": "rear", "Fork travel": "fork", "Steering": "steer"}


def value_at(title: str, time: float) -> float:
    """What an animation shows: there and back at an even speed in `SECONDS`."""
    stops = next(s.stops for s in strokes_of(layout()) if s.title == title)
    way = np.concatenate([[0], np.abs(np.diff(stops)).cumsum()])
    return float(np.interp(time / SECONDS * way[-1], way, stops))


@pytest.mark.parametrize(("title", "motion"), TITLES.items())
def test_everything_is_within_its_promise_of_the_true_pose_at_any_time(
    title: str, motion: Name
) -> None:
    """Corners about every node, at keys, between keys and at times that fall in with neither.

    The difference from the true motion is affine in the point, so it is greatest at a corner.
    """
    gltf = glb()
    keys = gltf.values(gltf.animation(title)["samplers"][0]["input"])[:, 0]
    middles = (keys[1:] + keys[:-1]) / 2
    spread = SECONDS * (np.arange(61) * 0.6180339887498949 % 1)  # by the golden section
    worst = 0.0
    for name, mount in mounts().items():
        own = gltf.vertices(name) @ TO_FRAME[:3, :3].T * 1000
        box = np.array(np.meshgrid(*np.array([own.min(axis=0), own.max(axis=0)]).T))
        points = np.vstack([box.reshape(3, -1), np.ones(8)])
        moves = any(step.name == motion for step in mount.steps)
        times = np.concatenate([keys, middles, spread]) if moves else np.array([0.0, 1.3])
        values = np.array([value_at(title, float(time)) for time in times])
        at_rest = np.linalg.inv(matrix(mount, Pose()))
        for time, true in zip(times, matrices(mount, POSE, motion, values) @ at_rest, strict=True):
            shown = TO_FRAME @ gltf.local(name, title, float(time)) @ TO_FRAME.T
            shown[:3, 3] *= 1000
            off = np.linalg.norm(((shown - true) @ points)[:3], axis=0)
            worst = max(worst, float(off.max()))
    assert worst < PROMISED


def test_many_values_of_a_motion_are_as_one_by_one() -> None:
    """What the animation was held against is the pose's own matrix."""
    values = np.array([0.0, 11.0, 60.0])
    for mount in mounts().values():
        for motion in TITLES.values():
            for value, found in zip(values, matrices(mount, POSE, motion, values), strict=True):
                assert found == pytest.approx(matrix(mount, replace(POSE, **{motion: value})))


def test_the_whole_stroke_there_and_back() -> None:
    """At half time the axle is at full travel and the shock's eyes are as near as they come."""
    gltf, linkage = glb(), layout().linkage
    assert linkage is not None
    axle = np.array([*layout().nodes["rear_axle"], 1000.0]) / 1000 @ TO_FRAME

    def there(name: str, at: np.ndarray, time: float) -> np.ndarray:
        return TO_FRAME[:3, :3] @ (gltf.local(name, "Rear travel", time) @ at)[:3] * 1000

    for time, travel in ((0.0, 0.0), (SECONDS / 2, linkage.full_travel), (SECONDS, 0.0)):
        x, z = linkage.axle_at(travel)
        for name in ("rear_tyre", "rear_dropout_left", "cassette"):
            assert there(name, axle, time) == pytest.approx((x, 0.0, z), abs=1e-3)
        eyes = []
        for name, end in zip(("shock_body", "shock_shaft"), linkage.shock, strict=True):
            x, z = linkage.drawn[end]
            eyes.append(there(name, np.array([x, 0.0, z, 1000.0]) / 1000 @ TO_FRAME, time))
        used = 0.0 if travel == 0.0 else linkage.full_stroke
        apart = float(np.linalg.norm(eyes[0] - eyes[1]))
        assert apart == pytest.approx(linkage.eye_to_eye - used, abs=1e-3)


def test_what_moves_and_what_stands_still() -> None:
    """Everything that a motion moves has channels, and nothing else has."""
    gltf = glb()
    names = {index: name for name, index in gltf.nodes.items()}
    for title, motion in TITLES.items():
        channels = gltf.animation(title)["channels"]
        moving = {names[channel["target"]["node"]] for channel in channels}
        mounted = {n for n, m in mounts().items() if any(s.name == motion for s in m.steps)}
        assert moving == mounted
    rear = {n for n, m in mounts().items() if any(s.name == "rear" for s in m.steps)}
    assert {
        "chainstay_left", "seatstay_right", "rear_dropout_left", "rear_tyre", "rear_rim", "rear_hub",
        "rear_rotor", "rear_caliper", "cassette", "shock_body", "shock_shaft",
    } <= rear  # fmt: skip
    assert sum(name.startswith("chain_") for name in rear) == 2
    assert not {"down_tube", "seat_tube", "bottom_bracket", "chainring", "front_tyre"} & rear


def test_data_keep_the_rules_of_the_standard() -> None:
    """GlTF 2.0, sections 3.5.2, 3.6.1.1, 3.6.2.5, 3.11: see each comment."""
    gltf = glb()
    document = gltf.document
    of_meshes = {
        accessor
        for mesh in document["meshes"]
        for p in mesh["primitives"]
        for accessor in (*p["attributes"].values(), p["indices"])
    }
    for animation in document["animations"]:
        assert animation["channels"]
        targets = [(c["target"]["node"], c["target"]["path"]) for c in animation["channels"]]
        assert len(set(targets)) == len(targets)  # a property is animated once
        used = {c["sampler"] for c in animation["channels"]}
        assert used == set(range(len(animation["samplers"])))
        for sampler in animation["samplers"]:
            key, out = (document["accessors"][sampler[k]] for k in ("input", "output"))
            times = gltf.values(sampler["input"])
            assert key["type"] == "SCALAR"
            assert key["min"] == times.min(axis=0).tolist() == [0.0]  # both are asked for
            assert key["max"] == times.max(axis=0).tolist() == [SECONDS]
            assert (np.diff(times[:, 0]) > 0).all()  # "strictly increasing"
            assert out["count"] == key["count"]
            for accessor in (key, out):
                view = document["bufferViews"][accessor["bufferView"]]
                assert "target" not in view  # targets are for vertices and indices only
                assert view["byteOffset"] % 4 == 0
        for channel in animation["channels"]:
            output = animation["samplers"][channel["sampler"]]["output"]
            assert output not in of_meshes
            values = gltf.values(output)
            if channel["target"]["path"] == "rotation":
                assert document["accessors"][output]["type"] == "VEC4"
                assert np.linalg.norm(values, axis=1) == pytest.approx(1.0, abs=1e-6)
                assert ((values[1:] * values[:-1]).sum(axis=1) > 0.9).all()  # no turn the long way
            else:
                assert document["accessors"][output]["type"] == "VEC3"
    for node in document["nodes"]:
        assert "matrix" not in node
        assert np.linalg.norm(node.get("rotation", (0, 0, 0, 1))) == pytest.approx(1.0, abs=1e-8)
        assert "children" not in node


def test_nodes_that_move_alike_share_keyframes() -> None:
    """Two data a link at most, however many nodes there are on it."""
    animation = glb().animation("Rear travel")
    ways = {(m.name, n[:11] if m.name == "chain run" else "") for n, m in mounts().items()}
    moving = {way for way in ways if way[0] not in ("frame", "steering", "fork", "crank")}
    assert len(animation["samplers"]) <= 2 * len(moving)


def test_titles_and_ranges() -> None:
    document = glb().document
    assert [a["name"] for a in document["animations"]] == list(TITLES)
    rear = document["animations"][0]["extras"]
    assert rear == {"motion": "rear", "low": 0, "high": pytest.approx(140), "unit": "mm"}
    steer = document["animations"][2]["extras"]
    assert steer == {"motion": "steer", "low": -90, "high": 90, "unit": "degrees"}


def test_the_pose_of_the_file_is_in_its_nodes() -> None:
    """Without an animation every node stands at the pose."""
    drawn = glb(Pose())
    assert all("rotation" not in n and "translation" not in n for n in drawn.document["nodes"])
    for name, mount in mounts().items():
        motion = matrix(mount, POSE) @ np.linalg.inv(matrix(mount, Pose()))
        own = drawn.placed(name)
        true = np.column_stack([own, np.ones(len(own))]) @ motion.T
        assert glb().placed(name) == pytest.approx(true[:, :3], abs=1e-3), name


def test_the_pose_of_the_file_is_where_animations_of_others_leave_it() -> None:
    """The rear wheel's animation says nothing of the front wheel, and that of the fork keeps steering."""
    assert glb().local("front_tyre", "Rear travel", 1.0) == pytest.approx(glb().local("front_tyre"))
    steered = glb().local("front_tyre", "Fork travel", 0.7)[:3, :3]
    assert steered == pytest.approx(glb().local("front_tyre")[:3, :3])
    assert not np.allclose(steered, np.eye(3))


def test_lower_legs_slide_over_the_upper_ones() -> None:
    """At full fork travel they are up by the travel, along the steering axis, and stop below the crown."""
    pose = Pose(fork=150.0)
    high = glb(pose)
    for side in ("left", "right"):
        drawn = glb(Pose()).placed(f"fork_lower_{side}")
        rise = high.placed(f"fork_lower_{side}") - drawn
        angle = np.radians(65)
        along = 150.0 * np.array([-np.cos(angle), 0, np.sin(angle)])
        assert rise == pytest.approx(np.broadcast_to(along, rise.shape), abs=1e-2)
        upper = glb(Pose()).placed(f"fork_leg_{side}")
        assert high.placed(f"fork_leg_{side}") == pytest.approx(upper, abs=1e-9)
        axis = along / 150.0
        crown = high.placed("fork_crown") @ axis
        assert (high.placed(f"fork_lower_{side}") @ axis).max() < crown.min()
        assert (upper @ axis).min() > (high.placed(f"fork_lower_{side}") @ axis).min()


def test_a_hardtail_shows_its_fork_and_a_bare_frame_nothing() -> None:
    assert [s.title for s in strokes_of(hardtail_layout())] == ["Fork travel", "Steering"]
    assert "animations" not in Gltf(frame_glb(model())).document


def test_what_tensions_the_chain_goes_through_its_whole_range() -> None:
    """Every stop is a keyframe, also where the drawn place is not in the middle of the range."""
    slots = frame3d.solve(
        frame3d.load(HARDTAIL, sets=["build.dropout={kind: sliding, slide: {length: 16, at: 6}}"])
    )
    insert = eccentric("build.bottom_bracket.eccentric.between=[-180, -30]")
    for bike, stops in ((slots, (0, 10, -6, 0)), (insert, (0, 60, -90, 0))):
        *_, stroke = strokes_of(bike)
        assert stroke.stops == pytest.approx(stops)
        points = {
            shape.mount: np.array([shape.origin])
            for body in bodies_of(bike).bodies
            for shape in body.shapes
        }
        made = animated(stroke, Pose(), points)
        assert made.times[-1] == SECONDS
        assert (np.diff(made.times) > 0).all()
        assert made.tracks
        for mount, keys in made.tracks.items():
            values = np.linspace(stroke.low, stroke.high, 401)
            ways = motions_from_drawn(mount, Pose(), stroke.motion, values)[:, :3, 3]
            for end in (ways[0], ways[-1]):
                nearest = np.linalg.norm(keys.translation - end, axis=1).min()
                assert nearest == pytest.approx(0, abs=1e-9), mount.name


def test_the_same_bytes_every_time() -> None:
    assert assembly_glb(model(), bodies(), POSE) == glb().data


def test_quaternions_against_scipy() -> None:
    """Random turns, and half turns, whose real part is 0."""
    random = Rotation.random(50, random_state=1)
    half = Rotation.from_rotvec(np.pi * np.array([[1, 0, 0], [0, 1, 0], [0, 0, 1], [0.6, 0, 0.8]]))
    for turns in (random, half):
        own = np.vstack([quaternions_of(m[None]) for m in turns.as_matrix()])
        dot = np.abs((own * turns.as_quat()).sum(axis=1))
        assert dot == pytest.approx(np.ones(len(own)))
        assert turns_of(own) == pytest.approx(turns.as_matrix())
    circle = Rotation.from_rotvec(np.linspace(0, 4 * np.pi, 90)[:, None] * [0.0, 0.6, 0.8])
    steady = quaternions_of(circle.as_matrix())
    assert ((steady[1:] * steady[:-1]).sum(axis=1) > 0.99).all()


def test_shock_halves_keep_to_one_line() -> None:
    """Both turn alike, so that the shaft stays in the body."""
    axis = {}
    for name in ("shock_body", "shock_shaft"):
        assert body(name).family == "shock"
        axis[name] = glb().local(name, "Rear travel", 1.1)[:3, :3]
    assert axis["shock_body"] == pytest.approx(axis["shock_shaft"], abs=1e-6)
