from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from frame3d.bike.exchange import exchange
from frame3d.errors import MockupError, SpecError
from frame3d.geometry.vector import vector
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.model import assembled, level, model
from frame3d.mockup.options import KITS, PEG, ROD, WALL, Options
from frame3d.mockup.part import ModelPart
from frame3d.mockup.read_options import pose_of, read_options
from frame3d.mockup.solid import bounds
from frame3d.parameters.reading.reader import load
from tests.mockup.samples import FULL, HARDTAIL, RIGID, drawing, layout, made

X, Y, Z = np.eye(3)


def part(name: str, **wishes: object) -> ModelPart:
    return next(p for p in made(**wishes).parts if p.name == name)  # type: ignore[arg-type]


def test_parts_by_kit() -> None:
    names = {p.name for p in made().parts}
    assert names == {
        "frame", "fork", "steerer", "cockpit", "saddle", "crank_spindle", "chainring", "stand", "name_plate",
        *(f"{end}_{what}" for end in ("front", "rear") for what in ("tyre", "wheel_left", "wheel_right", "axle")),
        *(f"{what}_{side}" for what in ("crank_arm", "pedal") for side in ("left", "right")),
    }  # fmt: skip
    assert {p.name for p in made(kits="frame").parts} == {"frame", "stand", "name_plate"}
    assert {p.name for p in made(kits="saddle").parts} == {"frame", "saddle", "stand", "name_plate"}


def test_every_joint_names_parts() -> None:
    names = {p.name for p in made().parts}
    for joint in made().joints:
        assert {joint.peg, joint.hole} <= names
        assert np.linalg.norm(joint.along) == pytest.approx(1.0)
        assert joint.diameter >= PEG or joint.peg == "name_plate"


@pytest.mark.parametrize("file", [HARDTAIL, RIGID], ids=lambda f: f.stem)
def test_no_two_parts_overlap(file: object) -> None:
    parts = made(file).parts  # type: ignore[arg-type]
    for a, b in combinations(parts, 2):
        assert (a.solid ^ b.solid).volume() < 0.01, (a.name, b.name)


@pytest.mark.parametrize(("fit", "turn"), [(0.05, 0.05), (0.5, 1.0)])
def test_clearances_at_the_ends_of_their_ranges(fit: float, turn: float) -> None:
    """Parts stay apart, and each stays in one piece."""
    for one in made(fit=fit, turn=turn, stand=False).parts:
        assert len([p for p in one.solid.decompose() if p.volume() > 0.1]) == 1, one.name


def test_wheels_turn() -> None:
    """With their tyres, against everything else."""
    parts = {p.name: p for p in made().parts}
    for end in ("front", "rear"):
        names = [f"{end}_{what}" for what in ("tyre", "wheel_left", "wheel_right")]
        axle = made().drawing.axle(end)
        others = [p.solid for n, p in parts.items() if n not in names]
        for angle in (7.0, 100.0, 231.0):
            for name in names:
                turned = (
                    parts[name]
                    .solid.translate(tuple(-axle))
                    .rotate((0, angle, 0))
                    .translate(tuple(axle))
                )
                assert sum((turned ^ other).volume() for other in others) < 0.05, (name, angle)


def test_cranks_turn() -> None:
    """Over the whole turn, above the stand's desk too."""
    parts = {p.name: p for p in made().parts}
    own = [n for n in parts if n.startswith(("crank", "chainring", "pedal"))]
    others = [p.solid for n, p in parts.items() if n not in own]
    for angle in range(0, 360, 30):
        for name in own:
            turned = parts[name].solid.rotate((0, float(angle), 0))
            assert sum((turned ^ other).volume() for other in others) < 0.05, (name, angle)


def test_the_bar_steers() -> None:
    parts = {p.name: p for p in made(stand=False).parts}
    race, up = made().drawing.node("crown_race"), made().drawing.place.up
    own = [n for n in parts if n.startswith(("front", "fork", "steerer", "cockpit"))]
    cross = np.array([[0, -up[2], up[1]], [up[2], 0, -up[0]], [-up[1], up[0], 0]])
    for angle in np.radians([-30.0, 12.0, 30.0]):
        turn = np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross
        motion = np.column_stack([turn, race - turn @ race])
        for name in own:
            moved = parts[name].solid.transform(motion)
            for other, p in parts.items():
                if other not in own:
                    assert (moved ^ p.solid).volume() < 0.05, (name, other)


def test_the_tyre_keys_both_halves() -> None:
    """Turned against the tyre, a half hits its rib; without turning it slides in from its side."""
    axle = made().drawing.axle("front")
    tyre = part("front_tyre").solid
    for side, sign in (("left", 1.0), ("right", -1.0)):
        half = part(f"front_wheel_{side}").solid
        for out in (0.0, 1.0, 5.0, 20.0):
            assert (half.translate((0, sign * out, 0)) ^ tyre).volume() < 1e-6
        assert (half.translate((0, -sign * 2.0, 0)) ^ tyre).volume() > 1.0
        turned = half.translate(tuple(-axle)).rotate((0, 8.0, 0)).translate(tuple(axle))
        assert (turned ^ tyre).volume() > 0.5


@pytest.mark.parametrize(
    ("pin", "hole"), [("crank_spindle", "crank_arm_left"), ("saddle", "frame"), ("steerer", "fork")]
)
def test_keyed_pins_go_in_one_way_only(pin: str, hole: str) -> None:
    joint = next(j for j in made().joints if (j.peg, j.hole) == (pin, hole))
    turn = 2 * np.outer(joint.along, joint.along) - np.eye(3)
    about = np.column_stack([turn, joint.at - turn @ joint.at])
    assert (part(hole).solid.transform(about) ^ part(pin).solid).volume() > 0.5


def test_thickened_is_told() -> None:
    drawn = drawing()
    assembled(drawn)
    told = {(e.part, e.size): e for e in drawn.ledger.entries}
    spoke = told["front_wheel", "spoke diameter"]
    assert (spoke.scaled, spoke.printed) == pytest.approx((2 / 6, ROD))
    assert spoke.by == pytest.approx(ROD - 2 / 6)
    axle = told["rear_axle", "diameter"]
    assert (axle.scaled, axle.printed) == pytest.approx((12 / 6, PEG))
    assert told["chainring", "thickness"].printed == pytest.approx(WALL)
    assert all(e.printed > e.scaled for e in drawn.ledger.entries)
    assert len(told) == len(drawn.ledger.entries)


def test_every_size_that_grew_is_told() -> None:
    """At 1:12: sizes of the file's own, and common ones, below what prints."""
    drawn = Drawing(layout(FULL), Options(1 / 12, KITS))
    assembled(drawn)
    told = {(e.part, e.size): e for e in drawn.ledger.entries}
    for part, size, own in (
        ("pedal", "thickness", 18.0),
        ("crank_arm", "width at the spindle", 40.0),
        ("shock", "shaft's diameter", 16.0),
    ):
        assert told[part, size].scaled == pytest.approx(own / 12), part
        assert told[part, size].by > 0


def test_parts_that_run_into_each_other_are_named() -> None:
    with pytest.raises(MockupError) as caught:
        made(scale="1:30")
    assert {fault.code for fault in caught.value.faults} == {"inconsistent"}
    assert any("crank_spindle" in fault.message for fault in caught.value.faults)
    assert all(
        "1:30" in fault.message and "larger scale" in fault.hint for fault in caught.value.faults
    )


def test_a_bed_smaller_than_the_smallest_part() -> None:
    with pytest.raises(MockupError) as caught:
        made(bed="20x20x20", kits="fork,saddle", scale="1:12")
    (fault,) = caught.value.faults
    assert fault.code == "out-of-range"
    assert "leaves 14 x 14 x 20 mm" in fault.message
    assert "no cut makes these fit: " in fault.message
    for name in ("fork", "steerer", "stand", "name plate"):
        assert f"{name} (" in fault.message
    assert fault.place is not None
    assert fault.place.source == "--bed 20x20x20"


def test_a_pose_stands_level() -> None:
    """Fork half through its travel: nose down, wheels on one ground."""
    sunk = made(at="fork=50%")
    tyres = [bounds(p.solid)[0, 2] for p in sunk.parts if p.name.endswith("tyre")]
    assert tyres[0] == pytest.approx(tyres[1], abs=1e-6)
    turn = level(sunk.drawing)
    assert turn[0, 2] > 0.01
    plain = level(made().drawing)
    assert plain == pytest.approx(np.eye(4)[:3])
    heights = [m.envelope[1, 2] - m.envelope[0, 2] for m in (made(), sunk)]
    assert heights[1] < heights[0] - 1.0
    with pytest.raises(MockupError, match="steers by hand"):
        pose_of(layout(), "steer=20")
    with pytest.raises(SpecError):
        pose_of(layout(), "fork=500")


def test_cranks_at_a_pose() -> None:
    """A quarter turn on: the left pedal is below."""
    at = {p.name: bounds(p.solid).mean(axis=0) for p in made(at="crank=90").parts}
    assert at["pedal_left"][2] < at["pedal_right"][2] - 40.0
    level_at = {p.name: bounds(p.solid).mean(axis=0) for p in made().parts}
    assert level_at["pedal_left"][0] > level_at["pedal_right"][0] + 40.0


def test_exchanged_parts() -> None:
    """A smaller front wheel: the bike pitches forward, the frame is the same."""
    swapped = load(HARDTAIL, swaps=["build.front_wheel.tyre=57-584"])
    other = exchange(layout(), swapped, ("build.front_wheel.tyre",))
    model_ = assembled(Drawing(other, read_options(other, bed="220x220x250")))
    parts = {p.name: p for p in model_.parts}
    wheel = bounds(parts["front_tyre"].solid)
    assert np.ptp(wheel[:, 0]) == pytest.approx(698 / 6, abs=0.03)
    assert wheel[0, 2] == pytest.approx(bounds(parts["rear_tyre"].solid)[0, 2], abs=1e-3)
    assert other.frame.pitch < -0.5
    assert level(Drawing(other, Options(1 / 6, KITS)))[2, 0] == pytest.approx(0, abs=1e-6)
    assert parts["frame"].solid.volume() == pytest.approx(part("frame").solid.volume(), rel=1e-6)


@pytest.mark.parametrize("at", [None, "rear=60%"])
def test_a_suspension_is_one_body_with_the_frame(at: str | None) -> None:
    whole = made(FULL, at=at)
    solid = next(p.solid for p in whole.parts if p.name == "frame")
    assert len(solid.decompose()) == 1
    linkage = layout(FULL).linkage
    assert linkage is not None
    travel = 0.6 * linkage.full_travel if at else 0.0
    at_ = {p.name: bounds(p.solid).mean(axis=0) for p in whole.parts}
    front, rear = at_["front_tyre"], at_["rear_tyre"]
    way = vector((*linkage.axle_at(travel), 0.0))[[0, 2, 1]] / 6 - whole.drawing.axle("front")
    assert np.linalg.norm(front - rear) == pytest.approx(np.linalg.norm(way), abs=0.02)


def test_the_model_is_the_same_twice() -> None:
    a, b = model(drawing()), model(drawing())
    assert [p.name for p in a.parts] == [p.name for p in b.parts]
    assert [p.solid.volume() for p in a.parts] == [p.solid.volume() for p in b.parts]
