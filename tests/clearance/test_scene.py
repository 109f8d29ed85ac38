"""The bike with its parts, its limits and its boxes, ready to be checked."""

from __future__ import annotations

import pytest

from frame3d.bike.solve import solve
from frame3d.bodies.motion.mounts import MOTIONS
from frame3d.clearance.check import run_checks
from frame3d.clearance.memory import fingerprint
from frame3d.clearance.result import Report
from frame3d.clearance.scene import Scene, scene_of
from frame3d.parameters.reading.reader import load, loads
from frame3d.parameters.requirements import REQUIREMENTS
from tests.clearance.test_check import DEMO, scene_with


def test_an_own_limit_overrides_the_default_and_says_so() -> None:
    report = run_checks(
        scene_with("clearance.rear_tyre_to_frame=30"), names=frozenset({"rear_tyre_to_frame"})
    )
    assert not report.ok
    assert {r.required for r in report.results} == {30}
    assert all("own limit" in r.source for r in report.results)


def test_racing_tyres_ask_for_less() -> None:
    """ISO 4210-2, value from memory: tyres of at most 28 mm, several grips, at most 12 kg."""

    def limit(width: int, *sets: str) -> tuple[float, str]:
        tyres = (f"build.{end}_wheel.tyre={width}-622" for end in ("front", "rear"))
        return scene_with(*tyres, *sets).required("rear_tyre_to_frame")

    racing = ("build.handlebar.drop=120", "build.bike_mass_kg=8")
    asked, source = limit(28, *racing)
    assert asked == 4
    assert source.startswith("ISO 4210-2")
    # What the tyre grows by in use does not make another bicycle of it.
    assert limit(28, *racing, "build.rear_wheel.growth=3")[0] == 4
    assert limit(30, *racing)[0] == 6
    assert limit(28, "build.handlebar.drop=0", "build.bike_mass_kg=8")[0] == 6
    assert limit(28, "build.handlebar.drop=120", "build.bike_mass_kg=12.5")[0] == 6
    assert scene_with().required("rear_tyre_to_frame")[0] == 6


def test_motions_that_cannot_move_have_no_range(scene: Scene) -> None:
    """A hardtail's wheel stays; fork, bar, cranks and heels move as far as the file says."""
    found = {r.name: (r.low, r.high) for r in scene.ranges(MOTIONS)}
    spec = scene.spec
    assert spec.build.fork is not None
    assert found == {
        "fork": (0.0, spec.build.fork.travel),
        "steer": (-scene.steering.checked, scene.steering.checked),
        "crank": (0.0, 360.0),
        "heel": (-spec.clearance.heel_swing, spec.clearance.heel_swing),
    }
    assert scene.ranges(("rear",)) == ()
    full = scene_of(solve(load(DEMO.with_name("trail_full_140.yaml"))))
    assert full.bike.linkage is not None
    (rear,) = full.ranges(("rear",))
    assert (rear.low, rear.high) == (0.0, full.bike.linkage.full_travel)


def test_bodies_by_name_by_start_and_by_kind(scene: Scene) -> None:
    assert scene.body("rear_tyre") in scene.bodies
    assert scene.body("moon") is None
    assert {b.name for b in scene.named("chainstay")} == {
        "chainstay_left", "chainstay_right", "chainstay_bridge",
    }  # fmt: skip
    assert [b.name for b in scene.named("rear_tyre")] == ["rear_tyre"]
    kinds = [body for bodies in scene.kinds.values() for body in bodies]
    assert sorted(b.name for b in kinds) == sorted(b.name for b in scene.bodies)
    frame = {b.name for b in scene.frame()}
    dropouts = {"rear_dropout_left", "rear_dropout_right"}
    assert frame == {t.name for t in scene.bike.tubes} | {"bottom_bracket"} | dropouts
    assert scene.lines["chainstay_left"] == scene.lines["chainstay_right"]


def test_boxes_tell_less_than_the_gap(scene: Scene, report: Report) -> None:
    """A lower bound of every measured gap, over all motions; nought where boxes overlap."""
    known = {b.name: b for b in scene.bodies}
    pairs = [
        (known[r.between[0]], known[r.between[1]], r.gap)
        for r in report.results
        if r.between is not None and set(r.between) <= set(known)
    ]
    assert len(pairs) > 30
    for apart, (_, _, gap) in zip(scene.apart([p[:2] for p in pairs]), pairs, strict=True):
        assert apart <= max(gap, 0.0) + 1e-9
    far = scene.apart([(known["rear_tyre"], known["stem"])])[0]
    assert 200 < far < 1000


def test_other_values_make_another_scene_and_leave_this_one(scene: Scene) -> None:
    swapped = scene.with_parts({"build.rear_wheel.tyre": "57-622"})
    lengths = [s.bike.frame.tubes[0].axis.length for s in (swapped, scene)]
    assert lengths[0] == pytest.approx(lengths[1])
    assert swapped.spec.build.rear_wheel != scene.spec.build.rear_wheel
    longer = scene.redesigned({"geometry.reach": 470.0})
    assert longer.bike.chart["reach"] == pytest.approx(470)
    assert scene.bike.chart["reach"] != pytest.approx(470)
    assert swapped.tolerance == longer.tolerance == scene.tolerance


def test_a_limit_says_where_it_is_from(scene: Scene) -> None:
    for name, requirement in REQUIREMENTS.items():
        if scene.spec.clearance.limit(name) is None:
            assert scene.required(name) == (requirement.limit, requirement.source)
    text = DEMO.read_text() + "clearance: {rear_tyre_to_frame: 7}\n"
    own = scene_of(solve(loads(text, "bike.yaml")))
    limit, source = own.required("rear_tyre_to_frame")
    assert limit == 7
    assert source == f"the file's own limit, line {text.count(chr(10))}"
    assert scene_with("clearance.rear_tyre_to_frame=7").required("rear_tyre_to_frame")[1] == (
        "the file's own limit"
    )


@pytest.mark.parametrize("demo", ["trail_full_140", "trail_hardtail_29"])
def test_some_bodies_are_those_of_the_whole(demo: str) -> None:
    """What is made of a tried bike for one gap is, to the last bit, what the full check has."""
    bike = solve(load(DEMO.with_name(f"{demo}.yaml")))
    whole, tried = scene_of(bike), Scene(bike, 0.01)
    names = [body.name for body in whole.bodies][::5]
    for name, body in zip(names, tried.some(*names), strict=True):
        expected = whole.body(name)
        assert body is not None
        assert expected is not None
        assert fingerprint(body) == fingerprint(expected), name
    assert tried.some("no_such_body") == (None,)
    assert [b.name for b in tried.bodies] == [b.name for b in whole.bodies]
