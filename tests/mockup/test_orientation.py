from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.mockup.part import ModelPart
from frame3d.mockup.printing.check import meshed
from frame3d.mockup.printing.orientation import poses, support_of
from frame3d.mockup.solid import X, Y, Z, block, rod, together
from tests.mockup.samples import laid


def part(solid: object, **more: object) -> ModelPart:
    return ModelPart("thing", "#808080", solid, **more)  # type: ignore[arg-type]


def test_support_under_a_shelf() -> None:
    """A table: its top overhangs 4 mm each way of a leg of 2 x 2 mm, 5 mm up."""
    table = together([block((0, 0, 0), (2, 2, 5)), block((-4, -4, 5), (6, 6, 7))])
    volume, rests, height = support_of(meshed(table), np.array([-Z, Z]))
    assert volume == pytest.approx([(100 - 4) * 5, 0.0])
    assert rests == pytest.approx([4.0, 100.0])
    assert height == pytest.approx([7.0, 7.0])


@pytest.mark.parametrize(("slope", "needs"), [(40.0, True), (50.0, False)])
def test_cones_need_support_beyond_45_degrees(slope: float, needs: bool) -> None:
    """A cone on its tip: its flank rises at `slope` from level."""
    height = 10.0
    radius = height / math.tan(math.radians(slope))
    cone = rod(np.zeros(3), height * Z, 0.2, radius)
    volume = support_of(meshed(cone), np.array([-Z]))[0][0]
    # Under a cone on its tip: the cylinder around it less the cone.
    whole = math.pi * radius**2 * height * 2 / 3
    assert volume == pytest.approx(whole if needs else 0.0, rel=0.05, abs=1e-9)


def test_the_best_pose_is_found() -> None:
    table = part(together([block((0, 0, 0), (2, 2, 5)), block((-4, -4, 5), (6, 6, 7))]))
    best = poses(table, meshed(table.solid))[0]
    assert best.turn @ Z == pytest.approx(-Z, abs=1e-6)
    assert best.support == pytest.approx(0.0, abs=1e-6)


def test_a_bar_lies() -> None:
    bar = part(rod(np.zeros(3), 60 * Z, 3.0))
    best = poses(bar, meshed(bar.solid))[0]
    assert abs(float((best.turn @ Z)[2])) < 1e-6 or best.height == pytest.approx(60.0)
    assert best.cost <= poses(bar, meshed(bar.solid))[-1].cost


def test_letters_stay_up() -> None:
    wedge = block((0, 0, 0), (30, 10, 3), 1.0)
    for face in (Z, -Z, Y):
        sign = part(wedge, face=face)
        best = poses(sign, meshed(wedge))[0]
        assert float((best.turn @ face)[2]) > 0.9


def test_what_would_tip_is_not_chosen() -> None:
    """A hook stands on a small foot without supports, but it falls over."""
    hook = together(
        [
            block((0, 0, 0), (4, 4, 30)),
            block((0, 0, 26), (40, 4, 30)),
            block((30, 0, 26), (40, 4, 40)),
        ]
    )
    best = poses(part(hook), meshed(hook))[0]
    assert abs(float((best.turn @ Y)[2])) > 0.99


def test_the_demos_pins_wheels_and_arms_need_none() -> None:
    for item in laid().parts:
        name = item.part.name
        if name.endswith(("axle", "tyre", "spindle")) or name.startswith(
            ("crank_arm", "pedal", "chain", "stee")
        ):
            assert item.pose.support < 0.01 * item.mesh.volume, name
        assert item.pose.height == pytest.approx(np.ptp(item.flat.vertices[:, 2]), abs=1e-3)
        assert item.flat.vertices.min() == 0.0
        assert np.linalg.det(item.pose.turn) == pytest.approx(1.0)


def test_directions_are_tried_both_ways() -> None:
    slab = part(block((0, 0, 0), (20, 20, 2)), down=X)
    assert abs(float((poses(slab, meshed(slab.solid))[0].turn @ Z)[2])) == pytest.approx(1.0)
