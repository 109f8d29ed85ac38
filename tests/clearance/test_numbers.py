"""Records of solids: made once for each, whatever it is measured against."""

from __future__ import annotations

import numpy as np

from frame3d.bodies.motion.mounts import FRAME, fork_mounts
from frame3d.bodies.shapes import PlacedShape, Torus, bar
from frame3d.clearance.certify.numbers import Numbers

UPPER, LOWER = fork_mounts(np.array([600.0, 0.0, 500.0]), np.array([0.0, 0.0, 1.0]))


def test_each_solid_is_made_once() -> None:
    numbers = Numbers()
    stay, wheel = (
        bar("stay", (0, 0, 0), (100, 0, 0), 9),
        PlacedShape("w", Torus(340, 28), (0, 0, 9)),
    )
    assert numbers.tube(stay) is numbers.tube(stay)
    assert numbers.shape(wheel) is numbers.shape(wheel)
    assert numbers.motion(stay, wheel, ()) is numbers.motion(stay, wheel, ())


def test_a_tube_that_turns_about_itself_has_one_step_less() -> None:
    numbers = Numbers()
    wheel = PlacedShape("wheel", Torus(340, 28), (690, 0, -50), FRAME)
    steerer = bar("steerer", (600, 0, 500), (600, 0, 620), 14, UPPER)
    beside = bar("beside", (600, 1, 500), (600, 1, 620), 14, UPPER)
    assert len(numbers.motion(steerer, wheel, ("steer",)).steps) == 0
    assert len(numbers.motion(beside, wheel, ("steer",)).steps) == 1
    lower = bar("lower", (600, 0, 500), (600, 0, 620), 14, LOWER)
    template = numbers.motion(lower, wheel, ("fork", "steer"))
    assert list(template.steps["motion"]) == [0, 1]
