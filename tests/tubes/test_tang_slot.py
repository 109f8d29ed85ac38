"""The slot of a blade for its dropout's tang."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from frame3d.tubes.cuts.tang_slot import tang_slots
from tests.built_forks import fork_bike


def test_a_blade_is_slotted_for_its_own_dropout_alone() -> None:
    fork = fork_bike("unicrown").fork
    assert fork is not None
    for tube in fork.tubes:
        found = tang_slots(tube, fork.plates)
        assert len(found) == (tube.key == "fork_blade"), tube.name
    (slot,) = tang_slots(fork.tube("fork_blade_left"), fork.plates)
    # A plate of 6 mm with a tang of 10 mm, in a blade that ends 26 mm before the axle.
    assert slot.heights == pytest.approx((-3.0, 3.0))
    assert slot.end == pytest.approx(36.0, abs=0.05)
    assert slot.sides == pytest.approx((-9.0, 9.0), abs=1e-6)  # 8, and 1 to file off
    local = np.array([[30.0, 0, 0], [30.0, 0, 4.0], [39.0, 0, 0], [30.0, 9.5, 0]])
    places = slot.plane.place(local)
    assert slot.depth(places) == pytest.approx([3.0, -1.0, -3.0, -0.5], abs=0.05)
    assert slot.near(places, 2.0).tolist() == [True, True, False, True]


def test_slots_take_what_lies_in_both_walls() -> None:
    fork = fork_bike("unicrown").fork
    assert fork is not None
    with_slot = fork.frame.masses.parts["fork_blade_left"]
    without = replace(fork.frame, plates=()).masses.parts["fork_blade_left"]
    # Two walls of 1 mm, over 6 mm across a circle of 7.6 and 10 mm deep; 4130 has 7.85 g/cm³.
    arc = 2 * 7.6 * math.asin(3.0 / 7.6)
    assert without - with_slot == pytest.approx(2 * arc * 10 * 1 * 7.85e-3, rel=0.1)
