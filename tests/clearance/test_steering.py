"""How far the bar turns: all the way round, to a stop, or no further than the file asks; every result says which."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.bodies.motion.pose import Pose
from frame3d.bodies.motion.pose_text import pose_at
from frame3d.clearance.advice.remedies import Remedies
from frame3d.clearance.certify.distance import nearest
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.check import run_checks
from frame3d.clearance.scene import Scene, scene_of
from frame3d.cli import commands, screen
from frame3d.errors import SpecError
from frame3d.fabrication.parts_list import items_of
from frame3d.formats import documents
from frame3d.formats.animation import strokes_of
from frame3d.parameters.models.steering import steering_of
from frame3d.parameters.reading.reader import load

CONFIGS = Path(__file__).parents[2] / "configs"
HARDTAIL = CONFIGS / "trail_hardtail_29.yaml"
FORK = frozenset({"fork_to_frame"})
LOW = (
    "tubes.down_tube.end.above_bottom=40",
    "tubes.down_tube.bends=[{along: 640, rise: 14, radius: 300}]",
)
"""A down tube that the fork's knobs, crown and legs turn into."""


def scene(*sets: str, demo: str = "trail_hardtail_29") -> Scene:
    return scene_of(solve(load(CONFIGS / f"{demo}.yaml", sets=sets)))


@pytest.mark.parametrize(
    ("sets", "checked", "turns", "by"),
    [
        ((), 180, 180, "nothing"),
        (("build.headset.stop=75",), 75, 75, "headset"),
        (("build.bumper={stop: 70}",), 70, 70, "bumper"),
        (("build.bumper={stop: 70}", "build.headset.stop=65"), 65, 65, "headset"),
        (("build.bumper={stop: 70}", "build.headset.stop=80"), 70, 70, "bumper"),
        (("clearance.steering=60",), 60, 180, "nothing"),
        (("clearance.steering=60", "build.headset.stop=75"), 60, 75, "headset"),
        (("clearance.steering=180", "build.headset.stop=75"), 75, 75, "headset"),
    ],
)
def test_the_bar_turns_to_the_first_stop(
    sets: tuple[str, ...], checked: float, turns: float, by: str
) -> None:
    bike = scene(*sets)
    found = steering_of(bike.spec)
    assert (found.checked, found.turns, found.by) == (checked, turns, by)
    assert found.partly == (checked < turns)
    assert bike.ranges(["steer"]) == (Range("steer", -checked, checked),)


def test_every_bar_angle_is_searched() -> None:
    """A down tube that joins low meets the fork's knob far beyond 60°: as measured position by position."""
    bike = scene(*LOW)
    found = next(
        r
        for r in run_checks(bike, names=FORK).results
        if r.between == ("fork_knob_left", "down_tube")
    )
    tube, knob = bike.body("down_tube"), bike.body("fork_knob_left")
    assert tube is not None
    assert knob is not None
    held = {
        float(a): min(
            nearest(t, s, (Range("steer", float(a), float(a)),)).gap
            for t in tube.tubes
            for s in knob.shapes
        )
        for a in np.arange(-180.0, 181.0, 4.0)
    }
    least = min(held, key=lambda a: held[a])
    assert abs(least) > 90
    assert found.gap < 0
    assert found.gap - found.error <= held[least]
    assert found.gap == pytest.approx(
        held[least], abs=0.3
    )  # 2° of a 76 mm arm, at its turning point
    assert abs(found.at["steer"]) == pytest.approx(abs(least), abs=4)


def test_a_stop_leaves_out_what_lies_beyond_it() -> None:
    """The full demo's fork would turn into the down tube, but for the bumper."""
    with_bumper = run_checks(scene(demo="trail_full_140"), names=FORK)
    assert with_bumper.ok
    assert max(abs(r.at["steer"]) for r in with_bumper.results) <= 75
    free = run_checks(scene("build.bumper=null", demo="trail_full_140"), names=FORK)
    assert not free.ok
    assert all(abs(r.at["steer"]) > 85 for r in free.results if not r.ok)


def test_a_stop_is_offered_where_one_mends() -> None:
    """The pair holds with the stop that is offered for it, and not 5 degrees further."""
    bike = scene(*LOW)
    report = run_checks(bike, names=FORK)
    knob = next(r for r in report.results if not r.ok)
    (offer,) = [mend for mend in Remedies(bike, report).mends(knob) if "stop" in mend]
    stop = int(offer.split()[1])
    assert 60 <= stop < abs(knob.at["steer"])
    for angle, ok in ((stop, True), (stop + 5, False)):
        results = run_checks(scene(*LOW, f"build.bumper.stop={angle}"), names=FORK).results
        assert [r.ok for r in results if r.between == knob.between] == [ok]


def test_a_narrower_range_says_that_beyond_it_nothing_was_checked() -> None:
    bike = scene("clearance.steering=60")
    report = run_checks(bike, names=FORK)
    assert "further was not checked" in screen.checked(bike.bike, report)
    steering = documents.check_document(report)["steering"]
    assert (steering["checked"], steering["turns"]) == (60, 180)
    assert steering["stopped_by"] is None


@pytest.mark.parametrize(
    ("demo", "words"),
    [
        ("trail_hardtail_29", "nothing stops the bar: checked over the whole turn"),
        ("trail_full_140", "bumper on down_tube stops the fork at 75°"),
        ("adventure_rigid", "the headset's stop is at 80°"),
    ],
)
def test_the_screen_says_what_stops_the_bar(demo: str, words: str) -> None:
    bike = scene(demo=demo)
    assert words in screen.checked(bike.bike, run_checks(bike, names=FORK))


def test_a_bike_without_a_fork_says_nothing_of_steering() -> None:
    bike = scene(demo="minimal")
    report = run_checks(bike)
    assert report.steering is None
    assert "Steering" not in screen.checked(bike.bike, report)
    assert documents.check_document(report)["steering"] is None


@pytest.mark.parametrize(
    ("demo", "line"),
    [
        ("adventure_rigid", ("headset, steering stop", "80° to each side")),
        ("trail_full_140", ("fork bumper", "on down tube, meets the fork's crown at 75°")),
    ],
)
def test_the_parts_list_has_the_stop(demo: str, line: tuple[str, str]) -> None:
    listed = {(item.what, item.size) for item in items_of(scene(demo=demo).bike, ())}
    assert line in listed


def test_a_pose_beyond_the_stop_is_refused() -> None:
    full = scene(demo="trail_full_140").bike
    assert pose_at(full, "steer=-75") == Pose(steer=-75)
    with pytest.raises(SpecError, match="from -75 to 75 degrees: the bumper stops the bar there"):
        pose_at(full, "steer=76")
    assert pose_at(scene().bike, "steer=180") == Pose(steer=180)


@pytest.mark.parametrize(
    ("sets", "far"), [((), 90), (("build.headset.stop=70",), 70), (("clearance.steering=60",), 90)]
)
def test_animations_turn_the_bar_as_a_rider_does(sets: tuple[str, ...], far: float) -> None:
    (steering,) = [s for s in strokes_of(scene(*sets).bike) if s.motion == "steer"]
    assert steering.stops == (0, far, -far, 0)


def test_toes_are_measured_as_far_as_somebody_pedals() -> None:
    """The same at a whole turn as at ±60°: the rear edge is nearest to the foot at some 26°."""
    toe = frozenset({"toe_to_front_tyre"})
    (whole,) = run_checks(scene(), names=toe).results
    (narrow,) = run_checks(scene("clearance.steering=60"), names=toe).results
    assert whole.gap == pytest.approx(narrow.gap, abs=1e-6)


@pytest.mark.parametrize(
    ("sets", "words"),
    [
        (["build.bumper={on: downtube, stop: 70}"], "did you mean down_tube"),
        (["build.bumper={stop: 5}"], "build.bumper.stop"),
        (["build.headset.stop=0"], "build.headset.stop"),
        (["build.bumper={on: down_tube}"], "build.bumper.stop"),
    ],
)
def test_stops_that_cannot_be(sets: list[str], words: str) -> None:
    with pytest.raises(SpecError) as caught:
        load(HARDTAIL, sets=sets)
    assert any(words in fault.render() for fault in caught.value.faults)


def test_a_bumper_stands_on_the_front_frame() -> None:
    with pytest.raises(SpecError, match="no tube of the front frame chainstay"):
        load(CONFIGS / "trail_full_140.yaml", sets=["build.bumper.on=chainstay"])


def test_json_has_the_steering(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        commands.main(["check", str(CONFIGS / "adventure_rigid.yaml"), "--json"])
    assert left.value.code == 0
    steering = json.loads(capsys.readouterr().out)["steering"]
    assert steering["stopped_by"] == "headset"
    assert (steering["turns"], steering["checked"]) == (80, 80)
