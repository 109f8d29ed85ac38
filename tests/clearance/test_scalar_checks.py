"""Checks of single figures, by hand."""

from __future__ import annotations

import math

import pytest
from ruamel.yaml import YAML

from frame3d.bike.exchange import exchange_values
from frame3d.bike.solve import solve
from frame3d.bike.weight import front_share
from frame3d.clearance.advice.remedies import Remedies
from frame3d.clearance.check import run_checks
from frame3d.clearance.result import Result, Unchecked
from frame3d.clearance.scalar_checks import FIGURE_CHECKS
from frame3d.clearance.scene import scene_of
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.requirements import REQUIREMENTS
from frame3d.rider.posture import place_rider
from tests.clearance.test_check import MINIMAL, scene_with


def test_the_front_load_is_taken_with_the_saddle_rearmost_or_says_that_it_is_not() -> None:
    """ISO 4210-2 4.7.5: saddle and rider rearmost. 60 mm of rails and 10 mm ahead: 40 mm back."""
    names = frozenset({"front_load"})
    (placed,) = run_checks(scene_with(), names=names).results
    assert "not rearmost" in placed.note
    scene = scene_with("build.saddle.rails=60", "build.saddle.forward=10")
    (rearmost,) = run_checks(scene, names=names).results
    assert "rearmost, 40 mm behind" in rearmost.note
    stance = scene.bike.sagged
    assert stance is not None
    x, y, z = stance.nodes["saddle"]
    back = {**stance.nodes, "saddle": (x - 40, y, z)}
    by_hand = place_rider(scene.spec, back, stance.chart, pitch=stance.pitch).seated
    assert by_hand is not None
    assert rearmost.gap == pytest.approx(100 * front_share(scene.bike, by_hand, sagged=True))
    assert rearmost.gap < placed.gap - 1


def test_the_law_on_toe_clearance_reads_as_it_is() -> None:
    """16 CFR 1512.17(d): bicycles without positive foot retention need 89 mm (published)."""
    source = REQUIREMENTS["toe_to_front_tyre"].source
    assert "89 mm for bicycles without positive foot retention" in source


def test_standover_room_is_measured_where_the_file_says() -> None:
    """Over the bottom bracket as the chart has it; 60 mm ahead by the demo's straight top tube."""
    names = frozenset({"standover_room"})
    plain, ahead = scene_with(), scene_with("clearance.standover_ahead=60")
    (over,), (further,) = (run_checks(s, names=names).results for s in (plain, ahead))
    inseam, chart = plain.spec.build.rider.inseam, plain.bike.chart  # type: ignore[union-attr]
    assert over.gap == pytest.approx(inseam - chart["standover"])  # type: ignore[operator]
    assert "over the bottom bracket" in over.note
    (px, _, pz), (qx, _, qz) = (
        getattr(plain.bike.tube("top_tube").axis, e) for e in ("start", "end")
    )
    assert over.gap - further.gap == pytest.approx(60 * (qz - pz) / (qx - px))
    assert "60 mm ahead of the bottom bracket" in further.note
    # With a longer fork the frame pitches, and the place is level ahead on the ground that it stands on.
    scene = scene_of(exchange_values(ahead.bike, {"build.fork.axle_to_crown": 560}))
    (pitched,) = run_checks(scene, names=names).results
    (px, _, pz), (qx, _, qz) = (
        getattr(scene.bike.tube("top_tube").axis, e) for e in ("start", "end")
    )
    over_bb = scene.bike.chart["standover"]
    assert over_bb is not None
    assert over_bb > chart["standover"] + 5  # type: ignore[operator]
    by_hand = inseam - over_bb - 60 * (qz - pz) / (qx - px)
    assert pitched.gap == pytest.approx(by_hand)
    (missing,) = run_checks(scene_with("clearance.standover_ahead=500"), names=names).unchecked
    assert "passes 500 mm ahead" in missing.why


POST = frozenset({"seatpost_exposure", "seatpost_insertion", "seatpost_room"})


def posts(*sets: str) -> dict[str, Result]:
    return {r.name: r for r in run_checks(scene_with(*sets), names=POST).results}


def test_a_post_cannot_drop_through_its_own_collar_and_head() -> None:
    """245 mm of exposure, 20 of collar, 35 of head: 190 mm of travel, not 240."""
    found = posts("build.seatpost.travel=240")["seatpost_exposure"]
    assert not found.ok
    assert found.gap == pytest.approx(245 - 240 - 20 - 35)
    assert posts("build.seatpost.travel=190")["seatpost_exposure"].ok
    assert not posts("build.seatpost.travel=190.5")["seatpost_exposure"].ok
    scene = scene_with("build.seatpost.travel=240")
    assert "build.seatpost.travel -50 mm (to 190)" in Remedies(scene, run_checks(scene)).mends(
        found
    )


def test_a_post_needs_room_for_actuator_and_cable() -> None:
    """410 mm down to the shell; 5 mm are asked for below actuator and cable."""
    assert posts("build.seatpost.insertion=350")["seatpost_room"].ok
    short = posts("build.seatpost.insertion=351")["seatpost_room"]
    assert short.gap == pytest.approx(410 - 55 - 351)
    assert not short.ok
    assert posts("build.seatpost.insertion=351", "build.seatpost.actuator=0")["seatpost_room"].ok


def test_the_files_own_mark_decides() -> None:
    assert posts("build.seatpost.insertion=64")["seatpost_insertion"].ok
    marked = posts("build.seatpost.insertion=64", "build.seatpost.least_insertion=100")
    assert marked["seatpost_insertion"].gap == pytest.approx(-36)
    assert "own mark" in marked["seatpost_insertion"].note


def figure(name: str, *sets: str) -> Result | Unchecked:
    (found,) = FIGURE_CHECKS[name](scene_with(*sets))
    return found


@pytest.mark.parametrize(
    ("name", "left_out", "needs"),
    [
        ("toe_to_front_tyre", "build.pedal=null", "build.pedal"),
        ("pedal_to_ground", "build.pedal=null", "build.pedal"),
        ("chainring_to_ground", "build.chainring=null", "build.chainring"),
        ("standover_room", "build.rider=null", "build.rider.inseam"),
        ("front_load", "build.rider=null", "build.rider.height"),
        ("seatpost_room", "build.seatpost.insertion=null", "build.seatpost.insertion"),
        ("seatpost_insertion", "build.seatpost.insertion=null", "build.seatpost.insertion"),
        ("seatpost_exposure", "build.seatpost.diameter=null", "build.seatpost.diameter"),
    ],
)
def test_a_figure_without_its_parts_says_what_they_are(
    name: str, left_out: str, needs: str
) -> None:
    found = figure(name, left_out)
    assert isinstance(found, Unchecked)
    assert found.name == name
    assert needs in found.why
    assert isinstance(figure(name), Result)


def test_the_chainring_over_the_ground_at_full_travel() -> None:
    """More teeth of 12.7 mm pitch: the pitch circle is p / sin(180° / z) (ISO 606). Less travel: the
    frame pitches about the rear axle, and the bottom bracket sinks by its share of the wheelbase.
    """
    plain, larger, shorter = (
        figure("chainring_to_ground", *sets)
        for sets in ((), ("build.chainring.teeth=36",), ("build.fork.travel=70",))
    )
    assert isinstance(plain, Result)
    assert isinstance(larger, Result)
    assert isinstance(shorter, Result)
    scene = scene_with()
    assert scene.spec.build.chainring is not None
    teeth = scene.spec.build.chainring.teeth
    circles = [12.7 / 2 / math.sin(math.pi / n) for n in (teeth, 36)]
    assert plain.gap - larger.gap == pytest.approx(circles[1] - circles[0], abs=1e-6)
    setback, base = scene.bike.nodes["rear_axle"][0], scene.bike.chart["wheelbase"]
    angle = scene.bike.chart["head_tube_angle"]
    assert base is not None
    assert angle is not None
    assert scene.spec.build.fork is not None
    sunk = (scene.spec.build.fork.travel - 70) * math.sin(math.radians(angle)) * -setback / base
    assert shorter.gap - plain.gap == pytest.approx(sunk, rel=0.15)
    assert plain.note == "at full travel"
    assert plain.at == {"fork": scene.spec.build.fork.travel}


def test_a_toe_that_is_never_reached_passes() -> None:
    found = figure("toe_to_front_tyre", "clearance.steering=1")
    assert isinstance(found, Result)
    assert found.ok
    assert "never comes abreast" in found.note
    assert found.points is None


def test_the_post_needs_its_seat_tube() -> None:
    """A bike without a seat tube has nowhere to put the post."""
    data = YAML(typ="safe", pure=True).load(MINIMAL.read_text())
    data["build"] = data.get("build", {}) | {"seatpost": {"diameter": 31.6, "insertion": 150}}
    scene = scene_of(solve(FrameSpec.model_validate(data)))
    for name in POST:
        (found,) = FIGURE_CHECKS[name](scene)
        assert isinstance(found, Unchecked)
        assert "tubes.seat_tube" in found.why
