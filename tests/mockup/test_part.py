"""Parts and joints after a rigid motion: everything that has a place or a direction goes along."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.mockup.part import Joint, Limb, ModelPart, joint_moved, moved
from frame3d.mockup.solid import block, bounds

X, Y, Z = np.eye(3)
QUARTER = np.array([[0.0, -1.0, 0.0, 5.0], [1.0, 0.0, 0.0, 6.0], [0.0, 0.0, 1.0, 7.0]])
"""A quarter turn about z, x to y, and a shift."""


def test_a_part_goes_as_one() -> None:
    solid = block((0, 0, 0), (4, 2, 1))
    limb = Limb(np.array([[1.0, 0, 0], [2.0, 0, 0]]), np.array([1.0, 0.5]))
    part = ModelPart("a", "#000000", solid, (limb,), ((X, Y),), down=X, face=Z, turns=solid)
    there = moved(part, QUARTER)
    assert bounds(there.solid) == pytest.approx(np.array([(3, 6, 7), (5, 10, 8)]))
    assert there.turns is not None
    assert bounds(there.turns) == pytest.approx(bounds(there.solid))
    assert there.limbs[0].points == pytest.approx(np.array([(5, 7, 7), (5, 8, 7)]))
    assert there.limbs[0].radius is limb.radius
    (point, normal) = there.planes[0]
    assert point == pytest.approx((5, 7, 7))
    assert normal == pytest.approx(-X)
    assert there.down == pytest.approx(Y)
    assert there.face == pytest.approx(Z)
    assert (there.name, there.colour) == ("a", "#000000")


def test_what_a_part_has_not_it_has_not_afterwards() -> None:
    there = moved(ModelPart("a", "#000000", block((0, 0, 0), (1, 1, 1))), QUARTER)
    assert (there.down, there.face, there.turns) == (None, None, None)
    assert (there.limbs, there.planes) == ((), ())


def test_a_joint_goes_along() -> None:
    there = joint_moved(Joint("fixed", "a", "b", X, Y, 3.0, 6.0, 0.2, "A"), QUARTER)
    assert there.at == pytest.approx((5, 7, 7))
    assert there.along == pytest.approx(-X)
    assert (there.diameter, there.depth, there.mark) == (3.0, 6.0, "A")
