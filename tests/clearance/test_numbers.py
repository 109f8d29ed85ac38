"""Records of solids: made once for each, whatever it is measured against."""

from __future__ import annotations

import numpy as np

from frame3d.bodies.motion.mounts import FRAME, Name, fork_mounts
from frame3d.bodies.shapes import PlacedShape, Torus, Tubular, bar
from frame3d.clearance.certify.motion import Template
from frame3d.clearance.certify.numbers import Numbers


def template(
    numbers: Numbers, tube: Tubular, shape: PlacedShape, names: tuple[Name, ...]
) -> Template:
    """The steps of one pair."""
    first = np.zeros(1, dtype=np.int64)
    (found,), _ = numbers.motions([tube], [shape], first, first, [names], first)
    return found


UPPER, LOWER = fork_mounts(np.array([600.0, 0.0, 500.0]), np.array([0.0, 0.0, 1.0]))


def test_each_solid_is_made_once() -> None:
    numbers = Numbers()
    stay, wheel = (
        bar("stay", (0, 0, 0), (100, 0, 0), 9),
        PlacedShape("w", Torus(340, 28), (0, 0, 9)),
    )
    assert numbers.tube(stay) is numbers.tube(stay)
    assert numbers.shape(wheel) is numbers.shape(wheel)
    assert template(numbers, stay, wheel, ()) is template(numbers, stay, wheel, ())


def test_a_tube_that_turns_about_itself_has_one_step_less() -> None:
    numbers = Numbers()
    wheel = PlacedShape("wheel", Torus(340, 28), (690, 0, -50), FRAME)
    steerer = bar("steerer", (600, 0, 500), (600, 0, 620), 14, UPPER)
    beside = bar("beside", (600, 1, 500), (600, 1, 620), 14, UPPER)
    assert len(template(numbers, steerer, wheel, ("steer",)).steps) == 0
    assert len(template(numbers, beside, wheel, ("steer",)).steps) == 1
    lower = bar("lower", (600, 0, 500), (600, 0, 620), 14, LOWER)
    both = template(numbers, lower, wheel, ("fork", "steer"))
    assert list(both.steps["motion"]) == [0, 1]


def test_pairs_of_the_same_mounts_share_their_steps() -> None:
    """But for a tube that turns about itself, whichever pairs it is in."""
    numbers = Numbers()
    wheels = [PlacedShape("wheel", Torus(340, 28), (x, 0, -50), FRAME) for x in (690, 700)]
    steerer = bar("steerer", (600, 0, 500), (600, 0, 620), 14, UPPER)
    tubes = [bar("beside", (600, y, 500), (600, y, 620), 14, UPPER) for y in (1, 2)]
    tubes.insert(1, steerer)
    of_tube, of_shape = np.array([0, 1, 2, 1, 0]), np.array([0, 0, 1, 1, 1])
    found, which = numbers.motions(tubes, wheels, of_tube, of_shape, [("steer",)], 0 * of_tube)
    assert [len(found[i].steps) for i in which] == [1, 0, 1, 0, 1]
    assert len(found) == 2
