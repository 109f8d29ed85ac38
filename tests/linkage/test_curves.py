"""Curves at strokes of one's own; the demos' are in tests/test_demos.py."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.linkage import SuspensionInputs, solve_linkage
from frame3d.linkage.curves.curves import curves
from tests.linkage.bikes import spec_of
from tests.linkage.demos import FOUR_LINK_140, FOUR_LINK_AXLE


def test_curves_at_other_strokes_and_fork_places() -> None:
    """At strokes of one's own; a fork that gives way as the rear does keeps the frame level."""
    linkage = solve_linkage(spec_of(FOUR_LINK_140), FOUR_LINK_AXLE)
    motion = linkage.at_strokes(np.array([10.0, 20.0]))
    front = np.stack((np.full(2, 772.0), 36 + motion.travel), axis=-1)
    found = curves(linkage, SuspensionInputs(372, 372, front, (80, 800)), motion=motion)
    assert found.stroke.tolist() == [10, 20]
    assert found.pitch == pytest.approx([0, 0], abs=1e-9)
    assert found.wheelbase == pytest.approx(772 - motion.axle[:, 0])
    assert found.gears == {}
    assert found.forces is None


def test_the_slope_of_the_anti_rise_line_points_at_the_instant_centre() -> None:
    linkage = solve_linkage(spec_of(FOUR_LINK_140), FOUR_LINK_AXLE)
    found = curves(linkage, SuspensionInputs(372, 372, (772, 36), (80, 800)))
    to_centre = found.brake_instant_centre - found.rear_contact
    slope = np.degrees(np.arctan2(to_centre[:, 1], to_centre[:, 0]))
    assert slope + found.pitch == pytest.approx(np.degrees(np.arctan(found.brake_slope)), abs=1e-9)
