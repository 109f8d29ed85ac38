"""Overrides: any key, the same checks, and faults that name the override as typed."""

from __future__ import annotations

import pytest

from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters import loads
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.tubes import ButtedSpec
from frame3d.parameters.starters.starter import starter

BIKE = starter("Test")


def with_sets(*sets: str) -> FrameSpec:
    return loads(BIKE, "bike.yaml", sets)


def fault_of(*sets: str) -> Fault:
    with pytest.raises(SpecError) as caught:
        with_sets(*sets)
    assert len(caught.value.faults) == 1, str(caught.value)
    return caught.value.faults[0]


def test_a_figure() -> None:
    assert with_sets("geometry.head_tube_angle=64").geometry.head_tube_angle == 64
    assert with_sets(" geometry . head_tube_angle = 64.5").geometry.head_tube_angle == 64.5
    assert loads(BIKE).geometry.head_tube_angle == 65.5


def test_a_standard_size() -> None:
    wheel = with_sets("build.front_wheel.tyre=57-584").build.front_wheel
    assert wheel is not None
    assert (wheel.tyre, wheel.hub) == ("57-584", "110x15")


def test_a_mapping() -> None:
    wall = "{butted: [0.8, 0.5, 0.8], lengths: [80, 100], transition: 40}"
    made = with_sets(f"tubes.down_tube.wall={wall}").tubes["down_tube"].wall
    assert made == ButtedSpec(butted=(0.8, 0.5, 0.8), lengths=(80, 100), transition=40)


def test_one_step_into_a_list_and_its_end() -> None:
    bends = (
        with_sets(
            "tubes.chainstay.bends.0.radius=200",
            "tubes.chainstay.bends.1={along: 250, radius: 300}",
        )
        .tubes["chainstay"]
        .bends
    )
    assert [(b.along, b.radius) for b in bends] == [(110, 200), (250, 300)]
    assert with_sets("tubes.chainstay.bends.0=null").tubes["chainstay"].bends == ()


def test_parents_that_are_missing_are_made() -> None:
    text = "format: 1\nname: Test\ngeometry:\n"
    spec = loads(text, sets=["geometry.reach=455", "build.fork.travel=120", "tubes.a.od=1"][:2])
    assert spec.geometry.reach == 455
    assert spec.build.fork is not None
    assert spec.build.fork.travel == 120


def test_null_takes_a_key_out() -> None:
    assert with_sets("geometry.bb_drop=null").geometry.bb_drop is None
    assert "seatstay_bridge" not in with_sets("tubes.seatstay_bridge=null").tubes
    assert with_sets("build.rider=~").build.rider is None
    # what is absent already may be taken out, but not what the format does not know
    assert with_sets("geometry.trail=null").geometry.trail is None
    assert fault_of("geometry.trial=null").code == "unknown-key"
    assert fault_of("tubes.seatstay_brigde=null").code == "wrong-type"


def test_the_last_one_holds() -> None:
    assert with_sets("geometry.reach=400", "geometry.reach=410").geometry.reach == 410


def test_a_fault_that_an_override_mends_is_none() -> None:
    text = "format: 1\nname: ../b\ngeometry: {reach: 0455, trail: 1:30}\n"
    spec = loads(text, sets=["name=Good", "geometry.reach=455", "geometry.trail=null"])
    assert (spec.name, spec.geometry.reach, spec.geometry.trail) == ("Good", 455, None)


def test_swaps_come_after_sets_and_are_named_so() -> None:
    spec = loads(BIKE, "bike.yaml", ["build.fork.offset=40"], ["build.fork.offset=50"])
    assert spec.build.fork is not None
    assert spec.build.fork.offset == 50
    assert spec.place("build.fork.offset") == SourceLocation("--swap build.fork.offset=50")
    with pytest.raises(SpecError) as caught:
        loads(BIKE, "bike.yaml", (), ["build.fork.offset=50mm"])
    assert str(caught.value).startswith("--swap build.fork.offset=50mm: build.fork.offset: ")


def test_an_override_of_an_aliased_part_leaves_the_other_alone() -> None:
    text = """\
format: 1
name: Test
geometry: {}
build:
  front_wheel: &w {tyre: 61-622}
  rear_wheel: *w
"""
    build = loads(text, sets=["build.rear_wheel.tyre=57-584"]).build
    assert build.front_wheel is not None
    assert build.rear_wheel is not None
    assert (build.front_wheel.tyre, build.rear_wheel.tyre) == ("61-622", "57-584")


def test_places() -> None:
    spec = with_sets("geometry.head_tube_angle=64", "build.stem={length: 50}")
    typed = SourceLocation("--set geometry.head_tube_angle=64")
    assert spec.place("geometry.head_tube_angle") == typed
    assert spec.place("build.stem.length") == SourceLocation("--set build.stem={length: 50}")
    reach = spec.place("geometry.reach")
    assert reach is not None
    assert reach.source == "bike.yaml"
    assert spec.fault("contradictory", "geometry.head_tube_angle", "no").render() == (
        "--set geometry.head_tube_angle=64: geometry.head_tube_angle: no [contradictory]"
    )


@pytest.mark.parametrize(
    ("typed", "code", "path", "message", "hint"),
    [
        ("geometry.reach=64mm", "wrong-unit", "geometry.reach", "has a unit", "write 64"),
        ("geometry.raech=64", "unknown-key", "geometry.raech", "unknown", "did you mean reach?"),
        ("reach=455", "unknown-key", "reach", "unknown", "geometry.reach"),
        ("geometry.reach=9", "out-of-range", "geometry.reach", "below 50", "from 50 to 800"),
        ("geometry.reach=0_9", "yaml-trap", "geometry.reach", "octal", "write 9"),
        ("name=on", "yaml-trap", "name", "readers", "quotes"),
        ("geometry.reach=.inf", "not-finite", "geometry.reach", "finite", "455"),
        ("name=../a", "bad-name", "name", "dot", "letters"),
        ("build.rear_wheel.hub=148", "wrong-type", "build.rear_wheel.hub", "no text", "quotes"),
        (
            "tubes.top_tube.od={height: 3}",
            "missing-key",
            "tubes.top_tube.od.width",
            "missing",
            "17",
        ),
        ("geometry.reach", "override", "", "KEY=VALUE", "--set geometry.reach=455"),
        ("=455", "override", "", "KEY=VALUE", "--set"),
        ("geometry..reach=455", "override", "", "KEY=VALUE", "--set"),
        ("geometry.reach=", "override", "geometry.reach", "nothing stands after =", "=null"),
        ("colour=#aabbcc", "override", "colour", "nothing", 'colour="#aabbcc"'),
        ("geometry.reach.x=4", "override", "geometry.reach", "is 455", "set the whole"),
        (
            "tubes.chainstay.bends.2=1",
            "override",
            "tubes.chainstay.bends",
            "without 2",
            "1 appends",
        ),
        ("tubes.chainstay.bends.-1=1", "override", "tubes.chainstay.bends", "without -1", "0 to 0"),
        ("tubes.chainstay.bends.1=null", "override", "tubes.chainstay.bends", "nothing", "0 to 0"),
        ("a." * 30 + "b=1", "override", "", "deeper", "geometry.reach"),
        ("name={a: 1", "yaml-syntax", "", "not closed", "{key: value"),
        ("name=!!python/name:x y", "yaml-tag", "", "!!python/name:x", "take the tag out"),
        ("name=a\x07b", "override", "name", "U+0007", ""),
        ("geometry={reach: 1, reach: 2}", "duplicate-key", "reach", "twice", "keep one"),
    ],
)
def test_faults(typed: str, code: str, path: str, message: str, hint: str) -> None:
    fault = fault_of(typed)
    assert (fault.code, fault.path) == (code, path)
    assert message in fault.message
    assert hint in fault.hint
    assert fault.place == SourceLocation(f"--set {typed}".replace("\x07", "?"))
    assert fault.render().startswith(f"{fault.place.source}: ")


def test_faults_of_file_and_overrides_come_together_overrides_last() -> None:
    text = "format: 1\nname: Test\ngeometry: {reach: x}\n"
    with pytest.raises(SpecError) as caught:
        loads(text, "bike.yaml", ["geometry.stack=y", "oops", "geometry.trail=200"])
    shown = [f.place.source for f in caught.value.faults if f.place is not None]
    assert shown == ["bike.yaml", "--set oops", "--set geometry.stack=y"]


def test_an_empty_file_can_be_filled_by_overrides_alone() -> None:
    assert loads("", sets=["format=1", "name=T", "geometry={}"]).name == "T"


def test_a_long_override_is_shown_in_part() -> None:
    fault = fault_of("geometry.reach=" + "x" * 5000)
    assert fault.place is not None
    assert len(fault.place.source) < 250
