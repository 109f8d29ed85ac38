"""Outlines of features: in the checks as the frame's own metal, bolts and hoses beside."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import frame3d
from frame3d.bodies.body import Body
from frame3d.bodies.frame.features import RISE, STUB, features
from frame3d.bodies.parts.brake import rear_brake
from frame3d.bodies.placement import Placement
from frame3d.clearance.check import run_checks
from frame3d.clearance.scene import scene_of
from frame3d.clearance.table import kind_of
from frame3d.tubes.features.towers import towers
from tests.featured import of, solved
from tests.mounted import mounted

CONFIGS = Path(frame3d.__file__).parents[1] / "configs"


def test_metal_is_of_the_frame_and_what_it_holds_is_not() -> None:
    bike = solved()
    bodies = {body.name: body for body in features(Placement(bike))}
    assert kind_of(bodies["down_tube-cage-1"]) == "frame"
    assert kind_of(bodies["bolt_down_tube-cage-1"]) == "fitting"
    assert {n for n in bodies if n.startswith("hose")} == {
        "hose_down_tube-hose_in",
        "hose_top_tube-guides",
    }
    assert "seatstay-rack_left" in bodies
    assert "seatstay-stop_left" not in bodies
    assert not any("slot" in name or "drain" in name for name in bodies)
    assert bodies["bolt_down_tube-cage-1"].touches[0] == "down_tube"
    assert {"down_tube-cage-1", "seatstay-rack_right"} <= Placement(bike).frame_names


def test_a_hose_leaves_its_port_at_its_angle() -> None:
    hose = next(b for b in features(Placement(solved())) if b.name == "hose_down_tube-hose_in")
    (run,) = hose.tubes
    tube = solved().tube("down_tube")
    assert run.axis.length == pytest.approx(STUB)
    cos = float(run.axis.tangent(0.0) @ tube.axis.tangent(300.0))
    assert cos == pytest.approx(-(3**0.5) / 2)
    assert RISE == 30.0


@pytest.mark.parametrize(("angle", "ok"), [(180, False), (0, True)])
def test_a_bolt_is_checked_against_the_tyre(angle: float, ok: bool) -> None:
    """On the seat tube's rear, a screw 30 mm high in the rear tyre's way; on its front it is not."""
    boss = {"kind": "boss", "from_start": 320, "count": 1, "angle": angle, "head": 45}
    bike = solved({"seat_tube": {"rack": boss}})
    report = run_checks(scene_of(bike), names=frozenset({"fittings_to_parts"}))
    assert report.ok is ok
    assert all("bolt_seat_tube-rack" in (r.between or ()) for r in report.results)


def test_without_features_nothing_is_said_of_them() -> None:
    report = run_checks(scene_of(solved({})), names=frozenset({"fittings_to_parts"}))
    assert (report.results, report.unchecked) == ((), ())


def test_a_collar_is_checked_against_what_it_can_meet() -> None:
    """Of 14 mm it clears the top tube, of 44 mm it runs into it; it touches only what it clamps."""
    slot = {"kind": "clamp_slot"}
    found = {}
    for high in (14, 44):
        own = {"slot": slot, "clamp": {"kind": "collar", "length": high}}
        bike = solved({"seat_tube": own})
        body = next(b for b in features(Placement(bike)) if b.name.startswith("collar"))
        assert kind_of(body) == "fitting"
        assert body.touches == ("seat_tube", "seatpost")
        found[high] = run_checks(scene_of(bike), names=frozenset({"fittings_to_parts"}))
    assert found[14].ok
    assert not found[44].ok
    assert "top_tube" in (found[44].results[0].between or ())


def test_a_flat_mount_is_on_the_left_and_its_caliper_stands_on_it() -> None:
    own = "tubes.chainstay.features.brake={kind: flat_mount, from_end: 90}"
    bike = frame3d.solve(frame3d.load(CONFIGS / "trail_hardtail_29.yaml", sets=[own]))
    bodies = {body.name: body for body in features(Placement(bike))}
    assert {n for n in bodies if "brake" in n} == {
        "chainstay-brake-1_left", "chainstay-brake-2_left",
        "bolt_chainstay-brake-1_left", "bolt_chainstay-brake-2_left",
    }  # fmt: skip
    (head,) = bodies["bolt_chainstay-brake-1_left"].tubes
    metal = bodies["chainstay-brake-1_left"].tubes[0]
    assert head.axis.start[2] < metal.axis.start[2]  # below the stay, the caliper above it
    (caliper,) = [b for b in rear_brake(Placement(bike)) if isinstance(b, Body)]
    assert {"chainstay_left", "chainstay-brake-1_left"} <= set(caliper.touches)
    report = run_checks(scene_of(bike), names=frozenset({"caliper_to_frame"}))
    assert not any("chainstay_left" in (r.between or ()) for r in report.results)


def test_a_caliper_stands_on_its_post_mount_with_the_rotor_that_is_fitted() -> None:
    """Its block lies on the faces for the mount's own rotor, and 10 mm further out on one 20 larger."""
    found = {}
    for rotor in (180.0, 200.0):
        bike = mounted({"kind": "post_mount", "lean": 6}, rotor=rotor, mount_rotor=180)
        feature = of(bike, "brake", "left")
        (caliper,) = [b for b in rear_brake(Placement(bike)) if isinstance(b, Body)]
        assert {"chainstay_left", "chainstay-brake-1_left"} <= set(caliper.touches)
        found[rotor] = np.array(caliper.shapes[0].origin)
        faces = [one.face for one in towers(feature, bike.tube("chainstay_left"))]
        out = (found[rotor] - np.mean(faces, axis=0)) @ towers(
            feature, bike.tube("chainstay_left")
        )[0].way
        if rotor == 180.0:
            assert out == pytest.approx(36 / 2)
        bodies = {body.name: body for body in features(Placement(bike))}
        assert kind_of(bodies["chainstay-brake-1_left"]) == "frame"
    assert np.linalg.norm((found[200.0] - found[180.0])[[0, 2]]) == pytest.approx(10.0)


def test_posts_are_checked_against_the_rotor() -> None:
    """A face 14 wide, its bolt 12.5 mm beside the middle of a rotor of 1.8: 12.5 - 7 - 0.9."""
    report = run_checks(
        scene_of(mounted({"kind": "post_mount", "lean": 6})), names=frozenset({"rotor_to_frame"})
    )
    gaps = [r.least for r in report.results if "chainstay-brake-2_left" in (r.between or ())]
    assert gaps == [pytest.approx(4.6, abs=2e-3)]
