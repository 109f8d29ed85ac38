"""Scene: the viewer's document says the same as the package, part by part and motion by motion."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from frame3d.bodies.motion.mounts import CRANK, Mount, Step
from frame3d.bodies.motion.pose import Pose, matrix
from frame3d.bodies.motion.swing import tabled
from frame3d.bodies.placement import Placement
from frame3d.clearance.check import run_checks
from frame3d.clearance.scene import scene_of
from frame3d.live.work.jobs import NO_MESHES
from frame3d.report.data import ReportData
from frame3d.report.scene import Mounts, compact, scene_document
from frame3d.report.texts import texts
from frame3d.report.tracks import GapTrack
from tests.bike.tension.bikes import eccentric
from tests.report.samples import failing, four_link, hardtail

BIKES = {"hardtail": hardtail, "four_link": four_link}
POSES = [
    {},
    {"fork": 71.0, "steer": 23.0},
    {"rear": 91.7, "fork": 12.0, "crank": 145.0},
    {"steer": -60.0, "crank": 300.0, "heel": 4.0},
]


def document(bike: ReportData) -> dict[str, Any]:
    made = scene_document(bike.scene, bike.report, bike.meshes, bike.tracks, texts())
    return json.loads(compact(made))


def step_matrix(step: dict[str, Any], pose: dict[str, float], swings: dict[str, Any]) -> np.ndarray:
    """The contract's words, written down anew: what a viewer does."""
    q = pose.get(step["motion"], 0.0)
    out = np.eye(4)
    if step["kind"] == "shift":
        out[:3, 3] = q * np.array(step["axis"])
    elif step["kind"] == "circle":
        turn = np.radians(q)
        out[:3, 3] = step["point"][0] * np.array([np.cos(turn), 0, -np.sin(turn)])
    elif step["kind"] == "turn":
        # A quaternion instead of Rodrigues' formula.
        w, (x, y, z) = np.cos(np.radians(q) / 2), np.sin(np.radians(q) / 2) * np.array(step["axis"])
        turn = np.array(
            [
                [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
                [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
                [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
            ]
        )
        at = np.array(step["point"])
        out[:3, :3], out[:3, 3] = turn, at - turn @ at
    else:
        from scipy.interpolate import CubicHermiteSpline

        swing = swings[step["swing"]]
        knots = np.array(swing["knots"])
        t = np.linspace(swing["low"], swing["high"], len(knots))
        dx, dz, turn = CubicHermiteSpline(t, knots[:, :3], knots[:, 3:])(q)
        c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
        out[0], out[2] = [c, 0, -s, dx], [s, 0, c, dz]
    return out


@pytest.mark.parametrize("name", BIKES)
@pytest.mark.parametrize("at", POSES, ids=str)
def test_mounts_move_parts_as_the_package_does(name: str, at: dict[str, float]) -> None:
    bike = BIKES[name]()
    made = document(bike)
    if "rear" in at and name == "hardtail":
        at = {k: v for k, v in at.items() if k != "rear"}
    mounts = {b.name: (*b.shapes, *b.tubes)[0].mount for b in bike.scene.bodies}
    place = Placement(bike.bike)
    for dropout in bike.bike.dropouts:
        mounts[dropout.name] = place.link(dropout.link)
    for part in made["parts"]:
        total = np.eye(4)
        for step in made["mounts"][part["mount"]]:
            total = step_matrix(step, at, made["swings"]) @ total
        if part["name"] in mounts:
            expected = matrix(mounts[part["name"]], Pose(**at))
            corners = np.array([(0, 0, 0, 1), (1000, 0, 0, 1), (0, 1000, 0, 1), (0, 0, 1000, 1)]).T
            assert total @ corners == pytest.approx(expected @ corners, abs=1e-5), part["name"]


@pytest.mark.parametrize("name", BIKES)
def test_everything_named_is_there(name: str) -> None:
    made = document(BIKES[name]())
    parts = {part["name"] for part in made["parts"]}
    assert len(parts) == len(made["parts"])
    assert {part["mount"] for part in made["parts"]} <= set(made["mounts"])
    motions = {motion["name"] for motion in made["motions"]}
    for steps in made["mounts"].values():
        assert {s["kind"] for s in steps} <= {"turn", "shift", "circle", "swing"}
        assert {s["swing"] for s in steps if s["kind"] == "swing"} <= set(made["swings"])
    assert ("rear" in motions) == (name == "four_link")
    ids = [check["id"] for check in made["checks"]]
    assert len(set(ids)) == len(ids)
    for check in made["checks"]:
        assert set(check["at"]) <= motions
        if check["track"] is not None:
            track = check["track"]
            assert len(track["values"]) == len(track["gaps"]) == len(track["points"])


def test_motions_have_their_limits_and_sag() -> None:
    motions = {m["name"]: m for m in document(hardtail())["motions"]}
    assert motions["fork"] == {
        "name": "fork",
        "low": 0,
        "high": 130,
        "drawn": 0,
        "unit": "mm",
        "sag": 32.5,
    }
    assert (motions["steer"]["low"], motions["steer"]["high"]) == (-180, 180)
    full = {m["name"]: m for m in document(four_link())["motions"]}
    assert full["rear"]["high"] == pytest.approx(140, abs=0.1)
    assert 30 < full["rear"]["sag"] < 55


def test_failing_checks_carry_what_would_mend_them() -> None:
    bike = failing()
    made = [c for c in document(bike)["checks"] if not c["ok"]]
    assert made
    assert all(c["gap"] - c["error"] < c["required"] for c in made)
    assert any(c["mend"] for c in made)


def test_mounts_are_written_once_and_never_mixed_up() -> None:
    mounts = Mounts()
    still = tabled(10.0, lambda t: np.zeros((len(t), 6)))
    one, other = (
        Mount("link", (Step(3, "rear", swing=s),))
        for s in (still, still.__class__(10.0, still.knots))
    )
    assert mounts.key(one) == mounts.key(one) == "link"
    assert mounts.key(other) == "link 2"
    assert mounts.key(CRANK) == "crank"
    assert mounts.key(Mount("frame")) == "frame"
    assert len(mounts.swings) == 2


def test_numbers_of_documents() -> None:
    assert compact({"a": -0.0, "b": [1.0000000004, float("inf")]}) == '{"a":0.0,"b":[1.0,null]}'


def moved(made: dict[str, Any], mount: str, pose: dict[str, float]) -> np.ndarray:
    """How far a mount moves what it carries."""
    total = np.eye(4)
    for step in made["mounts"][mount]:
        total = step_matrix(step, pose, made["swings"]) @ total
    return total


@pytest.mark.parametrize("name", BIKES)
def test_what_the_bike_rests_on_is_the_solvers(name: str) -> None:
    """Axles, radii and steering axis as solved; wheels move as their tyres do."""
    bike = BIKES[name]()
    made = document(bike)
    stand, chart = made["stand"], bike.bike.chart
    for end, wheel in zip(("rear", "front"), stand["wheels"], strict=True):
        assert wheel["axle"] == pytest.approx(bike.bike.nodes[f"{end}_axle"], abs=1e-6)
        assert wheel["radius"] == pytest.approx(chart[f"{end}_wheel_radius"])
        assert 0 < wheel["tube"] < 40
        (tyre,) = (part for part in made["parts"] if part["name"] == f"{end}_tyre")
        for pose in POSES:
            if "rear" in pose and name == "hardtail":
                continue
            expected = moved(made, tyre["mount"], pose)
            assert moved(made, wheel["mount"], pose) == pytest.approx(expected, abs=1e-9)
    steer = np.degrees(np.arctan2(-stand["down"][2], stand["down"][0]))
    assert steer == pytest.approx(chart["head_tube_angle"])
    assert stand["top"][0] == pytest.approx(chart["reach"], abs=1e-6)
    assert stand["seat"]["angle"] == pytest.approx(chart["actual_seat_tube_angle"])


def test_what_tensions_the_chain_is_told_as_the_file_counts() -> None:
    scene = scene_of(eccentric())
    track = GapTrack("insert", (-90.0, 270.0), (5.0, 6.0), (((0, 0, 0), (0, 5, 0)),) * 2)
    report = run_checks(scene, names=frozenset(["standover_room"]))
    made = scene_document(scene, report, NO_MESHES, {0: track}, texts())
    insert = next(m for m in made["motions"] if m["name"] == "insert")
    assert (insert["drawn"], insert["unit"]) == (-90, "°")
    low, high = scene.spec.build.insert.range
    assert (insert["drawn"] + insert["low"], insert["drawn"] + insert["high"]) == (low, high)
    told = made["checks"][0]["track"]
    assert (told["motion"], told["drawn"], told["unit"]) == ("insert", -90, "°")
